"""Checks of sets: bearings that share thrust must be of one kind."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from typing import Final

from bearings.engineering.arrangement import DIRECTIONS, RefBearing
from bearings.engineering.checks.registry import COMMON_PRACTICE, SHOP_POLICY, check
from bearings.engineering.evidence import Evidence
from bearings.engineering.quantities import Severity
from bearings.engineering.results import Finding, params

SET_FIELDS: Final = ("designation", "contact_angle_deg", "maker", "variant")
ENVELOPE_FIELDS: Final = ("bore_mm", "outside_diameter_mm")


def _unlike(pairs: tuple[RefBearing, ...], fields: tuple[str, ...]) -> tuple[tuple[str, ...], str | None]:
    """Fields in which bearings differ where known, and the first ref that differs from one above it."""
    unlike: list[str] = []
    first = len(pairs)
    for field in fields:
        known = [
            (place, value)
            for place, (_, one) in enumerate(pairs)
            if (value := getattr(one, field)) is not None
        ]
        odd = next((place for place, value in known if value != known[0][1]), None)
        if odd is not None:
            unlike.append(field)
            first = min(first, odd)
    return tuple(unlike), pairs[first][0] if unlike else None


@check("mixed-set")
def mixed_set(evidence: Evidence) -> Iterator[Finding]:
    """Stop when bearings that share thrust differ in kind; a different set alone warns."""
    for direction in DIRECTIONS:
        pairs = evidence.mount.carriers(direction)
        severity: Severity = "stop"
        unlike, first = _unlike(pairs, SET_FIELDS)
        if not unlike:
            severity = "warn"
            unlike, first = _unlike(pairs, ("set_id",))
        if unlike:
            yield Finding(
                code="mixed-set",
                severity=severity,
                ref=first,
                source=COMMON_PRACTICE,
                params=params(direction=direction, refs=tuple(ref for ref, _ in pairs), fields=unlike),
            )


@check("envelope")
def envelope(evidence: Evidence) -> Iterator[Finding]:
    """Stop when bearings of one tandem differ in bore or outside diameter."""
    for direction in DIRECTIONS:
        pairs = evidence.mount.carriers(direction)
        unlike, first = _unlike(pairs, ENVELOPE_FIELDS)
        if unlike:
            yield Finding(
                code="envelope",
                severity="stop",
                ref=first,
                source=COMMON_PRACTICE,
                params=params(direction=direction, refs=tuple(ref for ref, _ in pairs), fields=unlike),
            )


def exact(number: float) -> Decimal:
    """Return a length as it was written, so that its comparison with a limit is exact."""
    return Decimal(repr(number))


@check("stand-out-mismatch")
def stand_out_mismatch(evidence: Evidence) -> Iterator[Finding]:
    """Warn when the stand-out of two tandem neighbours differs by more than the shop allows."""
    limit = evidence.stack.policy.tandem_stand_out_um
    for (upper_ref, upper), (lower_ref, lower) in pairwise(evidence.mount.one_way):
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
