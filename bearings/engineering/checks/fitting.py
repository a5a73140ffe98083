"""Checks of what stands between and above the bearings: clamps, spacers, snap rings."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from bearings.engineering.checks.matching import exact
from bearings.engineering.checks.registry import COMMON_PRACTICE, SHOP_POLICY, check
from bearings.engineering.evidence import Evidence
from bearings.engineering.loads import loads_without_preload
from bearings.engineering.quantities import Bearing, Part
from bearings.engineering.results import Finding, Params, params

RefPart = tuple[str, Part]
CLAMPS: Final[frozenset[str]] = frozenset({"lock_nut"})
SPACERS: Final[frozenset[str]] = frozenset({"spacer", "shim"})


@check("preload-not-proven")
def preload_not_proven(evidence: Evidence) -> Iterator[Finding]:
    """Note a preload that no lock nut holds, with the loads that follow when it is not there."""
    preload = max((one.pair_preload_n or 0.0 for _, one in evidence.mount.bearings), default=0.0)
    clamped = any(isinstance(item, Part) and item.kind in CLAMPS for item in evidence.stack.items)
    if preload <= 0 or clamped:
        return
    without = loads_without_preload(evidence.mount, evidence.cases)
    loads: list[tuple[str, float]] = []
    if without is not None:
        loads = [(row.ref, row.axial_n) for row in without.bearings if row.axial_n is not None]
    yield Finding(
        code="preload-not-proven",
        severity="note",
        value=preload,
        unit="N",
        source=COMMON_PRACTICE,
        params=params(case=without.name if without else None, loads=tuple(loads)),
    )


def gaps(evidence: Evidence) -> Iterator[tuple[str, str, list[RefPart]]]:
    """Yield the spacers and shims between two neighbouring bearings, with the refs of those two."""
    above: str | None = None
    between: list[RefPart] = []
    for ref, item in zip(evidence.mount.refs, evidence.stack.items, strict=True):
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


@check("spacer-pair")
def spacer_pair(evidence: Evidence) -> Iterator[Finding]:
    """Warn when spacers between two bearings leave one ring out, or differ in height from ring to ring."""
    limit = exact(evidence.stack.policy.spacer_pair_um)
    for upper, lower, parts in gaps(evidence):
        paired = {"inner", "outer"} <= {part.ring for _, part in parts}
        for ref, part in parts:
            if part.ring in ("inner", "outer"):
                if not paired:
                    yield _spacer(evidence, ref, None, params(upper=upper, lower=lower, ring=part.ring))
                continue
            difference = height_difference_um(part)
            if difference is not None and difference > limit:
                yield _spacer(evidence, ref, difference, params(upper=upper, lower=lower, ring=part.ring))
        difference = ring_heights_difference_um(parts) if paired else None
        if difference is not None and difference > limit:
            ref = next(ref for ref, part in parts if part.ring in ("inner", "outer"))
            yield _spacer(evidence, ref, difference, params(upper=upper, lower=lower, ring="both"))


def _spacer(evidence: Evidence, ref: str, difference: Decimal | None, found: Params) -> Finding:
    return Finding(
        code="spacer-pair",
        severity="warn",
        ref=ref,
        value=None if difference is None else float(difference),
        limit=evidence.stack.policy.spacer_pair_um,
        unit="um",
        source=f"{COMMON_PRACTICE}; {SHOP_POLICY}",
        params=found,
    )


# Parts of the mount that hold an inner ring against down thrust; spacers, shims and washers only pass it on.
HOLDING_PARTS: Final = frozenset({"shoulder", "lock_nut", "snap_ring"})


@check("thrust-through-snap-ring")
def thrust_through_snap_ring(evidence: Evidence) -> Iterator[Finding]:
    """Warn when all down thrust goes through a snap ring; note when nothing above is on record."""
    above: list[RefPart] = []
    for ref, item in zip(evidence.mount.refs, evidence.stack.items, strict=True):
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
