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
    """Return the change of overlap of an opposed pair in mm, positive for more preload.

    a dT (Do cot(alpha) - L) back to back, + L face to face; Do and L in mm, alpha in degrees, dT in K. Source:
    geometry; expansion of steel 11.5e-6 / K.

    >>> round(thermal_change_mm(157.5, 40.0, 47.0, 10.0, back_to_back=True), 5)
    0.01618
    """
    along = -distance_mm if back_to_back else distance_mm
    return STEEL_EXPANSION * warmer_k * (contact_mm / tan(radians(angle_deg)) + along)


def raceway_growth(bearing: Bearing) -> float | None:
    """Return the share of its interference by which an inner ring on a solid shaft widens at the raceway.

    d / F with F = dm - Dw cos(alpha), 0 to 1; None while that is not known. Source: Lame.

    >>> one = Bearing(
    ...     type="angular_contact_ball", contact_angle_deg=40.0, bore_mm=100.0, pitch_diameter_mm=157.5,
    ...     ball_diameter_mm=34.925,
    ... )
    >>> round(raceway_growth(one), 5)
    0.76484
    """
    pitch, ball, angle = bearing.pitch_mm, bearing.ball_diameter_mm, bearing.contact_angle_deg
    if pitch is None or ball is None or angle is None or bearing.bore_mm is None:
        return None
    raceway = pitch - ball * cos(radians(angle))
    return bearing.bore_mm / raceway if raceway > bearing.bore_mm else None


def fit_change_mm(bearing: Bearing) -> float | None:
    """Return the change of a bearing's overlap by its fit in mm; a loose ring does not change it.

    k I / (2 tan(alpha)) with k of :func:`raceway_growth` and I = fit_interference_um; None while k is unknown.
    Source: Lame; geometry.

    >>> one = Bearing(
    ...     type="angular_contact_ball", contact_angle_deg=40.0, bore_mm=100.0, pitch_diameter_mm=157.5,
    ...     ball_diameter_mm=34.925, fit_interference_um=20.0,
    ... )
    >>> round(fit_change_mm(one), 6)
    0.009115
    """
    interference, angle = bearing.fit_interference_um, bearing.contact_angle_deg
    if interference is None or interference <= 0:
        return 0.0
    share = raceway_growth(bearing)
    if share is None or angle is None:
        return None
    return share * interference / 1000 / (2 * tan(radians(angle)))


def distances_mm(stack: Stack) -> list[float | None]:
    """Return how far the middles of neighbouring bearings are apart in mm, from the top; None without a height.

    Parts side by side on the two rings fill the same room: the taller stack of the two counts. Source: geometry.

    >>> from bearings.engineering.quantities import MotorDuty
    >>> one, spacer = Bearing(type="deep_groove_ball", height_mm=47.0), Part(kind="spacer", height_mm=10.0)
    >>> distances_mm(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=(one, one, spacer, one)))
    [47.0, 57.0]
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
    """Return whether growth was asked: a warmer shaft or the fit of a ring is given.

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import MotorDuty
    >>> stack = Stack(motor=MotorDuty(rated_speed_rpm=1_780.0, shaft_warmer_k=10.0), items=())
    >>> growth_asked(stack, mount_of(stack))
    True
    """
    fits = any(one.fit_interference_um is not None for _, one in mount.one_way)
    return stack.motor.shaft_warmer_k is not None or fits


def growth_modelled(mount: Mount) -> bool:
    """Return whether the stack is one of angular contact bearings on rigid seats, which growth is computed for.

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import MotorDuty
    >>> growth_modelled(mount_of(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=())))
    False
    """
    rigid = all(one.type == "angular_contact_ball" and not one.on_springs for _, one in mount.one_way)
    return bool(mount.one_way) and rigid and not mount.both_ways and not mount.unfaced


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
    """Return what the two directions press against each other without thrust, in N.

    The sum of K o^1.5 of one direction where both balance. Source: static balance.

    >>> round(rest_preload_n((Contact("1", 1, 1e6, 0.01), Contact("2", -1, 1e6, 0.01))), 3)
    1000.0
    """
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
    """Return what a warmer shaft and tight rings change; nothing where that was not asked.

    Changes of overlap in mm by ref, rows of opposed neighbours in µm and N. Source: geometry, Lame, static balance.

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import MotorDuty
    >>> stack = Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=())
    >>> growth_of(stack, mount_of(stack), Sharing())
    Growth(changes=None, rows=())
    """
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
