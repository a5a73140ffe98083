"""Friction of one bearing, and the reference speed computed from it (Palmgren, ISO 15312)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import pi
from typing import Final

from bearings.engineering.quantities import ROLLER_TYPES, Bearing, BearingType, Method, Mounting
from bearings.engineering.rating import cotangent, equivalent_static_load
from bearings.engineering.tables import friction as table
from bearings.engineering.tables.interpolation import between_rows

WATT: Final = pi / 30_000
JOIN: Final = 2_000.0  # viscosity times speed below which M0 no longer depends on the speed
SLOW: Final = 160.0


@dataclass(frozen=True, slots=True)
class Friction:
    """Friction of one bearing: power = (drag (nu n)^(2/3) + load) n pi / 30 000, in N mm and W."""

    drag: float
    load: float

    def drag_nmm(self, viscosity: float, speed_rpm: float) -> float:
        """Return M0, the part of the friction torque that the oil makes."""
        return self.drag * oil_flow(viscosity, speed_rpm)

    def power_w(self, viscosity: float, speed_rpm: float) -> float:
        """Return the power lost at a speed."""
        return power_w(self.drag, oil_flow(viscosity, speed_rpm), self.load, speed_rpm)


def oil_flow(viscosity: float, speed_rpm: float) -> float:
    """Return what the drag of oil grows with: (nu n)^(2/3), below nu n = 2 000 always 160.

    ``viscosity`` nu in mm2/s and speed n in rpm, above 0. Source: Palmgren (from memory, unverified).

    >>> round(oil_flow(8.0, 1_000.0), 6), oil_flow(1.0, 1_000.0)
    (400.0, 160.0)
    """
    product = viscosity * speed_rpm
    return float(product ** (2 / 3)) if product >= JOIN else SLOW


def power_w(drag: float, flow: float, load_nmm: float, speed_rpm: float) -> float:
    """Return N = (drag flow + M1) n pi / 30 000, the power in W that the friction torque loses at a speed.

    ``drag`` and ``load_nmm`` M1 in N mm, ``flow`` of :func:`oil_flow`, zero or more. Source: mechanics.

    >>> round(power_w(10.0, 100.0, 5_000.0, 1_000.0), 3)  # 6 000 N mm at 1 000 rpm
    628.319
    """
    return (drag * flow + load_nmm) * speed_rpm * WATT


def dimension_series(bearing: Bearing) -> str | None:
    """Return the dimension series that a designation names, where the designation begins as usual.

    Source: ISO 15 and ISO 104, how trade usage writes them (from memory, unverified).

    >>> dimension_series(Bearing(type="angular_contact_ball", designation="7320 B"))
    '03'
    """
    return None if bearing.designation is None else _series_named(bearing.type, bearing.designation)


@lru_cache(maxsize=512)
def _series_named(kind: BearingType, designation: str) -> str | None:
    digits = designation.strip()
    if kind == "cylindrical_roller":
        digits = digits.lstrip("ENUJPF").strip()
    return next((series for prefix, series in table.SERIES_PREFIXES[kind] if _begins(digits, prefix)), None)


def _begins(designation: str, prefix: str) -> bool:
    """Whether a designation is this prefix and a two-digit bore code, then perhaps letters."""
    rest = designation[len(prefix) :]
    return (
        designation.startswith(prefix) and len(rest) >= 2 and rest[:2].isdigit() and not rest[2:3].isdigit()
    )


def default_f0(bearing: Bearing, method: Method | None, mounting: Mounting) -> float | None:
    """Return f0 of a type for a way of lubricating it; None where no value is known.

    A vertical shaft in a bath and an oil jet double it, but for cylindrical roller bearings. Source: Palmgren
    (factors from memory, unverified); doubling is common practice, no source.

    >>> default_f0(Bearing(type="angular_contact_ball", designation="7320"), "oil_bath", "vertical")
    6.0
    """
    return None if method is None else _usual_f0(bearing.type, bearing.designation, method, mounting)


@lru_cache(maxsize=512)
def _usual_f0(kind: BearingType, designation: str | None, method: Method, mounting: Mounting) -> float | None:
    if method == "grease":
        return table.GREASE_F0.get(kind)
    series = None if designation is None else _series_named(kind, designation)
    bath = table.BATH_F0_BY_SERIES.get((kind, series or ""), table.BATH_F0[kind])
    doubled = mounting == "vertical" or method == "oil_jet"
    return bath * 2 if doubled and kind not in table.NOT_DOUBLED else bath


def default_f1(bearing: Bearing, axial_n: float, radial_n: float) -> float | None:
    """Return f1 = z (P0 / C0)^y of a ball bearing, a constant of a roller bearing; None when C0 or P0 is unknown.

    Loads in N, zero or more; deep groove z 0.0006, y 0.55; angular contact z 0.001 at 30 to 0.0013 at 40 degrees,
    y 0.33. Source: Palmgren (factors from memory, unverified).

    >>> one = Bearing(type="angular_contact_ball", contact_angle_deg=40.0, static_rating_n=208_000.0)
    >>> round(default_f1(one, 16_100.0, 0.0), 6)
    0.000358
    """
    if bearing.type in ROLLER_TYPES:
        known = table.REFERENCE_FACTORS.get((bearing.type, dimension_series(bearing) or ""))
        return known[1] if known is not None else table.ROLLER_F1[bearing.type]
    static = equivalent_static_load(bearing, axial_n, radial_n)
    if static is None or bearing.static_rating_n is None:
        return None
    ratio = static / bearing.static_rating_n
    if bearing.type == "deep_groove_ball":
        return table.GROOVE_Z * float(ratio**table.GROOVE_EXPONENT)
    return _angular_z(bearing.contact_angle_deg or 0.0) * float(ratio**table.ANGULAR_EXPONENT)


@lru_cache(maxsize=256)
def _angular_z(angle_deg: float) -> float:
    return between_rows(table.ANGULAR_Z_ANGLES_DEG, table.ANGULAR_Z, angle_deg)


def friction_load(bearing: Bearing, axial_n: float, radial_n: float) -> float | None:
    """Return P1 in N, the load that the friction torque grows with; None when the contact angle is unknown.

    Angular contact max(0.9 Fa cot(alpha) - 0.1 Fr, Fr), thrust roller Fa, deep groove max(3 Fa - 0.1 Fr, Fr).
    Loads in N, zero or more. Source: Palmgren (from memory, unverified).

    >>> round(friction_load(Bearing(type="angular_contact_ball", contact_angle_deg=40.0), 16_100.0, 0.0), 1)
    17268.5
    """
    if bearing.type == "spherical_roller_thrust":
        return axial_n
    if bearing.type == "cylindrical_roller":
        return radial_n
    if bearing.type == "deep_groove_ball":
        # 3 Fa - 0.1 Fr is from memory, unverified.
        return max(3 * axial_n - 0.1 * radial_n, radial_n)
    if bearing.contact_angle_deg is None:
        return None
    return max(0.9 * axial_n * cotangent(bearing.contact_angle_deg) - 0.1 * radial_n, radial_n)


def friction_of(
    bearing: Bearing, axial_n: float, radial_n: float, method: Method | None, mounting: Mounting
) -> Friction | None:
    """Return the friction of one bearing under its own loads; None when an input is unknown.

    M0 = 1e-7 f0 (nu n)^(2/3) dm^3 and M1 = f1 P1 dm in N mm, with dm in mm, nu in mm2/s, n in rpm, loads in N.
    Source: Palmgren (factors from memory, unverified; a quarter uncertain at best).

    >>> one = Bearing(type="spherical_roller_thrust", pitch_diameter_mm=200.0, f0=6.0, f1=0.0005)
    >>> found = friction_of(one, 100_000.0, 0.0, "oil_bath", "vertical")
    >>> round(found.drag_nmm(20.0, 1_000.0)), round(found.load), round(found.power_w(20.0, 1_000.0))
    (3537, 10000, 1418)
    """
    drag, load = drag_of(bearing, method, mounting), load_torque_nmm(bearing, axial_n, radial_n)
    return None if drag is None or load is None else Friction(drag, load)


def drag_of(bearing: Bearing, method: Method | None, mounting: Mounting) -> float | None:
    """Return 1e-7 f0 dm^3 in N mm, what the oil makes of the friction of one bearing whatever its loads are.

    dm in mm; None while size or f0 is unknown. Source: Palmgren (factors from memory, unverified).

    >>> one = Bearing(type="spherical_roller_thrust", pitch_diameter_mm=200.0, f0=6.0)
    >>> round(drag_of(one, "oil_bath", "vertical"), 3)
    4.8
    """
    pitch = bearing.pitch_mm
    f0 = bearing.f0 if bearing.f0 is not None else default_f0(bearing, method, mounting)
    return None if pitch is None or f0 is None else 1e-7 * f0 * pitch**3


def load_torque_nmm(bearing: Bearing, axial_n: float, radial_n: float) -> float | None:
    """Return M1 = f1 P1 dm in N mm, what the loads make of the friction of one bearing.

    Loads in N, zero or more; dm in mm; None while an input is unknown. Source: Palmgren (factors from memory,
    unverified).

    >>> one = Bearing(type="spherical_roller_thrust", pitch_diameter_mm=200.0, f1=0.0005)
    >>> load_torque_nmm(one, 100_000.0, 0.0)
    10000.0
    """
    pitch, load = bearing.pitch_mm, friction_load(bearing, axial_n, radial_n)
    if pitch is None or load is None:
        return None
    f1 = bearing.f1 if bearing.f1 is not None else default_f1(bearing, axial_n, radial_n)
    return None if f1 is None else f1 * load * pitch


def speed_at_power(drag: float, load: float, power_w: float) -> float:
    """Return n in rpm where (drag n^(2/3) + load) n pi / 30 000 equals a power in W; for drag above 0.

    ``drag`` in N mm rpm^(-2/3), ``load`` in N mm, zero or more. With m = n^(1/3) the sum drag m^5 + load m^3 rises
    and is convex, so Newton's method walks down to its root from any speed above it.

    >>> round(speed_at_power(10.0, 5_000.0, 628.3185307), 3)  # (10 x 100 + 5 000) N mm at 1 000 rpm
    1000.0
    """
    goal = power_w / WATT
    if goal <= 0:
        return 0.0
    root = float((goal / drag) ** 0.2)
    if load > 0:
        root = min(root, float((goal / load) ** (1 / 3)))
    for _ in range(60):
        square = root * root
        value = (drag * square + load) * square * root - goal
        step = value / ((5 * drag * square + 3 * load) * square)
        root -= step
        if abs(step) <= 1e-15 * root:
            break
    return root**3


def permissible_speed(frictions: tuple[Friction, ...], viscosity: float, heat_removed_w: float) -> float:
    """Return the speed in rpm at which the friction of all bearings equals the heat removed; 0 when none is.

    ``viscosity`` in mm2/s above 0, heat in W. Below nu n = 2 000 the drag no longer depends on the speed.
    Source: Palmgren (from memory, unverified).

    >>> round(permissible_speed((Friction(1.0, 5_000.0),), 31.6227766, 628.3185307))  # (1 000 + 5 000) N mm
    1000
    """
    if heat_removed_w <= 0:
        return 0.0
    drag, load = sum(one.drag for one in frictions), sum(one.load for one in frictions)
    join_rpm = JOIN / viscosity
    slow = heat_removed_w / WATT / (drag * SLOW + load)
    if slow < join_rpm:
        return slow
    return max(join_rpm, speed_at_power(drag * float(viscosity ** (2 / 3)), load, heat_removed_w))


def reference_speed(bearing: Bearing) -> float | None:
    """Return the thermal reference speed in rpm by heat balance at the standard's conditions; None when unknown.

    1e-7 f0r (nu n)^(2/3) dm^3 + f1r P dm equals qr As; P is 0.05 C0 of radial, 0.02 C0 of thrust bearings.
    Source: ISO 15312 (factors and conditions from memory, unverified).

    >>> one = Bearing(
    ...     type="angular_contact_ball", designation="7320", contact_angle_deg=40.0, bore_mm=100.0,
    ...     outside_diameter_mm=215.0, height_mm=47.0, static_rating_n=190_000.0,
    ... )
    >>> round(reference_speed(one))
    3609
    """
    factors = _reference_factors(bearing)
    surface = reference_surface(bearing)
    pitch = bearing.pitch_mm
    if factors is None or surface is None or pitch is None or bearing.static_rating_n is None:
        return None
    viscosity, share, _flow, _exponent = _reference_conditions(bearing)
    f0r, f1r = factors
    drag = 1e-7 * f0r * float(viscosity ** (2 / 3)) * pitch**3
    heat = reference_heat_flow(bearing, surface) * surface
    return speed_at_power(drag, f1r * share * bearing.static_rating_n * pitch, heat)


def _reference_conditions(bearing: Bearing) -> tuple[float, float, float, float]:
    thrust = bearing.type == "spherical_roller_thrust"
    return table.REFERENCE_THRUST if thrust else table.REFERENCE_RADIAL


def reference_heat_flow(bearing: Bearing, surface_mm2: float) -> float:
    """Return qr in W/mm2: what the seats of a bearing pass on at the standard's rise of 50 K.

    0.016 of radial, 0.020 of thrust bearings, falling with the surface beyond 50 000 mm2. Source: ISO 15312 (from
    memory, unverified).

    >>> reference_heat_flow(Bearing(type="deep_groove_ball"), 40_000.0)
    0.016
    """
    _viscosity, _share, heat_flow, exponent = _reference_conditions(bearing)
    if surface_mm2 <= table.REFERENCE_SURFACE_MM2:
        return heat_flow
    return heat_flow * float((surface_mm2 / table.REFERENCE_SURFACE_MM2) ** exponent)


def _reference_factors(bearing: Bearing) -> tuple[float, float] | None:
    known: tuple[float, float] | None = None
    angle = bearing.contact_angle_deg
    steep = angle is not None and angle > table.REFERENCE_ANGLE_DEG
    if bearing.type != "angular_contact_ball" or steep:
        known = table.REFERENCE_FACTORS.get((bearing.type, dimension_series(bearing) or ""))
    if known is None:
        return None if bearing.f0r is None or bearing.f1r is None else (bearing.f0r, bearing.f1r)
    return (
        known[0] if bearing.f0r is None else bearing.f0r,
        known[1] if bearing.f1r is None else bearing.f1r,
    )


def reference_surface(bearing: Bearing) -> float | None:
    """Return As in mm2, the surface that gives off the heat: the one given, else from the dimensions.

    Radial bearings pi B (D + d); thrust roller bearings the seat faces of both washers, which their washers'
    diameters give (from memory, unverified) and nothing else does. Source: ISO 15312.

    >>> one = Bearing(type="deep_groove_ball", bore_mm=100.0, outside_diameter_mm=215.0, height_mm=47.0)
    >>> round(reference_surface(one))
    46511
    """
    if bearing.reference_surface_mm2 is not None:
        return bearing.reference_surface_mm2
    if bearing.type == "spherical_roller_thrust":
        return _washer_faces(bearing)
    if bearing.bore_mm is None or bearing.outside_diameter_mm is None or bearing.height_mm is None:
        return None
    return pi * bearing.height_mm * (bearing.bore_mm + bearing.outside_diameter_mm)


def _washer_faces(bearing: Bearing) -> float | None:
    shaft, housing = bearing.shaft_washer_diameter_mm, bearing.housing_washer_bore_mm
    bore, outside = bearing.bore_mm, bearing.outside_diameter_mm
    if shaft is None or housing is None or bore is None or outside is None:
        return None
    surface = pi / 4 * (outside**2 - housing**2 + shaft**2 - bore**2)
    return surface if surface > 0 else None
