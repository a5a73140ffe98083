"""Lives of the bearings that are loaded in the running case, and of the stack."""

from __future__ import annotations

from bearings.engineering.lubrication import (
    cleanliness_factor,
    contamination_factor,
    lubricant_of_guide,
    operating_viscosity,
    reference_viscosity,
)
from bearings.engineering.quantities import ROLLER_TYPES, Bearing, Lubrication, Stack, guide_radial_n
from bearings.engineering.rating import (
    basic_life_h,
    bearing_life_modification,
    equivalent_load,
    reliability_factor,
    system_life,
)
from bearings.engineering.results import CaseLoads, LifeResult, LifeRow


def two_routes(lubrication: Lubrication) -> bool:
    """Whether the oil's level (or factor) and its cleanliness by Annex A are both given."""
    by_level = lubrication.contamination is not None or lubrication.contamination_factor is not None
    return by_level and lubrication.cleanliness is not None


def _modified(
    one: Bearing,
    equivalent: float | None,
    kappa: float | None,
    contamination: float | None,
    l10h: float | None,
) -> tuple[float | None, float | None]:
    """Return aISO and the modified life; None where an input is unknown."""
    if kappa is None or contamination is None or equivalent is None:
        return None, None
    a_iso = bearing_life_modification(one, equivalent, kappa, contamination)
    return a_iso, None if a_iso is None or l10h is None else a_iso * l10h


def life_row(
    ref: str,
    one: Bearing,
    loads: tuple[float, float | None],
    stack: Stack,
    viscosity: float | None,
    speed_rpm: float | None = None,
) -> LifeRow:
    """Return the life of one bearing under its axial and radial load (N), at rated speed unless another is given.

    Without a speed there is no life. ``viscosity`` is that of the stack's oil; a guide runs in its own lubricant.
    """
    axial, radial = loads
    oil, pitch = stack.lubrication, one.pitch_mm
    if ref.startswith("g"):
        oil = lubricant_of_guide(stack.guides[int(ref[1:]) - 1], oil)
        viscosity = operating_viscosity(oil)
    speed = stack.motor.rated_speed_rpm if speed_rpm is None else speed_rpm
    equivalent = None if radial is None else equivalent_load(one, axial, radial)
    l10h = None if equivalent is None or speed is None else basic_life_h(one, equivalent, speed)
    kappa = None
    if viscosity is not None and pitch is not None and speed is not None:
        kappa = viscosity / reference_viscosity(speed, pitch)
    contamination = contamination_factor(oil, pitch, kappa)
    a_iso, l10mh = _modified(one, equivalent, kappa, contamination, l10h)
    other = cleanliness_factor(oil, pitch, kappa) if two_routes(oil) else None
    a1 = reliability_factor(stack.motor.reliability_percent)
    return LifeRow(
        ref,
        equivalent,
        l10h,
        kappa,
        contamination,
        a_iso,
        l10mh,
        None if l10mh is None else a1 * l10mh,
        other,
        _modified(one, equivalent, kappa, other, l10h)[1],
    )


def _combined(lives: list[float | None], *, all_rollers: bool) -> float | None:
    known = [one for one in lives if one is not None]
    if not known or len(known) < len(lives):
        return None
    return system_life(known, all_rollers=all_rollers)


def assess_life(
    stack: Stack,
    running: CaseLoads | None,
    share: float | None,
    bearing: dict[str, Bearing],
    viscosity: float | None,
) -> LifeResult:
    """Return all lives of the running case; ``share`` is the radial load of each loaded bearing of the stack."""
    if running is None or not running.carried or running.not_shared is not None:
        return LifeResult(reliability_percent=stack.motor.reliability_percent)
    rows = []
    for ref, axial in running.loaded.items():
        radial = guide_radial_n(stack, ref) if ref.startswith("g") else share
        rows.append(life_row(ref, bearing[ref], (axial, radial), stack, viscosity))
    rollers = all(bearing[row.ref].type in ROLLER_TYPES for row in rows)
    modified = _combined([row.l10mh for row in rows], all_rollers=rollers)
    a1 = reliability_factor(stack.motor.reliability_percent)
    return LifeResult(
        tuple(rows),
        _combined([row.l10h for row in rows], all_rollers=rollers),
        modified,
        stack.motor.reliability_percent,
        a1,
        None if modified is None else a1 * modified,
        _combined([row.other_l10mh for row in rows], all_rollers=rollers),
    )
