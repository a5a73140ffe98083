"""Charts of an assessment over what is not known well: warmth of the shaft, and each figure over its range."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django.utils.translation import gettext as _

from bearings.public import (
    KILONEWTONS,
    POUNDS_FORCE,
    ChartOptions,
    Figures,
    LifeLimit,
    LifeRange,
    Stack,
    Units,
    WarmthAxis,
    WarmthLevel,
    check_stack,
    field_label,
    life_ranges,
    warmth_chart,
    warmth_curve,
    with_value,
)

FAHRENHEIT_DEGREES: Final = 1.8
MOST_RANGES: Final = 8
# A bar that moves the life by less than this says nothing.
MOVES: Final = 0.01


def options_of(prefix: str, units: str) -> ChartOptions:
    """Return how the charts of a page are made for a reader's units."""
    return ChartOptions(id_prefix=prefix, force_unit=POUNDS_FORCE if units == "us" else KILONEWTONS)


def life_limits(stack: Stack) -> list[LifeLimit]:
    """Return the lives that a stack is held to: the shop's stop, and what contract or shop ask for."""
    policy, required = stack.policy, stack.motor.required_l10h
    asked = policy.warn_l10h if required is None else required
    limits = [
        LifeLimit(_("stop"), policy.stop_l10h),
        LifeLimit(_("required") if required else _("warn"), asked),
    ]
    return [limit for limit in limits if limit.life_h > 0]


def warmth_charts(stack: Stack, units: Units) -> list[tuple[str, str, str]]:
    """Return (heading, remark, chart) of preload and life over the shaft's warmth; none where heat changes nothing."""
    points = warmth_curve(stack)
    if not points:
        return []
    scale, sign = (FAHRENHEIT_DEGREES, "°F") if units == "us" else (1.0, "K")
    warmer = stack.motor.shaft_warmer_k
    entered = None if warmer is None else warmer * scale
    warmths = [point.warmer_k * scale for point in points]
    unit = options_of("preload", units).force_unit
    charts = [
        (
            _("Preload vs. shaft temperature"),
            _("No thrust on the stack, as mounted."),
            warmth_chart(
                warmths,
                [point.preload_n / unit.newtons for point in points],
                WarmthAxis(_("preload, {unit}").format(unit=unit.sign)),
                warmth_unit=sign,
                entered=entered,
                options=options_of("preload", units),
            ),
        )
    ]
    lives = [point.stack_l10h for point in points if point.stack_l10h]
    if len(lives) == len(points):
        figures = Figures(units)
        levels = [
            WarmthLevel(f"{limit.name} {figures.hours(limit.life_h)}", limit.life_h)
            for limit in life_limits(stack)
        ]
        axis = WarmthAxis(_("life, hours"), logarithmic=True)
        chart = warmth_chart(
            warmths,
            lives,
            axis,
            warmth_unit=sign,
            entered=entered,
            levels=levels,
            options=options_of("warm-life", units),
        )
        charts.append((_("Life vs. shaft temperature"), _("Running case."), chart))
    return charts


def life_ranges_chart(answer: Mapping[str, Any], stack: Stack, units: Units) -> str:
    """Return what each uncertain or missing figure does to the life; empty where none moves it, or no life is known."""
    now = _life(stack)
    if now is None:
        return ""
    found: dict[str, LifeRange] = {}
    for row in answer.get("settles", ()):
        ends = (row["low"], row["high"])
        if not all(isinstance(end, int | float) and not isinstance(end, bool) for end in ends):
            continue
        lives = [_life(with_value(stack, row["field"], row["ref"], end)) for end in ends]
        label = field_label(row["field"])
        if row["ref"] is not None:
            label = _("{field}, bearing {ref}").format(field=label, ref=row["ref"])
        if lives[0] is None or lives[1] is None or abs(lives[0] - lives[1]) < MOVES * now:
            continue
        found[label] = LifeRange(label, lives[0], lives[1])
    widest = sorted(found.values(), key=lambda one: -abs(one.high_h - one.low_h))[:MOST_RANGES]
    return life_ranges(widest, now, life_limits(stack), options=options_of("ranges", units)) if widest else ""


def _life(stack: Stack) -> float | None:
    """Return the shorter of the lives cold and warm in the running case."""
    running = next((case for case in check_stack(stack).judged_cases if case.name == "running"), None)
    if running is None:
        return None
    lives = [running.stack_l10h, running.warm.stack_l10h if running.warm else None]
    return min((life for life in lives if life), default=None)
