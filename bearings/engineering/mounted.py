"""Overlap of angular contact bearings as mounted and warm: heat, the fit of the inner ring, measured spacers.

Bearing i from the top carries down (s = +1) or up (s = -1); z is the depth of its mid-plane below that of the first
bearing, h what the inner parts above it are taller than the outer ones:

    o_warm = o_cold + a dT (dm/2 cot(alpha) + s z) + k max(I, 0) / (2 tan(alpha)) + s h
    k = (d/F) (1 - (di/d)^2) / (1 - (di/F)^2),   F = dm - Dw cos(alpha)

Derived from geometry, the expansion of steel and Lame's thick ring on a hollow mount of bore di of the same steel.
alpha nominal; balls at the mean of the rings' temperatures; the outer ring's fit is not counted. Only differences of
z count, because the shaft settles where the loads balance.
"""

from __future__ import annotations

from math import cos, radians, sin, tan
from typing import Final

from bearings.engineering.arrangement import Mount
from bearings.engineering.quantities import Bearing, Part, Stack

STEEL_EXPANSION: Final = 11.5e-6  # 1/K, bearing steel
SOURCE: Final = "geometry; expansion of steel 11.5e-6 / K; ring on a mount of the same steel (Lame)"


def is_modelled(mount: Mount) -> bool:
    """Whether heat and fits change the sharing: of two or more angular contact bearings on rigid seats alone."""
    one_way = mount.one_way
    return (
        len(one_way) > 1
        and not mount.unfaced
        and not mount.both_ways
        and all(one.type == "angular_contact_ball" and not one.on_springs for _, one in one_way)
    )


def raceway_share(bearing: Bearing, mount_bore_mm: float) -> float | None:
    """Return k, the part of its interference by which an inner ring widens at the raceway; None where not known.

    ``mount_bore_mm`` is the bore of the mount under the ring, 0 for a solid one.
    """
    pitch, ball = bearing.pitch_mm, bearing.ball_diameter_mm
    bore, angle = bearing.bore_mm, bearing.contact_angle_deg
    if pitch is None or ball is None or bore is None or angle is None:
        return None
    raceway = pitch - ball * cos(radians(angle))
    if raceway <= bore or mount_bore_mm >= bore:
        return None
    hollow = (1 - (mount_bore_mm / bore) ** 2) / (1 - (mount_bore_mm / raceway) ** 2)
    return bore / raceway * hollow


def part_heights_mm(part: Part) -> tuple[float | None, float | None]:
    """Return what a part adds to the inner and to the outer column in mm; 0 on the ring it does not sit against."""
    inner = part.height_mm if part.inner_height_mm is None else part.inner_height_mm
    outer = part.height_mm if part.outer_height_mm is None else part.outer_height_mm
    if part.ring == "inner":
        return inner, 0.0
    if part.ring == "outer":
        return 0.0, outer
    return inner, outer


class Columns:
    """Depth and height difference of every bearing, from the top; unknown heights make what lies below unknown."""

    def __init__(self, stack: Stack) -> None:
        self.depth_mm: list[float | None] = []
        self.taller_inner_mm: list[float] = []
        depth: float | None = 0.0
        taller = 0.0
        above: Bearing | None = None
        between: list[Part] = []
        for item in stack.items:
            if isinstance(item, Part):
                between.append(item)
                continue
            if above is not None:
                step, more = self._gap(above, between, item)
                depth = None if depth is None or step is None else depth + step
                taller += more
            self.depth_mm.append(depth)
            self.taller_inner_mm.append(taller)
            above, between = item, []

    @staticmethod
    def _gap(upper: Bearing, between: list[Part], lower: Bearing) -> tuple[float | None, float]:
        """Return the distance of two mid-planes in mm, and by how much the inner parts between them are taller."""
        columns = [part_heights_mm(part) for part in between]
        inner = [one for one, _ in columns]
        outer = [other for _, other in columns]
        both = any(part.ring != "outer" for part in between) and any(part.ring != "inner" for part in between)
        more = 0.0
        if both and None not in inner and None not in outer:
            more = sum(one or 0.0 for one in inner) - sum(one or 0.0 for one in outer)
        if upper.height_mm is None or lower.height_mm is None or None in inner or None in outer:
            return None, more
        tallest = max(sum(one or 0.0 for one in inner), sum(one or 0.0 for one in outer))
        return (upper.height_mm + lower.height_mm) / 2 + tallest, more


def overlap_changes_mm(stack: Stack, mount: Mount, warmer_k: float) -> dict[str, float] | None:
    """Return the change of every bearing's overlap in mm from cold and free to mounted and ``warmer_k`` warmer.

    None where a size, an angle or (with a warmer shaft) a height is not known. An interference that is not known
    counts as none; the caller fills it from its range.
    """
    columns = Columns(stack)
    hollow = stack.motor.mount_bore_mm or 0.0
    changes: dict[str, float] = {}
    for number, (ref, one) in enumerate(mount.bearings):
        if one.type != "angular_contact_ball":
            continue
        angle, depth = one.contact_angle_deg, columns.depth_mm[number]
        if angle is None or one.pitch_mm is None:
            return None
        slope, sign = tan(radians(angle)), 1 if one.wide_face == "down" else -1
        change = sign * columns.taller_inner_mm[number]
        interference = one.fit_interference_um or 0.0
        if interference > 0:
            share = raceway_share(one, hollow)
            if share is None:
                return None
            change += share * interference / 1000 / (2 * slope)
        if warmer_k:
            if depth is None:
                return None
            change += STEEL_EXPANSION * warmer_k * (one.pitch_mm / 2 / slope + sign * depth)
        changes[ref] = change
    return changes


def ball_temperature_uncertainty_mm(bearing: Bearing, warmer_k: float) -> float | None:
    """Return how much a pair's overlap grows with balls as warm as the inner ring, and shrinks with cool ones."""
    if bearing.ball_diameter_mm is None or bearing.contact_angle_deg is None:
        return None
    return STEEL_EXPANSION * warmer_k * bearing.ball_diameter_mm / sin(radians(bearing.contact_angle_deg))
