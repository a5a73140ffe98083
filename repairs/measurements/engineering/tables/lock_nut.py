"""Lock nuts: what a torque makes of axial force. No torque is prescribed here: the maker's figure is."""

from __future__ import annotations

from math import atan, cos, pi, radians, sqrt, tan
from typing import Final

from repairs.measurements.engineering.limits import Source

MECHANICS: Final = Source("mechanics: wedge of the thread with friction, and friction of the face")
PROFILE: Final = Source("geometry of the 60° thread: d2 = d - 3 sqrt(3) P / 8")
HALF_ANGLE_DEG: Final = 30.0
# A torque this far from the maker's was typed in another unit: an inch pound is a twelfth of a foot pound.
OTHER_UNIT: Final = 8.0


def pitch_diameter(thread_mm: float, pitch_mm: float) -> float:
    """Return the pitch diameter of a 60° thread. [mm]"""
    return thread_mm - 3 * sqrt(3) / 8 * pitch_mm


def axial_force(
    torque_nm: float,
    thread_mm: float,
    pitch_mm: float,
    friction_thread: float,
    friction_face: float,
    face_mm: float,
) -> float:
    """Return the axial force that a torque makes, by mean diameter of the face it rubs on. [N]"""
    d2 = pitch_diameter(thread_mm, pitch_mm)
    lead = atan(pitch_mm / (pi * d2))
    friction = atan(friction_thread / cos(radians(HALF_ANGLE_DEG)))
    arm_mm = d2 / 2 * tan(lead + friction) + friction_face * face_mm / 2
    return 1000 * torque_nm / arm_mm
