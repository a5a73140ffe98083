"""How angular contact bearings on one rigid shaft and mount share an axial load.

Each bearing i carries F_i = K_i max(0, s_i x + o_i)^1.5, where x is the shaft's displacement (down positive),
s_i the direction it carries (+1 down, -1 up) and o_i its overlap from preload and stand-out. The displacement
solves sum(s_i F_i) = net axial load, a sum that never falls as x grows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, radians, sin
from typing import Final

from bearings.engineering.arrangement import Mount
from bearings.engineering.quantities import Bearing, Direction

# Palmgren's constant-angle relation in N and mm (from memory, unverified).
PALMGREN: Final = 4.36e-4
PALMGREN_SOURCE: Final = "Palmgren, constant contact angle (from memory, unverified)"
EQUAL_SOURCE: Final = "equal stiffness assumed: like bearings, ball geometry unknown"
MOST_STEPS: Final = 100
# Newton's method squares its error: after a step so small, a share of the place, the next would change no digit.
LAST_STEP: Final = 1e-9
SAME: Final = 4e-16


def compliance(bearing: Bearing) -> float | None:
    """Return c in mm / N^(2/3) of approach = c F^(2/3); None when the ball geometry is unknown.

    c = 4.36e-4 / (Dw^(1/3) sin(alpha) (Z sin(alpha))^(2/3)), Dw in mm. Source: Palmgren, constant contact angle (from
    memory, unverified).

    >>> one = Bearing(type="angular_contact_ball", contact_angle_deg=40.0, ball_count=13, ball_diameter_mm=34.925)
    >>> round(compliance(one) * 1_500.0 ** (2 / 3) * 1000, 3)  # µm under the preload of a pair
    6.603
    """
    balls, ball_mm, angle = bearing.ball_count, bearing.ball_diameter_mm, bearing.contact_angle_deg
    if balls is None or ball_mm is None or angle is None:
        return None
    sine = sin(radians(angle))
    return float(PALMGREN / (ball_mm ** (1 / 3) * sine * (balls * sine) ** (2 / 3)))


@dataclass(frozen=True, slots=True)
class Contact:
    """One angular contact bearing in the equation: direction, stiffness in N/mm^1.5, overlap in mm."""

    ref: str
    sign: int
    stiffness: float
    overlap: float


@dataclass(frozen=True, slots=True)
class Sharing:
    """The angular contact bearings of a stack ready to be solved, or the reason why they cannot be."""

    contacts: tuple[Contact, ...] = ()
    equal_stiffness: bool = False
    not_shared: str | None = None


def _alike(bearings: tuple[Bearing, ...]) -> bool:
    """Whether the bearings have the same dimensions and ratings."""
    return (
        len(
            {
                (
                    one.bore_mm,
                    one.outside_diameter_mm,
                    one.height_mm,
                    one.contact_angle_deg,
                    one.dynamic_rating_n,
                    one.static_rating_n,
                    one.fatigue_load_limit_n,
                )
                for one in bearings
            }
        )
        == 1
    )


def sharing_of(mount: Mount, *, preloaded: bool = True) -> Sharing:
    """Return the load sharing of a stack's angular contact bearings, with or without their preload.

    Overlap o = c F^(2/3) of the pair's preload, plus the stand-out. Where balls are unknown like bearings count as
    equally stiff. Source: Palmgren (from memory, unverified).

    >>> from bearings.engineering.arrangement import mount_of
    >>> from bearings.engineering.quantities import MotorDuty, Stack
    >>> one = Bearing(type="angular_contact_ball", wide_face="down", stand_out_um=3.0)
    >>> sharing_of(mount_of(Stack(motor=MotorDuty(rated_speed_rpm=1_780.0), items=(one, one)))).not_shared
    'stand-out-without-geometry'
    """
    pairs = [pair for pair in mount.one_way if pair[1].type == "angular_contact_ball"]
    if not pairs:
        return Sharing()
    bearings = tuple(one for _, one in pairs)
    known = [compliance(one) for one in bearings]
    compliances = [one for one in known if one is not None]
    equal = len(compliances) < len(known)
    if equal and len(bearings) == 1:
        # A bearing alone carries what there is, whatever its stiffness and stand-out.
        sign = 1 if bearings[0].wide_face == "down" else -1
        return Sharing((Contact(pairs[0][0], sign, 1.0, 0.0),), equal_stiffness=True)
    if equal:
        if any(one.stand_out_um for one in bearings):
            return Sharing(not_shared="stand-out-without-geometry")
        if not _alike(bearings):
            return Sharing(not_shared="unlike-without-geometry")
        compliances = [1.0] * len(bearings)
    contacts = []
    for (ref, one), c in zip(pairs, compliances, strict=True):
        overlap = (one.stand_out_um or 0.0) / 1000
        if preloaded and one.pair_preload_n:
            overlap += c * one.pair_preload_n ** (2 / 3)
        contacts.append(Contact(ref, 1 if one.wide_face == "down" else -1, c**-1.5, overlap))
    return Sharing(tuple(contacts), equal)


def balance(
    sides: Sequence[tuple[int, float, float]], net: float, low: float, high: float, start: float
) -> float:
    """Return the displacement in mm where the signed forces equal ``net`` in N: Newton's method kept in its bracket.

    ``sides`` are (direction, stiffness in N/mm^1.5, overlap in mm); ``low`` and ``high`` bracket the displacement.

    >>> round(balance(((1, 1e6, 0.0),), 1_000.0, 0.0, 1.0, 1.0), 9)  # (1 000 / 1e6)^(2/3)
    0.01
    """
    x = start
    for _ in range(MOST_STEPS):
        force = -net
        slope = 0.0
        for sign, stiffness, overlap in sides:
            approach = sign * x + overlap
            if approach > 0:
                root = stiffness * approach**0.5
                force += sign * root * approach
                slope += 1.5 * root
        if force == 0:
            return x
        if force > 0:
            high = x
        else:
            low = x
        step = force / slope if slope > 0 else inf
        following, close = x - step, LAST_STEP
        if not low < following < high:
            following, close = (low + high) / 2, SAME
        if abs(following - x) <= close * abs(x) or following in (low, high):
            return following
        x = following
    return x


def shared_forces(contacts: tuple[Contact, ...], net_n: float) -> tuple[float, ...]:
    """Return the force in N of every contact for a net axial load that the contacts can carry.

    K max(0, s x + o)^1.5 where sum(s F) = net. Source: Palmgren (from memory, unverified); static balance.

    >>> alike = Contact("1", 1, 1e6, 0.005), Contact("2", 1, 1e6, 0.005)
    >>> [round(force, 3) for force in shared_forces(alike, 32_200.0)]
    [16100.0, 16100.0]
    """
    way = -1 if net_n < 0 else 1
    net = abs(net_n)
    sides = [(way * one.sign, one.stiffness, one.overlap) for one in contacts]
    loaded = [(k, o) for sign, k, o in sides if sign > 0]
    opposed = [o for sign, _, o in sides if sign < 0]
    if not loaded or (net == 0 and not opposed):
        return (0.0,) * len(sides)
    furthest = max(opposed) if opposed else -inf
    x = _one_sided(loaded, net)
    if x is None or x < furthest:
        low = -max([o for _, o in loaded])
        high = max(furthest, _nearest(loaded, net))
        # Near the place where they carry like parts.
        start = max(furthest, _nearest(loaded, net / len(loaded)))
        x = balance(sides, net, low, high, start)
    return tuple([k * a**1.5 if (a := sign * x + o) > 0 else 0.0 for sign, k, o in sides])


def _nearest(loaded: list[tuple[float, float]], load_n: float) -> float:
    """Return the least displacement in mm at which one of the loaded side carries a load by itself."""
    first = loaded[0][0]
    if all(k == first for k, _ in loaded):
        # Rounding keeps the order, so of like bearings the one with the greatest overlap is the nearest.
        return float((load_n / first) ** (2 / 3)) - max([o for _, o in loaded])
    return min([float((load_n / k) ** (2 / 3)) - o for k, o in loaded])


def _one_sided(loaded: list[tuple[float, float]], net: float) -> float | None:
    """Displacement when the loaded side alone carries ``net`` and all its overlaps are equal."""
    overlap = loaded[0][1]
    for _, other in loaded:
        if other != overlap:
            return None
    total: float = sum([k for k, _ in loaded])
    return float((net / total) ** (2 / 3)) - overlap


def freeing_thrust(contacts: tuple[Contact, ...], carries: Direction = "up") -> float:
    """Return the net load in N against ``carries`` that just frees the first bearing of that direction.

    >>> round(freeing_thrust((Contact("1", 1, 1e6, 0.005), Contact("2", -1, 1e6, 0.005))), 3)  # 1e6 x 0.01^1.5
    1000.0
    """
    freed = 1 if carries == "down" else -1
    first = min(one.overlap for one in contacts if one.sign == freed)
    thrust = 0.0
    for one in contacts:
        approach = one.overlap + first if one.sign != freed else one.overlap - first
        if approach > 0:
            thrust += (-one.sign * freed) * one.stiffness * approach**1.5
    return max(0.0, thrust)
