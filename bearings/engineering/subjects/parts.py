"""Parts: spacers, clamps and the shoulder or ring through which the thrust leaves."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from math import inf
from typing import Final

from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import Bearing, Part
from bearings.engineering.results import Finding, Params, params
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.bearing_set import exact
from bearings.engineering.subjects.subject import (
    COMMON_PRACTICE,
    SHOP_POLICY,
    Look,
    Subject,
    reader,
)

RefPart = tuple[str, Part]
SPACERS: Final[frozenset[str]] = frozenset({"spacer", "shim"})
# Parts of the mount that hold an inner ring against down thrust; spacers, shims and washers only pass it on.
HOLDING_PARTS: Final = frozenset({"shoulder", "lock_nut", "snap_ring"})


def gaps(situation: Situation) -> Iterator[tuple[str, str, list[RefPart]]]:
    """Yield the spacers and shims between two neighbouring bearings, with the refs of those two."""
    above: str | None = None
    between: list[RefPart] = []
    for ref, item in zip(situation.mount.refs, situation.stack.items, strict=True):
        if isinstance(item, Bearing):
            if above is not None and between:
                yield above, ref, between
            above, between = ref, []
        elif item.kind in SPACERS:
            between.append((ref, item))


def height_difference_um(part: Part) -> Decimal | None:
    """Return how far a part's inner and outer heights differ, in micrometres; None when one is unknown."""
    if part.inner_height_mm is None or part.outer_height_mm is None:
        return None
    return abs(exact(part.inner_height_mm) - exact(part.outer_height_mm)) * 1000


def ring_heights_difference_um(parts: list[RefPart]) -> Decimal | None:
    """Return how far parts on the two rings differ in total height; None when one is unknown."""
    totals = {"inner": Decimal(0), "outer": Decimal(0)}
    for _, part in parts:
        if part.ring not in totals:
            continue
        own = part.inner_height_mm if part.ring == "inner" else part.outer_height_mm
        height = part.height_mm if own is None else own
        if height is None:
            return None
        totals[part.ring] += exact(height)
    return abs(totals["inner"] - totals["outer"]) * 1000


def _spacer_pair(situation: Situation) -> Iterator[Finding]:
    """Warn when spacers between two bearings leave one ring out, or differ in height from ring to ring."""
    limit = exact(situation.stack.policy.spacer_pair_um)
    for upper, lower, parts in gaps(situation):
        paired = {"inner", "outer"} <= {part.ring for _, part in parts}
        for ref, part in parts:
            if part.ring in ("inner", "outer"):
                if not paired:
                    yield _spacer(situation, ref, None, params(upper=upper, lower=lower, ring=part.ring))
                continue
            difference = height_difference_um(part)
            if difference is not None and difference > limit:
                yield _spacer(situation, ref, difference, params(upper=upper, lower=lower, ring=part.ring))
        difference = ring_heights_difference_um(parts) if paired else None
        if difference is not None and difference > limit:
            ref = next(ref for ref, part in parts if part.ring in ("inner", "outer"))
            yield _spacer(situation, ref, difference, params(upper=upper, lower=lower, ring="both"))


def _spacer(situation: Situation, ref: str, difference: Decimal | None, found: Params) -> Finding:
    return Finding(
        code="spacer-pair",
        severity="warn",
        ref=ref,
        value=None if difference is None else float(difference),
        limit=situation.stack.policy.spacer_pair_um,
        unit="um",
        source=f"{COMMON_PRACTICE}; {SHOP_POLICY}",
        params=found,
    )


def _thrust_through_snap_ring(situation: Situation) -> Iterator[Finding]:
    """Warn when all down thrust goes through a snap ring; note when nothing above is on record."""
    above: list[RefPart] = []
    for ref, item in zip(situation.mount.refs, situation.stack.items, strict=True):
        if isinstance(item, Part):
            if item.kind in HOLDING_PARTS:
                above.append((ref, item))
        elif item.carries in ("down", "both"):
            if all(part.kind == "snap_ring" for _, part in above):
                yield Finding(
                    code="thrust-through-snap-ring",
                    severity="warn" if above else "note",
                    ref=above[0][0] if above else ref,
                    source=COMMON_PRACTICE,
                    params=params(bearing=ref),
                )
            return


def _missing(situation: Situation) -> tuple[Missing, ...]:
    found: list[Missing] = list(situation.face_gaps)
    for _, _, parts in gaps(situation):
        paired = {"inner", "outer"} <= {part.ring for _, part in parts}
        for ref, part in parts:
            unknown = [name for name in ("inner_height_mm", "outer_height_mm") if getattr(part, name) is None]
            if part.ring is None:
                found.append(Missing("ring", ref))
            elif part.ring == "both" and (len(unknown) == 1 or (unknown and part.height_mm is None)):
                # One height for both rings says that they are equal; one ring's height alone says nothing.
                found += [Missing(name, ref) for name in unknown]
            elif paired and part.ring in ("inner", "outer"):
                own = part.inner_height_mm if part.ring == "inner" else part.outer_height_mm
                if own is None and part.height_mm is None:
                    found.append(Missing("height_mm", ref))
    return tuple(found)


def _look(situation: Situation) -> Look:
    findings = (*_spacer_pair(situation), *_thrust_through_snap_ring(situation))
    return Look(findings, _missing(situation), inf)


SUBJECT = Subject(
    name="parts",
    decides=False,
    codes=("spacer-pair", "thrust-through-snap-ring"),
    reads=reader(),
    applies=lambda _situation: True,
    look=_look,
    limits=frozenset({"spacer_pair_um"}),
)
