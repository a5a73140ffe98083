"""Set: bearings that share thrust or press against each other must be made for it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from typing import Final

from bearings.engineering.arrangement import DIRECTIONS, RefBearing, direction_changes
from bearings.engineering.evidence import Evidence
from bearings.engineering.load_gaps import Missing
from bearings.engineering.mismatch import SOURCE as MISMATCH_SOURCE
from bearings.engineering.mismatch import mismatch_rows
from bearings.engineering.quantities import Severity, identity
from bearings.engineering.results import Finding, WorkingLine, params
from bearings.engineering.rising_angle import SOURCE as RISING_SOURCE
from bearings.engineering.sharing import PALMGREN_SOURCE
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.subject import (
    COLD_LOAD_FIELDS,
    COMMON_PRACTICE,
    NO_LIMIT,
    SHOP_POLICY,
    Look,
    Subject,
    reader,
)

SET_FIELDS: Final = ("designation", "contact_angle_deg", "maker", "variant")
ENVELOPE_FIELDS: Final = ("bore_mm", "outside_diameter_mm")
NEEDED: Final = (
    "designation", "maker", "variant", "contact_angle_deg", "bore_mm", "outside_diameter_mm", "pairing",
)  # fmt: skip
OF_BALLS: Final = frozenset({"contact_angle_deg", "pairing"})
# A tandem is told of when its face offsets take more than this of what lets one bearing carry all.
SENSITIVE_SHARE: Final = 0.5


def exact(number: float) -> Decimal:
    """Return a length as it was written, so that its comparison with a limit is exact."""
    return Decimal(repr(number))


def _unlike(pairs: tuple[RefBearing, ...], fields: tuple[str, ...]) -> tuple[tuple[str, ...], str | None]:
    """Fields in which bearings differ where known, and the first ref that differs from one above it."""
    unlike: list[str] = []
    first = len(pairs)
    for field in fields:
        entered = [getattr(one, field) for _, one in pairs]
        if not entered or entered.count(entered[0]) == len(entered):
            continue  # like to the letter, as they mostly are
        known = [
            (place, value) for place, raw in enumerate(entered) if (value := identity(field, raw)) is not None
        ]
        odd = next((place for place, value in known if value != known[0][1]), None)
        if odd is not None:
            unlike.append(field)
            first = min(first, odd)
    return tuple(unlike), pairs[first][0] if unlike else None


def _set_id_fields(pairs: tuple[RefBearing, ...]) -> tuple[str, ...]:
    """Return the field of the set where the bearings come as matched ones, or nobody said how they come."""
    matched = any(one.pairing in ("matched", None) for _, one in pairs)
    return ("set_id",) if matched else ()


def _mixed_set(situation: Situation) -> Iterator[Finding]:
    """Stop when bearings that share thrust differ in kind; a different set alone warns."""
    for direction in DIRECTIONS:
        pairs = situation.mount.carriers(direction)
        severity: Severity = "stop"
        unlike, first = _unlike(pairs, SET_FIELDS)
        if not unlike:
            severity = "warn"
            unlike, first = _unlike(pairs, _set_id_fields(pairs))
        if unlike:
            yield Finding(
                code="mixed-set",
                severity=severity,
                ref=first,
                source=COMMON_PRACTICE,
                params=params(direction=direction, refs=tuple(ref for ref, _ in pairs), fields=unlike),
            )


def _envelope(situation: Situation) -> Iterator[Finding]:
    """Stop when bearings of one tandem differ in bore or outside diameter."""
    for direction in DIRECTIONS:
        pairs = situation.mount.carriers(direction)
        unlike, first = _unlike(pairs, ENVELOPE_FIELDS)
        if unlike:
            yield Finding(
                code="envelope",
                severity="stop",
                ref=first,
                source=COMMON_PRACTICE,
                params=params(direction=direction, refs=tuple(ref for ref, _ in pairs), fields=unlike),
            )


def _in_set(situation: Situation) -> tuple[RefBearing, ...]:
    """Return the one-way bearings of the stack, where there is more than one."""
    one_way = tuple(pair for pair in situation.mount.bearings if pair[1].is_one_way)
    return one_way if len(one_way) > 1 else ()


def _not_for_pairing(situation: Situation) -> Iterator[Finding]:
    """Stop when a bearing made to run alone stands in a set; warn once every face offset of it was measured.

    Measuring is the act that lifts the stop, so a set measured in part is as one that nobody measured.
    """
    balls = [pair for pair in _in_set(situation) if pair[1].type == "angular_contact_ball"]
    if len(balls) < 2:
        return
    alone = tuple(ref for ref, one in balls if one.pairing == "single")
    if not alone:
        return
    measured = all(situation.entered_bearing[ref].stand_out_um is not None for ref, _ in balls)
    yield Finding(
        code="not-for-pairing",
        severity="warn" if measured else "stop",
        ref=alone[0],
        refs=alone,
        source=COMMON_PRACTICE,
        params=params(measured=measured),
    )


def _not_a_matched_arrangement(situation: Situation) -> Iterator[Finding]:
    """Warn when the direction changes more than once from top to bottom."""
    changes = direction_changes(situation.mount)
    if changes > 1:
        yield Finding(
            code="not-a-matched-arrangement",
            severity="warn",
            value=float(changes),
            limit=1.0,
            unit="1",
            source=COMMON_PRACTICE,
            params=params(relations=situation.arrangement.relations),
        )


def _stand_out_mismatch(situation: Situation) -> Iterator[Finding]:
    """Warn when the face offset of two tandem neighbours differs by more than the shop allows."""
    limit = situation.stack.policy.tandem_stand_out_um
    for (upper_ref, upper), (lower_ref, lower) in pairwise(situation.mount.one_way):
        if upper.wide_face != lower.wide_face or upper.stand_out_um is None or lower.stand_out_um is None:
            continue
        difference = abs(exact(upper.stand_out_um) - exact(lower.stand_out_um))
        if difference > exact(limit):
            yield Finding(
                code="stand-out-mismatch",
                severity="warn",
                ref=lower_ref,
                value=float(difference),
                limit=limit,
                unit="um",
                source=f"{COMMON_PRACTICE}; {SHOP_POLICY}",
                params=params(upper=upper_ref, lower=lower_ref),
            )


def _has_tandem(situation: Situation) -> bool:
    return any(
        upper.wide_face == lower.wide_face and {upper.type, lower.type} == {"angular_contact_ball"}
        for (_, upper), (_, lower) in pairwise(situation.mount.one_way)
    )


def _mismatch_sensitive(situation: Situation) -> Iterator[Finding]:
    """Note face offsets that nearly, warn of those that wholly, leave a tandem's load to one bearing."""
    if situation.load_gaps or not _has_tandem(situation):
        return
    loads = tuple(case.cold for case in situation.judged_cases)
    for row in mismatch_rows(situation.mount, loads, None):
        apart, limit = row.stand_out_difference_um, row.carries_all_um
        if apart is None or limit is None:
            continue
        if apart <= SENSITIVE_SHARE * limit:
            continue
        yield Finding(
            code="mismatch-sensitive",
            severity="warn" if apart >= limit else "note",
            ref=row.refs[1],
            value=apart,
            limit=limit,
            unit="um",
            source=MISMATCH_SOURCE,
            params=params(refs=row.refs, case=row.case, load_n=row.load_n),
        )


def _missing(situation: Situation) -> tuple[Missing, ...]:
    gaps = list(situation.face_gaps)
    bearings = _in_set(situation)
    for ref, one in bearings:
        balls = one.type == "angular_contact_ball"
        gaps += [
            Missing(name, ref)
            for name in NEEDED
            if getattr(one, name) is None and (balls or name not in OF_BALLS)
        ]
    for direction in DIRECTIONS:
        pairs = situation.mount.carriers(direction)
        if any(one.pairing == "matched" for _, one in pairs):
            # One matched bearing asks for the set of all that share its thrust.
            gaps += [Missing("set_id", ref) for ref, one in pairs if one.set_id is None]
    gaps += [
        Missing("set_id", ref) for ref, one in bearings if one.pairing == "matched" and one.set_id is None
    ]
    if _has_tandem(situation):
        # Whether a face offset matters depends on what the two carry.
        gaps += (*situation.load_gaps, *situation.drive_gaps)
    return tuple(dict.fromkeys(gaps))


def _look(situation: Situation) -> Look:
    findings = (
        *_mixed_set(situation),
        *_envelope(situation),
        *_not_for_pairing(situation),
        *_not_a_matched_arrangement(situation),
        *_stand_out_mismatch(situation),
        *_mismatch_sensitive(situation),
    )
    apart = [one.value / one.limit for one in findings if one.value is not None and one.limit]
    return Look(findings, _missing(situation), -max(apart, default=0.0))


def _narrowed(situation: Situation) -> frozenset[str] | None:
    """Return that only face offsets change the answer where no tandem's loads are weighed."""
    weighed = _has_tandem(situation) and not situation.load_gaps
    return None if weighed else frozenset({"stand_out_um"})


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    """Yield how sensitive each tandem pair is to a mismatch of its faces."""
    for row in evidence.shared.mismatch:
        pair = "+".join(row.refs)
        formula = f"d = (F/K)^(2/3) of one under both loads, {row.case}"
        limit = row.carries_all_um
        yield WorkingLine("play", pair, "carries all", formula, limit, "um", MISMATCH_SOURCE)
        formula, limit = f"d of one under both loads, {row.case}, second model", row.rising_carries_all_um
        yield WorkingLine("play", pair, "carries all", formula, limit, "um", RISING_SOURCE)
        if row.heavier_share is not None:
            formula = "greater load / both"
            yield WorkingLine("play", pair, "share", formula, row.heavier_share, "1", PALMGREN_SOURCE)


SUBJECT = Subject(
    name="set",
    decides=True,
    codes=(
        "mixed-set",
        "envelope",
        "not-for-pairing",
        "not-a-matched-arrangement",
        "stand-out-mismatch",
        "mismatch-sensitive",
    ),
    reads=reader(*COLD_LOAD_FIELDS),
    applies=lambda situation: bool(_in_set(situation)),
    look=_look,
    narrowed=_narrowed,
    working=_working,
    limits=NO_LIMIT,
)
