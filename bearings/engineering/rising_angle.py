"""Second model of load sharing: the contact angle rises as an angular contact bearing is loaded.

Rings are rigid, the shaft and the mount too. The centres of the two grooves lie A0 = (fi + fo - 1) Dw apart along
the contact line; an axial approach d stretches that to A, and the ball carries Q = Kn (A - A0)^1.5 at the angle of
the stretched line. The force Z Q sin(alpha) is explicit in d and never falls as d grows, so a stack has one
displacement, as in the first model. Kn is that of the two Hertz contacts in series. Ball forces by speed are left
out: small against the load of a loaded ball, not against that of an unloaded one.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import groupby
from math import asin, cos, degrees, inf, radians, sin, sqrt
from typing import Final, NamedTuple

from bearings.engineering.arrangement import Mount
from bearings.engineering.hertz import BallContacts, ball_contacts
from bearings.engineering.quantities import Bearing, Direction
from bearings.engineering.rating_plausibility import geometry_mistake
from bearings.engineering.sharing import LAST_STEP, SAME

# Groove radius over ball diameter where it is not given (usual values, common practice, no source).
INNER_GROOVE: Final = 0.52
OUTER_GROOVE: Final = 0.53
SOURCE: Final = "rigid rings, contact angle rising with load; Hertz contact with elliptic integrals"
ASSUMED_SOURCE: Final = f"{SOURCE}; groove radii assumed (common practice, no source)"
MOST_STEPS: Final = 100


class Grooves(NamedTuple):
    """What one bearing's force depends on.

    ``stiffness`` is Z Kn in N/mm^1.5; ``apart`` is A0, ``along`` and ``across`` are its axial and radial part, in mm.
    """

    stiffness: float
    apart: float
    along: float
    across: float

    def force(self, approach: float) -> tuple[float, float]:
        """Return the axial force and its slope at an axial approach in mm."""
        if approach <= 0:
            return 0.0, 0.0
        axial = self.along + approach
        distance = sqrt(axial * axial + self.across * self.across)
        stretch = approach * (self.along + axial) / (distance + self.apart)
        sine = axial / distance
        root = self.stiffness * sqrt(stretch)
        slope = root * (1.5 * sine * sine + stretch * (1 - sine * sine) / distance)
        return root * stretch * sine, slope

    def angle_deg(self, approach: float) -> float:
        """Return the contact angle at an axial approach."""
        axial = self.along + max(0.0, approach)
        return degrees(asin(axial / sqrt(axial * axial + self.across * self.across)))

    def approach_beyond(self, force_n: float) -> float:
        """Return an approach at which the force is not less: the one at a constant angle."""
        sine = self.along / self.apart
        return float((force_n / (self.stiffness * sine)) ** (2 / 3)) / sine


def groove_ratios(bearing: Bearing) -> tuple[float, float]:
    """Return the groove radii over the ball diameter, inner and outer; 0.52 and 0.53 where they are not given.

    Source: usual values, common practice, no source.

    >>> groove_ratios(Bearing(type="angular_contact_ball", inner_groove_ratio=0.515))
    (0.515, 0.53)
    """
    inner, outer = bearing.inner_groove_ratio, bearing.outer_groove_ratio
    return INNER_GROOVE if inner is None else inner, OUTER_GROOVE if outer is None else outer


def grooves_assumed(bearing: Bearing) -> bool:
    """Return whether a groove radius of the bearing is not given.

    >>> grooves_assumed(Bearing(type="angular_contact_ball", inner_groove_ratio=0.515))
    True
    """
    return bearing.inner_groove_ratio is None or bearing.outer_groove_ratio is None


def contacts_of(bearing: Bearing) -> BallContacts | None:
    """Return the two Hertz contacts of one ball; None where the balls are not known or cannot be.

    >>> contacts_of(Bearing(type="angular_contact_ball", contact_angle_deg=40.0)) is None
    True
    """
    ball, angle, pitch = bearing.ball_diameter_mm, bearing.contact_angle_deg, bearing.pitch_mm
    if ball is None or angle is None or pitch is None or geometry_mistake(bearing) is not None:
        return None
    return ball_contacts(ball, ball * cos(radians(angle)) / pitch, *groove_ratios(bearing))


@lru_cache(maxsize=4096)
def _grooves(
    balls: int, ball_mm: float, pitch_mm: float, angle_deg: float, ratios: tuple[float, float]
) -> Grooves:
    angle = radians(angle_deg)
    contact = ball_contacts(ball_mm, ball_mm * cos(angle) / pitch_mm, *ratios)
    apart = (ratios[0] + ratios[1] - 1) * ball_mm
    return Grooves(balls * contact.stiffness, apart, apart * sin(angle), apart * cos(angle))


def grooves_of(bearing: Bearing) -> Grooves | None:
    """Return a bearing's grooves; None where its balls are not known or cannot be.

    A0 = (fi + fo - 1) Dw apart; ``stiffness`` is Z Kn. Source: Hertz, geometry.

    >>> one = Bearing(
    ...     type="angular_contact_ball", contact_angle_deg=40.0, pitch_diameter_mm=157.5, ball_count=13,
    ...     ball_diameter_mm=34.925,
    ... )
    >>> round(grooves_of(one).apart, 5)  # (0.52 + 0.53 - 1) x 34.925
    1.74625
    """
    balls, ball, angle = bearing.ball_count, bearing.ball_diameter_mm, bearing.contact_angle_deg
    pitch = bearing.pitch_mm
    if balls is None or ball is None or angle is None or pitch is None:
        return None
    if geometry_mistake(bearing) is not None:
        return None
    return _grooves(balls, ball, pitch, angle, groove_ratios(bearing))


@lru_cache(maxsize=4096)
def approach_at(grooves: Grooves, force_n: float) -> float:
    """Return the axial approach in mm at which one bearing carries a force in N; the inverse of ``Grooves.force``.

    >>> own = Grooves(1e6, 1.75, 1.125, 1.34)
    >>> round(own.force(approach_at(own, 5_000.0))[0], 6), approach_at(own, 0.0)
    (5000.0, 0.0)
    """
    if force_n <= 0:
        return 0.0
    low, x = 0.0, grooves.approach_beyond(force_n)
    high = x
    for _ in range(MOST_STEPS):
        force, slope = grooves.force(x)
        if force < force_n:
            low = x
        else:
            high = x
        following = x - (force - force_n) / slope if slope > 0 else low
        if not low < following < high:
            following = (low + high) / 2
        if abs(following - x) <= 4e-16 * x or following in (low, high):
            return following
        x = following
    return x


class RisingContact(NamedTuple):
    """One bearing in the equation: direction it carries (+1 down, -1 up), grooves, overlap in mm."""

    ref: str
    sign: int
    grooves: Grooves
    overlap: float


def rising_contacts(mount: Mount) -> tuple[RisingContact, ...]:
    """Return the stack's angular contact bearings for the second model; nothing where one's balls are not known.

    Overlap in mm: the approach at the pair's preload plus the stand-out.

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import MotorDuty, Stack
    >>> one = Bearing(type="angular_contact_ball", wide_face="down")
    >>> rising_contacts(mount_of(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=(one,))))
    ()
    """
    contacts = []
    for ref, one in mount.one_way:
        if one.type != "angular_contact_ball":
            continue
        grooves = grooves_of(one)
        if grooves is None:
            return ()
        overlap = (one.stand_out_um or 0.0) / 1000 + approach_at(grooves, one.pair_preload_n or 0.0)
        contacts.append(RisingContact(ref, 1 if one.wide_face == "down" else -1, grooves, overlap))
    return tuple(contacts)


def settled(contacts: tuple[RisingContact, ...], net_n: float) -> float:
    """Return the displacement x (down positive, mm) at which the forces balance a net load in N.

    Only for a load that a contact carries, or for contacts both ways. Newton's method, kept in its bracket.

    >>> own = Grooves(1e6, 1.75, 1.125, 1.34)
    >>> round(settled((RisingContact("1", 1, own, 0.01), RisingContact("2", -1, own, 0.01)), 0.0), 9)
    0.0
    """
    way = -1 if net_n < 0 else 1
    net = abs(net_n)
    loaded = [one for one in contacts if one.sign == way]
    furthest = max((one.overlap for one in contacts if one.sign != way), default=-inf)
    low = -max(one.overlap for one in loaded)
    high = max(furthest, min(one.grooves.approach_beyond(net) - one.overlap for one in loaded))
    # Near the place where they carry like parts, at a constant angle.
    x = max(furthest, min(one.grooves.approach_beyond(net / len(loaded)) - one.overlap for one in loaded))
    alike = [
        (sign * way, grooves, overlap, len(list(group)))
        for (sign, grooves, overlap), group in groupby(contacts, key=lambda one: one[1:])
    ]
    for _ in range(MOST_STEPS):
        excess, slope = -net, 0.0
        for sign, grooves, overlap, count in alike:
            force, rise = grooves.force(sign * x + overlap)
            for _ in range(count):
                excess += sign * force
                slope += rise
        if excess == 0:
            break
        if excess > 0:
            high = x
        else:
            low = x
        following, close = (x - excess / slope if slope > 0 else inf), LAST_STEP
        if not low < following < high:
            following, close = (low + high) / 2, SAME
        if abs(following - x) <= close * abs(x) or following in (low, high):
            x = following
            break
        x = following
    return way * x


class RisingLoad(NamedTuple):
    """Axial load of one bearing by the second model and its contact angle there."""

    ref: str
    axial_n: float
    angle_deg: float


def rising_loads(contacts: tuple[RisingContact, ...], net_n: float) -> tuple[RisingLoad, ...]:
    """Return what every bearing carries of a net load in N; all of it nothing where none carries its direction.

    >>> own = Grooves(1e6, 1.75, 1.125, 1.34)
    >>> [round(row.axial_n, 3) for row in rising_loads((RisingContact("1", 1, own, 0.0),), 5_000.0)]
    [5000.0]
    """
    ways = {one.sign for one in contacts}
    carried = (1 if net_n > 0 else -1) in ways if net_n else len(ways) == 2
    # A displacement that is out of every bearing's reach when nothing is carried.
    x = settled(contacts, net_n) if carried else None
    rows = []
    for one in contacts:
        approach = 0.0 if x is None else one.sign * x + one.overlap
        rows.append(RisingLoad(one.ref, one.grooves.force(approach)[0], one.grooves.angle_deg(approach)))
    return tuple(rows)


def rising_freeing_thrust(contacts: tuple[RisingContact, ...], carries: Direction = "up") -> float | None:
    """Return the net load in N against ``carries`` that just frees the first bearing of that direction.

    None unless bearings carry both ways.

    >>> own = Grooves(1e6, 1.75, 1.125, 1.34)
    >>> rising_freeing_thrust((RisingContact("1", 1, own, 0.01),)) is None
    True
    """
    freed = 1 if carries == "down" else -1
    overlaps = [one.overlap for one in contacts if one.sign == freed]
    if not overlaps or len(overlaps) == len(contacts):
        return None
    thrust = 0.0
    for one in contacts:
        approach = one.overlap + min(overlaps) if one.sign != freed else one.overlap - min(overlaps)
        thrust += -one.sign * freed * one.grooves.force(approach)[0]
    return max(0.0, thrust)
