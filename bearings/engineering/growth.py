"""What a warmer shaft and tight inner rings do to the overlap of bearings.

A shaft warmer by dT widens every inner ring by a dT Do and moves it by a dT z along the shaft, z its place. Do is
the diameter of the contacts, near the pitch diameter when the balls are as warm as the inner ring. The widening
closes a bearing by half of it times cot(alpha); the moving closes an upper bearing that carries up, and opens one
that carries down. For two opposed neighbours L apart that is a dT (Do cot(alpha) -+ L), minus back to back.

A ring pressed on a solid shaft of the same steel widens at its raceway by the interference times bore over raceway
diameter (Lame), usually 0.5 to 0.8 of the interference; each bearing is closed by that over 2 tan(alpha).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, radians, tan
from typing import Final, NamedTuple

from bearings.engineering.arrangement import Mount, relation
from bearings.engineering.end_play import end_play_mm, overlap_mm
from bearings.engineering.quantities import Bearing, Part, Stack
from bearings.engineering.results import Relation
from bearings.engineering.sharing import Contact, Sharing, shared_forces

STEEL_EXPANSION: Final = 11.5e-6  # 1/K, bearing steel
THERMAL_SOURCE: Final = "geometry; expansion of steel 11.5e-6 / K; shaft and inner rings at one temperature"
FIT_SOURCE: Final = "ring on a solid steel shaft (Lame): interference times bore over raceway diameter"


class GrowthRow(NamedTuple):
    """Two opposed neighbours when the shaft is warmer than the housing and the inner rings are fitted tight.

    Micrometres of overlap, positive is more preload. ``preload_n`` is what the opposed sides press against each
    other without thrust, before; ``end_play_um`` is that of the stack afterwards, negative is preloaded.
    """

    refs: tuple[str, str]
    relation: Relation
    distance_mm: float | None
    thermal_um: float | None
    fit_um: float | None
    preload_n: float | None
    preload_change_n: float | None
    end_play_um: float | None


def thermal_change_mm(
    contact_mm: float, angle_deg: float, distance_mm: float, warmer_k: float, *, back_to_back: bool
) -> float:
    """Return the change of overlap of an opposed pair, positive for more preload."""
    along = -distance_mm if back_to_back else distance_mm
    return STEEL_EXPANSION * warmer_k * (contact_mm / tan(radians(angle_deg)) + along)


def raceway_growth(bearing: Bearing) -> float | None:
    """Return how much of its interference an inner ring widens at the raceway; None while that is not known."""
    pitch, ball, angle = bearing.pitch_mm, bearing.ball_diameter_mm, bearing.contact_angle_deg
    if pitch is None or ball is None or angle is None or bearing.bore_mm is None:
        return None
    raceway = pitch - ball * cos(radians(angle))
    return bearing.bore_mm / raceway if raceway > bearing.bore_mm else None


def fit_change_mm(bearing: Bearing) -> float | None:
    """Return the change of a bearing's overlap by its fit; a loose ring does not change it."""
    interference, angle = bearing.fit_interference_um, bearing.contact_angle_deg
    if interference is None or interference <= 0:
        return 0.0
    share = raceway_growth(bearing)
    if share is None or angle is None:
        return None
    return share * interference / 1000 / (2 * tan(radians(angle)))


def distances_mm(stack: Stack) -> list[float | None]:
    """Return how far the middles of neighbouring bearings are apart, from the top; None where a height is missing.

    Parts side by side on the two rings fill the same room: the taller stack of the two counts.
    """
    found: list[float | None] = []
    above: Bearing | None = None
    between: list[Part] = []
    for item in stack.items:
        if isinstance(item, Part):
            between.append(item)
            continue
        if above is not None:
            found.append(_distance_mm(above, between, item))
        above, between = item, []
    return found


def _distance_mm(upper: Bearing, between: list[Part], lower: Bearing) -> float | None:
    if upper.height_mm is None or lower.height_mm is None:
        return None
    heights = {"inner": 0.0, "outer": 0.0}
    for part in between:
        for ring in heights:
            if part.ring in (ring, "both", None):
                own = part.inner_height_mm if ring == "inner" else part.outer_height_mm
                height = part.height_mm if own is None else own
                if height is None:
                    return None
                heights[ring] += height
    return (upper.height_mm + lower.height_mm) / 2 + max(heights.values())


class Growth(NamedTuple):
    """Growth of a stack: change of overlap of every one-way bearing in mm (None where not known), and rows."""

    changes: dict[str, float] | None = None
    rows: tuple[GrowthRow, ...] = ()


def growth_asked(stack: Stack, mount: Mount) -> bool:
    """Whether growth was asked: a warmer shaft or the fit of a ring is given."""
    fits = any(one.fit_interference_um is not None for _, one in mount.one_way)
    return stack.motor.shaft_warmer_k is not None or fits


def growth_modelled(mount: Mount) -> bool:
    """Whether the stack is one of angular contact bearings on rigid seats, which growth is computed for."""
    rigid = all(one.type == "angular_contact_ball" and not one.on_springs for _, one in mount.one_way)
    return bool(mount.one_way) and rigid and not mount.both_ways


def _places_mm(mount: Mount, distances: list[float | None]) -> dict[str, float | None]:
    """Return how far each bearing stands below the first; None from the first missing height on."""
    places: dict[str, float | None] = {}
    at: float | None = 0.0
    for (ref, _), step in zip(mount.bearings, [0.0, *distances], strict=True):
        at = None if at is None or step is None else at + step
        places[ref] = at
    return places


def _changes_mm(stack: Stack, mount: Mount, places: dict[str, float | None]) -> dict[str, float] | None:
    warmer = stack.motor.shaft_warmer_k or 0.0
    changes = {}
    for ref, one in mount.one_way:
        fit, place = fit_change_mm(one), places[ref]
        if fit is None:
            return None
        changes[ref] = fit
        if not warmer:
            continue
        if place is None or one.pitch_mm is None or one.contact_angle_deg is None:
            return None
        sign = 1 if one.wide_face == "down" else -1
        wider = one.pitch_mm / 2 / tan(radians(one.contact_angle_deg))
        # The shaft settles where the loads balance, so only differences of place count.
        changes[ref] += STEEL_EXPANSION * warmer * (wider + sign * place)
    return changes


def rest_preload_n(contacts: tuple[Contact, ...]) -> float:
    """Return what the two directions press against each other without thrust."""
    forces = shared_forces(contacts, 0.0)
    return sum(force for one, force in zip(contacts, forces, strict=True) if one.sign > 0)


class _Set(NamedTuple):
    """An opposed set after growth: preload before, its change, end play; None where not known."""

    preload_n: float | None = None
    change_n: float | None = None
    end_play_um: float | None = None


def _grown_set(mount: Mount, sharing: Sharing, changes: dict[str, float]) -> _Set:
    overlaps = [(1 if one.wide_face == "down" else -1, overlap_mm(one), ref) for ref, one in mount.one_way]
    known = [(sign, overlap + changes[ref]) for sign, overlap, ref in overlaps if overlap is not None]
    play = end_play_mm(known) * 1000 if len(known) == len(overlaps) else None
    if not sharing.contacts or sharing.equal_stiffness:
        return _Set(end_play_um=play)
    grown = tuple(replace(one, overlap=one.overlap + changes[one.ref]) for one in sharing.contacts)
    before = rest_preload_n(sharing.contacts)
    return _Set(before, rest_preload_n(grown) - before, play)


def growth_of(stack: Stack, mount: Mount, sharing: Sharing) -> Growth:
    """Return what a warmer shaft and tight rings change; nothing where that was not asked."""
    if not growth_asked(stack, mount) or not growth_modelled(mount):
        return Growth()
    distances = distances_mm(stack)
    places = _places_mm(mount, distances)
    changes = _changes_mm(stack, mount, places)
    found = _Set()
    if changes is not None and mount.opposed:
        found = _grown_set(mount, sharing, changes)
    rows = []
    for (upper, one), (lower, other) in pairwise(mount.one_way):
        if one.wide_face != other.wide_face:
            thermal, apart = _thermal_um(stack, (one, other), (places[upper], places[lower]))
            pair, faces = (upper, lower), relation(one, other)
            rows.append(GrowthRow(pair, faces, apart, thermal, _fit_um((one, other)), *found))
    return Growth(changes, tuple(rows))


def _fit_um(pair: tuple[Bearing, Bearing]) -> float | None:
    """Return the change of overlap of two neighbours by their fits; None while one is not known."""
    fits = [None if one.fit_interference_um is None else fit_change_mm(one) for one in pair]
    return None if None in fits else sum(value for value in fits if value is not None) * 1000


def _thermal_um(
    stack: Stack, pair: tuple[Bearing, Bearing], places: tuple[float | None, float | None]
) -> tuple[float | None, float | None]:
    """Return the thermal change of overlap of two opposed neighbours, and how far they are apart in mm."""
    warmer = stack.motor.shaft_warmer_k
    apart = None if places[0] is None or places[1] is None else places[1] - places[0]
    if not warmer:
        return None if warmer is None else 0.0, apart
    total = 0.0
    for one in pair:
        if apart is None or one.pitch_mm is None or one.contact_angle_deg is None:
            return None, apart
        back = pair[0].wide_face == "down"
        args = (one.pitch_mm, one.contact_angle_deg, apart, warmer)
        total += thermal_change_mm(*args, back_to_back=back) / 2
    return total * 1000, apart
