"""Charts of an assessment: load on each bearing, permissible speed, life."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final, Literal

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import (
    VERSION,
    Bearing,
    DrawnCurve,
    Figures,
    LifePoint,
    LoadCase,
    MotorSpeed,
    Sharing,
    SpeedBar,
    Stack,
    StoredAssessment,
    Units,
    case_label,
    check_stack,
    guide_refs,
    item_refs,
    life_chart,
    load_chart,
    load_curve,
    speed_chart,
    speed_label,
)
from repairs.office.range_charts import life_limits, life_ranges_chart, options_of, warmth_charts
from repairs.work_orders.headlines import entered_cases

MIDDLE: Final = gettext_lazy("Missing data is taken at mid-range.")
SHARES: Final = tuple(share / 10 for share in range(2, 19))  # of the running case's thrust


def charts_of(stored: StoredAssessment, stack: Stack, units: Units) -> list[tuple[str, str, SafeString]]:
    """Return (heading, remark, chart) of what can be drawn.

    Loads and lives between the cases are computed anew, so they are drawn only by the version of the checker that
    gave the answer: a curve must pass through the figures beside it.
    """
    answer = stored.answer
    speeds = (_("Allowable speed vs. motor speed"), "", _speed_chart(answer, stack, units))
    if stored.engine_version != VERSION:
        charts = [speeds]
    else:
        warm = check_stack(stack).judgement.middle.warm_sharing
        charts = [
            (_("Bearing load, cold"), _net_words(stack, units), _load_chart(answer, stack, units)),
            (
                _("Bearing load, mounted and warm"),
                str(MIDDLE),
                _load_chart(answer, stack, units, warm),
            ),
            (_("How each figure affects life"), "", life_ranges_chart(answer, stack, units)),
            *warmth_charts(stack, units),
            (_("Stack life vs. load"), "", _life_chart(answer, stack, units)),
            speeds,
        ]
    # Made by bearings.charts, which escapes every text.
    return [(title, remark, mark_safe(chart)) for title, remark, chart in charts if chart]


def _net_words(stack: Stack, units: Units) -> str:
    weight = stack.motor.rotor_weight_n
    if stack.motor.mounting != "vertical" or weight is None:
        return _("Net thrust is the external thrust.")
    words = _("Net thrust is external thrust plus rotor weight ({force}).")
    return words.format(force=Figures(units).force(weight))


def _load_chart(answer: Mapping[str, Any], stack: Stack, units: str, warm: Sharing | None = None) -> str:
    """Return the loads over the thrust, cold; of a set as mounted and warm where its sharing is given."""
    curve = load_curve(stack, sharing=warm)
    if not curve.refs or any(load is None for point in curve.points for load in point.loads):
        return ""
    ways = answer["arrangement"]
    directions: dict[str, Literal["down", "up"]] = dict.fromkeys(ways["carries_down"], "down")
    directions |= dict.fromkeys(ways["carries_up"], "up")
    lines = [
        DrawnCurve(ref, [point.loads[place] or 0.0 for point in curve.points], directions.get(ref))
        for place, ref in enumerate(curve.refs)
    ]
    return load_chart(
        [point.net_axial_n for point in curve.points],
        lines,
        unloading_n=answer["unloading_thrust_n" if warm is None else "unloading_thrust_warm_n"],
        cases=[LoadCase(case_label(case["name"]), case["net_axial_n"]) for case in entered_cases(answer)],
        options=options_of("loads" if warm is None else "warm-loads", units),
    )


def bearing_names(stack: Stack) -> dict[str, str]:
    """Return what each bearing and guide is called beside its number."""
    rows = [
        *zip(item_refs(stack.items), stack.items, strict=True),
        *((ref, guide.bearing) for ref, guide in zip(guide_refs(stack.guides), stack.guides, strict=True)),
    ]
    return {ref: (one.designation or "") for ref, one in rows if isinstance(one, Bearing)}


def _speed_chart(answer: Mapping[str, Any], stack: Stack, units: str) -> str:
    speed, names, motor = answer["speed"], bearing_names(stack), stack.motor
    bars = [
        SpeedBar(
            f"{row['ref']}  {names.get(row['ref'], '')}".strip(),
            row["permissible_rpm"],
            row["ref"] == speed["governing"],
        )
        for row in speed["bearings"]
    ]
    known = [
        ("rated", motor.rated_speed_rpm),
        ("synchronous", motor.synchronous_speed_rpm),
        ("maximum", motor.maximum_speed_rpm),
        ("reverse", None if motor.non_reverse else motor.reverse_speed_rpm),
    ]
    speeds = [
        MotorSpeed(speed_label(name), rpm, compared=name != "reverse")
        for name, rpm in known
        if rpm is not None
    ]
    return speed_chart(bars, speeds, options=options_of("speeds", units)) if bars else ""


def _life_chart(answer: Mapping[str, Any], stack: Stack, units: str) -> str:
    running = next((case for case in answer["cases"] if case["name"] == "running"), None)
    life = answer["life"]["stack_l10h"]
    external = stack.motor.down_thrust_n
    if running is None or life is None or external is None or not running["net_axial_n"]:
        return ""
    net = running["net_axial_n"]
    points = []
    for share in SHARES:
        motor = replace(stack.motor, down_thrust_n=external + (share - 1) * net)
        hours = check_stack(replace(stack, motor=motor)).life.stack_l10h
        if hours:
            points.append((abs(share * net), hours))
    if len(points) < 2:
        return ""
    return life_chart(
        [load for load, _hours in points],
        [hours for _load, hours in points],
        points=[LifePoint(case_label("running"), abs(net), life)],
        limits=life_limits(stack),
        options=options_of("life", units),
    )
