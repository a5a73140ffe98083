"""Which figure matters: every unknown field over its range, every uncertain entered one around its value, alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final, NamedTuple

from bearings.engineering.judgement import Judgement
from bearings.engineering.quantities import Bearing, Guide, Stack, guide_refs, item_refs
from bearings.engineering.ranges import Unknown
from bearings.engineering.subjects import SUBJECTS
from bearings.engineering.subjects.subject import Subject, SubjectName, Verdict

LOAD_SHARE: Final = 0.10
SHAFT_K: Final = 15.0
OIL_K: Final = 10.0
INTERFERENCE_UM: Final = 5.0
LOADS: Final = (
    "down_thrust_n", "maximum_down_thrust_n", "up_thrust_n", "rotor_weight_n", "radial_load_n",
)  # fmt: skip
End = float | str | bool | None


class Settle(NamedTuple):
    """One field: its ends, whether it is missing, whether it changes a verdict, and which from what to what."""

    field: str
    ref: str | None
    low: End
    high: End
    missing: bool
    matters: bool
    from_verdict: Verdict | None
    to_verdict: Verdict | None
    subject: SubjectName | None


def _value(stack: Stack, field: str, ref: str | None) -> End:
    """Return what a stack holds in a field."""
    room, _, name = field.partition(".")
    if name:
        holder: object = stack.motor if room == "motor" else stack.lubrication
        return getattr(holder, name, None)
    for own, item in zip(item_refs(stack.items), stack.items, strict=True):
        if own == ref:
            return getattr(item, field, None)
    for own, guide in zip(guide_refs(stack.guides), stack.guides, strict=True):
        if own == ref:
            return getattr(guide, field, getattr(guide.bearing, field, None))
    return None


def with_value(stack: Stack, field: str, ref: str | None, value: Any) -> Stack:
    """Return a stack with one field set: ``motor.x``, ``lubrication.x``, or a part's field by its ref."""
    room, _, name = field.partition(".")
    if name and room == "motor":
        return replace(stack, motor=replace(stack.motor, **{name: value}))
    if name:
        return replace(stack, lubrication=replace(stack.lubrication, **{name: value}))
    items = tuple(
        replace(item, **{field: value}) if own == ref else item
        for own, item in zip(item_refs(stack.items), stack.items, strict=True)
    )
    guides = tuple(
        _guide_with(guide, field, value) if own == ref else guide
        for own, guide in zip(guide_refs(stack.guides), stack.guides, strict=True)
    )
    return replace(stack, items=items, guides=guides)


def _guide_with(guide: Guide, field: str, value: Any) -> Guide:
    if hasattr(guide, field):
        return replace(guide, **{field: value})
    return replace(guide, bearing=replace(guide.bearing, **{field: value}))


def _change(
    verdicts: list[dict[SubjectName, Verdict]],
) -> tuple[SubjectName, Verdict, Verdict] | None:
    """Return the first subject, deciding ones first, that differs between tries, and from what to what."""
    for subject in sorted(SUBJECTS, key=lambda one: not one.decides):
        seen = [found[subject.name] for found in verdicts if subject.name in found]
        for other in seen[1:]:
            if other != seen[0]:
                return subject.name, seen[0], other
    return None


def _of_unknown(judgement: Judgement, number: int, unknown: Unknown) -> Settle:
    """Return whether an unknown field matters: its places alone, the rest in the middle."""
    verdicts: list[dict[SubjectName, Verdict]] = []
    for place in unknown.alone:
        verdicts.append(
            {
                subject.name: judgement.verdict_alone(subject, number, place)
                for subject in SUBJECTS
                if subject.reads(unknown.field) and subject.applies(judgement.middle)
            }
        )
    ends = [
        _value(judgement.situation(judgement.alone(number, place)).stack, unknown.field, unknown.ref)
        for place in (unknown.alone[0], unknown.alone[-1])
    ]
    return _settle(unknown.field, unknown.ref, (ends[0], ends[1]), missing=True, change=_change(verdicts))


def _settle(
    field: str,
    ref: str | None,
    ends: tuple[End, End],
    *,
    missing: bool,
    change: tuple[SubjectName, Verdict, Verdict] | None,
) -> Settle:
    if change is None:
        return Settle(field, ref, *ends, missing, False, None, None, None)
    subject, before, after = change
    return Settle(field, ref, *ends, missing, True, before, after, subject)


def _uncertain(stack: Stack) -> list[tuple[str, str | None, float, float]]:
    """Return the entered figures that are never known well, with both ends."""
    found: list[tuple[str, str | None, float, float]] = []
    for name in LOADS:
        load = getattr(stack.motor, name)
        if load:
            apart = abs(load) * LOAD_SHARE
            found.append((f"motor.{name}", None, load - apart, load + apart))
    warmer, oil_c = stack.motor.shaft_warmer_k, stack.lubrication.temperature_c
    if warmer is not None:
        found.append(("motor.shaft_warmer_k", None, warmer - SHAFT_K, warmer + SHAFT_K))
    if oil_c is not None:
        found.append(("lubrication.temperature_c", None, oil_c - OIL_K, oil_c + OIL_K))
    for ref, item in zip(item_refs(stack.items), stack.items, strict=True):
        if isinstance(item, Bearing) and item.fit_interference_um is not None:
            fit = item.fit_interference_um
            found.append(("fit_interference_um", ref, fit - INTERFERENCE_UM, fit + INTERFERENCE_UM))
    return found


def _reads(subject: Subject, field: str) -> bool:
    """Whether an entered figure can change a subject; the thrust itself is in every load."""
    return subject.reads(field) or (field == "motor.down_thrust_n" and subject.reads("motor.rotor_weight_n"))


def _of_entered(judgement: Judgement, field: str, ref: str | None, ends: tuple[float, float]) -> Settle:
    """Return whether an entered figure matters within its uncertainty, what is unknown in the middle."""
    verdicts: list[dict[SubjectName, Verdict]] = []
    for value in ends:
        varied = Judgement(with_value(judgement.stack, field, ref, value))
        verdicts.append(
            {
                subject.name: varied.look(subject, varied.middle_point).verdict
                for subject in SUBJECTS
                if subject.name != "entries" and _reads(subject, field) and subject.applies(varied.middle)
            }
        )
    return _settle(field, ref, ends, missing=False, change=_change(verdicts))


def settles(judgement: Judgement) -> tuple[Settle, ...]:
    """Return every field that is missing or uncertain: needed ones first, then what matters, then what does not."""
    ranged = {(one.field, one.ref) for one in judgement.unknown}
    needed = {
        (gap.field, gap.ref): result.subject
        for result in reversed(judgement.results)
        for gap in result.missing
        if (gap.field, gap.ref) not in ranged
    }
    rows = [
        Settle(field, ref, None, None, True, True, None, None, subject)
        for (field, ref), subject in reversed(needed.items())
    ]
    others = [_of_unknown(judgement, number, one) for number, one in enumerate(judgement.unknown)]
    others += [
        _of_entered(judgement, field, ref, (low, high))
        for field, ref, low, high in _uncertain(judgement.stack)
    ]
    return (*rows, *sorted(others, key=lambda row: not row.matters))
