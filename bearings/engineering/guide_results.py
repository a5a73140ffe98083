"""Each guide by itself: which way it holds the shaft, what warmth does to its place, its speed and its life.

A guide *locates* the shaft in a direction when it is arranged to carry that way and nothing in the stack does. Beside
a stack that carries the same way it floats as long as it has end play, for the stack takes the thrust first; without
end play both would hold the shaft, and what each carries is not proven.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from bearings.engineering.arrangement import DIRECTIONS, Mount
from bearings.engineering.evidence import Evidence
from bearings.engineering.growth import STEEL_EXPANSION
from bearings.engineering.quantities import Bearing, Direction, Guide, Stack
from bearings.engineering.rating import basic_life_h, equivalent_load
from bearings.engineering.results import Basis
from bearings.engineering.speed import permissible, rated_speed

Taking = Literal["none", "locates", "after_play", "shares", "unknown"]
Role = Literal["locating", "floating", "not_proven"]


class GuideRow(NamedTuple):
    """One guide as entered, cold, in the running case at rated speed; None where an input is not known.

    ``growth_um`` is how far a warmer shaft moves it along the housing; ``float_enough`` whether its end play is more.
    """

    ref: str
    role: Role
    down: Taking
    up: Taking
    growth_um: float | None
    float_enough: bool | None
    rating_rpm: float | None
    basis: Basis | None
    permissible_rpm: float | None
    axial_n: float | None
    radial_n: float | None
    equivalent_load_n: float | None
    l10h: float | None


def taking(mount: Mount, guide: Guide, direction: Direction) -> Taking:
    """Return what a guide does with thrust in a direction."""
    if guide.carries not in (direction, "both") or guide.bearing.type == "cylindrical_roller":
        return "none"
    if any(one.is_one_way and one.wide_face is None for _, one in mount.bearings):
        return "unknown"
    if not mount.carriers(direction):
        return "locates"
    if guide.end_play_um is None:
        return "unknown"
    return "after_play" if guide.end_play_um > 0 else "shares"


def role_of(*ways: Taking) -> Role:
    """Return whether a guide locates the shaft, from what it does in each direction.

    >>> role_of("none", "locates"), role_of("after_play", "none"), role_of("unknown", "locates")
    ('locating', 'floating', 'not_proven')
    """
    if "unknown" in ways or "shares" in ways:
        return "not_proven"
    return "locating" if "locates" in ways else "floating"


def shaft_growth_um(distance_mm: float, warmer_k: float) -> float:
    """Return how far in um a shaft that is warmer than its housing grows over a distance (mm and K, signed).

    ``a L dT`` with a = 11.5e-6/K of steel. Source: geometry.

    >>> round(shaft_growth_um(1000.0, 10.0), 6)
    115.0
    """
    return STEEL_EXPANSION * distance_mm * warmer_k * 1000


def growth_um(stack: Stack, guide: Guide) -> float | None:
    """Return how far warmth moves a guide in its housing; None unless its distance and the warmth are known."""
    warmer = stack.motor.shaft_warmer_k
    warmer = stack.policy.assumed_shaft_warmer_k if warmer is None else warmer
    if guide.distance_mm is None or warmer is None:
        return None
    return shaft_growth_um(guide.distance_mm, warmer)


def float_enough(stack: Stack, mount: Mount, guide: Guide) -> bool | None:
    """Return whether a guide's end play takes up what the shaft grows; None where nobody knows.

    Also None of a guide that locates and of one that carries nothing: only beside a stack that carries the same way
    does a shaft that grows press a guide.
    """
    grown = growth_um(stack, guide)
    ways = {taking(mount, guide, way) for way in DIRECTIONS}
    if grown is None or guide.end_play_um is None or not ways & {"after_play", "shares"}:
        return None
    return abs(grown) <= guide.end_play_um


def guide_equivalent(one: Bearing, axial_n: float, radial_n: float) -> float | None:
    """Return the equivalent load of a guide in N; a cylindrical roller bearing takes radial load alone."""
    return radial_n if one.type == "cylindrical_roller" else equivalent_load(one, axial_n, radial_n)


def guide_rows(evidence: Evidence) -> tuple[GuideRow, ...]:
    """Return every guide of a stack."""
    return tuple(_row(evidence, ref, guide) for ref, guide in evidence.mount.guides)


def _row(evidence: Evidence, ref: str, guide: Guide) -> GuideRow:
    stack, running, radial, one = evidence.stack, evidence.running, guide.radial_load_n, guide.bearing
    down, up = (taking(evidence.mount, guide, way) for way in ("down", "up"))
    rating = rated_speed(one, guide.method(stack.lubrication.method))
    factors = stack.policy.set_factors
    allowed = permissible(rating[0], factors.spring if one.on_springs else factors.single) if rating else None
    axial = running.axial_n(ref) if running is not None and running.carried else None
    load = None if axial is None or radial is None else guide_equivalent(one, axial, radial)
    speed = stack.motor.rated_speed_rpm
    hours = basic_life_h(one, load, speed) if load and speed is not None else None
    return GuideRow(
        ref,
        role_of(down, up),
        down,
        up,
        growth_um(stack, guide),
        float_enough(stack, evidence.mount, guide),
        rating[0] if rating else None,
        rating[1] if rating else None,
        allowed,
        axial,
        radial,
        load,
        hours,
    )
