"""How tandem neighbours share their load when one stands out further, and how much one carries then."""

from __future__ import annotations

from itertools import pairwise
from typing import Final, NamedTuple

from bearings.engineering.arrangement import Mount
from bearings.engineering.quantities import Bearing
from bearings.engineering.results import UNLOADED_BELOW_N, CaseLoads, CaseName
from bearings.engineering.rising_angle import approach_at, grooves_of
from bearings.engineering.sharing import compliance

SOURCE: Final = (
    "derived from F = K d^1.5: the difference equals the approach of one bearing under all of the load"
)


class MismatchRow(NamedTuple):
    """Two tandem neighbours: what they carry together in a case, and how sensitive the sharing is.

    ``carries_all_um`` is the difference of stand-out at which one of them carries all of that load, by the first
    model; ``rising_carries_all_um`` by the second. ``growth_difference_um`` is what a warmer shaft or unequal
    fits add to the difference; minus narrows it.
    """

    refs: tuple[str, str]
    case: CaseName
    load_n: float
    stand_out_difference_um: float | None
    growth_difference_um: float | None
    heavier_share: float | None
    carries_all_um: float | None
    rising_carries_all_um: float | None


def carries_all_um(compliance_mm: float, load_n: float) -> float:
    """Return the difference of stand-out at which one of two bearings carries all of a load."""
    return compliance_mm * float(load_n ** (2 / 3)) * 1000


def _telling(cases: tuple[CaseLoads, ...], refs: tuple[str, str]) -> tuple[CaseLoads, float] | None:
    """Return the running case, or the one that loads the two most, and what they carry together."""
    known = []
    for case in cases:
        loads = [case.axial_n(ref) for ref in refs]
        total = sum(load for load in loads if load is not None)
        if None not in loads and total >= UNLOADED_BELOW_N:
            known.append((case, total))
    if known and known[0][0].name == "running":
        return known[0]
    return max(known, key=lambda pair: pair[1], default=None)


def _row(
    refs: tuple[str, str],
    pair: tuple[Bearing, Bearing],
    found: tuple[CaseLoads, float],
    growth: dict[str, float] | None,
) -> MismatchRow:
    case, load = found
    loads = [case.axial_n(ref) or 0.0 for ref in refs]
    heavier = pair[0] if loads[0] >= loads[1] else pair[1]
    upper, lower = pair[0].stand_out_um, pair[1].stand_out_um
    apart = None if upper is None or lower is None else upper - lower
    grown = None if growth is None else (growth[refs[0]] - growth[refs[1]]) * 1000
    if grown is not None:
        # Plus widens the difference that is there, whichever of the two stands out.
        grown = abs(grown) if not apart else grown if apart > 0 else -grown
    c, grooves = compliance(heavier), grooves_of(heavier)
    return MismatchRow(
        refs,
        case.name,
        load,
        None if apart is None else abs(apart),
        grown,
        None if apart is None else max(loads) / load,
        None if c is None else carries_all_um(c, load),
        None if grooves is None else approach_at(grooves, load) * 1000,
    )


def mismatch_rows(
    mount: Mount, cases: tuple[CaseLoads, ...], growth: dict[str, float] | None
) -> tuple[MismatchRow, ...]:
    """Return a row for every two angular contact neighbours in tandem whose balls are known and that a case loads.

    ``growth`` is the change of each bearing's overlap in mm when the shaft is warmer or a ring is fitted tight.
    """
    rows = []
    for (upper, one), (lower, other) in pairwise(mount.one_way):
        if one.wide_face != other.wide_face or {one.type, other.type} != {"angular_contact_ball"}:
            continue
        refs = (upper, lower)
        found = _telling(cases, refs) if compliance(one) and compliance(other) else None
        if found is not None:
            rows.append(_row(refs, (one, other), found, growth))
    return tuple(rows)
