"""Friction heat, the thermal reference speed and the speed at which the heat is just removed.

Sources: ISO 15312 reference conditions (restated in two handbooks); heat balance and Palmgren's friction
torque from memory, unverified. Only factors that the stack file gives are used here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi, radians, tan

from bearings.engineering.quantities import Bearing
from bearings.engineering.rating import pitch_diameter_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingHeat:
    """Friction of one bearing in the running case at rated speed [W] and its reference speed [r/min]."""

    ref: str
    friction_w: float | None
    reference_speed_rpm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Thermal:
    """Heat of the stack. ``permissible_rpm`` is where friction equals the heat removed."""

    bearings: tuple[BearingHeat, ...]
    friction_w: float | None
    heat_removed_w: float | None
    permissible_rpm: float | None


def friction_torque_nmm(
    *, f0: float, viscosity_mm2_s: float, speed_rpm: float, pitch_diameter_mm: float, f1: float, load_n: float
) -> float:
    """Return Palmgren's friction torque M0 + M1. [N mm]

    Parameters
    ----------
    f0 : float
        Factor of the lubricant's part. [-]
    viscosity_mm2_s : float
        Viscosity at operating temperature. [mm²/s]
    speed_rpm : float
        Speed. [r/min]
    pitch_diameter_mm : float
        Pitch diameter. [mm]
    f1 : float
        Factor of the load's part. [-]
    load_n : float
        Load P1 that makes friction. [N]

    >>> round(friction_torque_nmm(f0=6.6, viscosity_mm2_s=20, speed_rpm=1780, pitch_diameter_mm=157.5, f1=0, load_n=0))
    2791
    """
    product = viscosity_mm2_s * speed_rpm
    churn = product ** (2 / 3) if product >= 2000 else 160.0
    return float(1e-7 * f0 * churn * pitch_diameter_mm**3 + f1 * load_n * pitch_diameter_mm)


def friction_w(torque_nmm: float, speed_rpm: float) -> float:
    """Return the heat of a torque at a speed. [W]"""
    return torque_nmm * speed_rpm * pi / 30_000


def friction_load_n(bearing: Bearing, axial_n: float, radial_n: float) -> float | None:
    """Return P1, the load that makes friction, or None where the method gives none. [N]"""
    if bearing.type == "spherical_roller_thrust":
        return axial_n
    if bearing.type == "angular_contact_ball":
        if bearing.contact_angle_deg is None:
            return None
        cotangent = 1 / tan(radians(bearing.contact_angle_deg))
        return max(0.9 * axial_n * cotangent - 0.1 * radial_n, radial_n)
    return radial_n if axial_n == 0 else None


def reference_surface_mm2(bearing: Bearing) -> float | None:
    """Return the heat-emitting surface (ISO 15312); a thrust roller bearing's must be given. [mm²]"""
    if bearing.reference_surface_mm2 is not None:
        return bearing.reference_surface_mm2
    if bearing.type == "spherical_roller_thrust":
        return None
    if bearing.bore_mm is None or bearing.outside_diameter_mm is None or bearing.height_mm is None:
        return None
    return pi * bearing.height_mm * (bearing.bore_mm + bearing.outside_diameter_mm)


def heat_flow_density(surface_mm2: float, *, thrust: bool) -> float:
    """Return the reference heat-flow density (ISO 15312). [W/mm²]

    >>> round(heat_flow_density(100_000, thrust=False), 5)
    0.01264
    """
    base, exponent = (0.020, -0.16) if thrust else (0.016, -0.34)
    return float(base * max(1.0, surface_mm2 / 50_000) ** exponent)


def reference_speed_rpm(bearing: Bearing) -> float | None:
    """Return the thermal reference speed at the standard's conditions, or None when a factor is unknown. [r/min]"""
    dm, surface = pitch_diameter_mm(bearing), reference_surface_mm2(bearing)
    if bearing.f0r is None or bearing.f1r is None or bearing.static_rating_n is None or dm is None or surface is None:
        return None
    thrust = bearing.type == "spherical_roller_thrust"
    load = (0.02 if thrust else 0.05) * bearing.static_rating_n
    viscosity = 24.0 if thrust else 12.0
    f0r, f1r = bearing.f0r, bearing.f1r

    def heat(speed_rpm: float) -> float:
        # The reference conditions always lie above nu n = 2000, so the standard's single branch is used.
        churn = 1e-7 * f0r * (viscosity * speed_rpm) ** (2 / 3) * dm**3
        return friction_w(churn + f1r * load * dm, speed_rpm)

    return speed_where(heat, heat_flow_density(surface, thrust=thrust) * surface)


def speed_where(heat: Callable[[float], float], target_w: float) -> float:
    """Return the speed at which a rising heat reaches a target. [r/min]"""
    low, high = 0.0, 1000.0
    while heat(high) < target_w:
        low, high = high, 2 * high
    for _ in range(100):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        if heat(middle) < target_w:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
