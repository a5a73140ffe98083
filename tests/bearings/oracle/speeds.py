"""Permissible speeds, friction and heat."""

from __future__ import annotations

import math

from scipy.optimize import brentq

from tests.bearings.oracle.lives import viscosity
from tests.bearings.oracle.loads import Case
from tests.bearings.oracle.parts import Row, Stack, on_springs, pitch_mm

FACTORS = {
    "single": 1.0,
    "tandem_pair": 0.90,
    "tandem_many": 0.80,
    "opposed_pair": 0.80,
    "opposed_single_side": 0.70,
    "opposed_many": 0.75,
    "spring": 1.0,
}


def set_factor(stack: Stack, bearing: Row) -> float:
    """Give the factor of the set that this bearing stands in."""
    factors = FACTORS | {k: v for k, v in (stack.policy.get("set_factors") or {}).items() if v is not None}
    if bearing not in stack.one_way:
        return factors["single"]
    if on_springs(bearing):
        return factors["spring"]
    down, up = len(stack.facing(1)), len(stack.facing(-1))
    if down + up == 1:
        return factors["single"]
    if not down or not up:
        return factors["tandem_pair"] if down + up == 2 else factors["tandem_many"]
    if down + up == 2:
        return factors["opposed_pair"]
    return factors["opposed_single_side"] if 1 in (down, up) else factors["opposed_many"]


def rating(stack: Stack, bearing: Row) -> tuple[float | None, str | None]:
    """Give the speed a bearing is rated for, and what it rests on."""
    method = stack.oil.get("method")
    known = {"limiting": bearing.get("limiting_speed_rpm")}
    if method == "grease":
        if bearing.get("grease_speed_rpm") is None:
            return None, None
        known["grease"] = bearing["grease_speed_rpm"]
    elif method is not None:
        known["oil"] = bearing.get("oil_speed_rpm")
    known = {k: v for k, v in known.items() if v is not None}
    if not known:
        return bearing.get("reference_speed_rpm"), (
            None if bearing.get("reference_speed_rpm") is None else "reference"
        )
    basis = min(known, key=lambda k: known[k])
    return known[basis], basis


def speed_bearings(stack: Stack, cases: list[Case]) -> list[Row]:
    """Give the bearings whose speed is checked: all of the stack, and the guides that a case loads."""
    return stack.bearings + [
        g for g in stack.guides if any((case.guides[g["ref"]] or 0.0) >= 1.0 for case in cases)
    ]


def speed_answer(stack: Stack, cases: list[Case]) -> Row:
    """Give the speed part of the answer."""
    rows = []
    for bearing in speed_bearings(stack, cases):
        rated, basis = rating(stack, bearing)
        factor = set_factor(stack, bearing)
        rows.append(
            {
                "ref": bearing["ref"],
                "rating_rpm": rated,
                "basis": basis,
                "set_factor": factor,
                "permissible_rpm": None if rated is None else rated * factor,
            }
        )
    judged = [r for r in rows if r["permissible_rpm"] is not None]
    lowest = min(judged, key=lambda r: r["permissible_rpm"]) if judged else None
    margins = []
    for name in ("rated", "synchronous", "maximum"):
        speed = stack.motor.get(f"{name}_speed_rpm")
        if speed is not None and lowest:
            margins.append(_margin(name, speed, lowest["permissible_rpm"]))
    speed = stack.motor.get("reverse_speed_rpm")
    limits = [b.get("limiting_speed_rpm") for b in speed_bearings(stack, cases)]
    if speed is not None and not stack.motor.get("non_reverse") and all(v is not None for v in limits):
        margins.append(_margin("reverse", speed, min(limits)))
    return {
        "bearings": rows,
        "permissible_rpm": lowest and lowest["permissible_rpm"],
        "governing": lowest and lowest["ref"],
        "complete": len(judged) == len(rows),
        "margins": margins,
    }


def _margin(name: str, speed: float, permissible: float) -> Row:
    return {
        "speed": name,
        "speed_rpm": speed,
        "permissible_rpm": permissible,
        "margin": permissible / speed - 1,
    }


def friction_w(
    stack: Stack, bearing: Row, axial_n: float, radial_n: float | None, speed_rpm: float
) -> float | None:
    """Give Palmgren's two-term friction loss; NaN where a default factor would have to be chosen."""
    nu, dm = viscosity(stack), pitch_mm(bearing)
    if nu is None or dm is None:
        return None
    f0, f1, angle = bearing.get("f0"), bearing.get("f1"), bearing.get("contact_angle_deg")
    if f0 is None or f1 is None or bearing["type"] in ("deep_groove_ball", "cylindrical_roller"):
        return math.nan
    if bearing["type"] == "angular_contact_ball":
        if angle is None or radial_n is None:
            return None
        load = max(0.9 * axial_n / math.tan(math.radians(angle)) - 0.1 * radial_n, radial_n)
    else:
        load = axial_n
    product = nu * speed_rpm
    viscous = 1e-7 * f0 * (product ** (2 / 3) if product >= 2000 else 160.0) * dm**3
    return float((viscous + f1 * load * dm) * speed_rpm * math.pi / 30_000)


def reference_speed(bearing: Row) -> float | None:
    """Give the speed at which the standard's heat balance closes."""
    thrust = bearing["type"] == "spherical_roller_thrust"
    dm, c0 = pitch_mm(bearing), bearing.get("static_rating_n")
    surface = bearing.get("reference_surface_mm2")
    if surface is None and not thrust:
        size = [bearing.get(k) for k in ("height_mm", "bore_mm", "outside_diameter_mm")]
        if all(v is not None for v in size):
            surface = math.pi * size[0] * (size[1] + size[2])
    if dm is None or c0 is None or surface is None:
        return None
    f0r, f1r = bearing.get("f0r"), bearing.get("f1r")
    if f0r is None or f1r is None:
        return math.nan
    base, power, nu, part = (0.020, -0.16, 24.0, 0.02) if thrust else (0.016, -0.34, 12.0, 0.05)
    flow = base * (max(1.0, surface / 50_000)) ** power

    def surplus(n: float) -> float:
        moment = 1e-7 * f0r * (nu * n) ** (2 / 3) * dm**3 + f1r * part * c0 * dm
        return float(math.pi / 30 * n * moment * 1e-3 - flow * surface)

    return float(brentq(surplus, 1e-3, 1e9, xtol=1e-9))


def thermal_answer(stack: Stack, running: Case | None) -> Row:
    """Give the thermal part of the answer."""

    def loss(bearing: Row, speed: float) -> float | None:
        axial = running.loads[bearing["ref"]] if running and running.carried else None
        if running is None or axial is None:
            return None
        radial = running.radial_n(bearing["ref"], stack.motor.get("radial_load_n"))
        return friction_w(stack, bearing, axial, radial, speed)

    def total(speed: float) -> float | None:
        losses = [loss(b, speed) for b in stack.bearings]
        return None if any(w is None for w in losses) else sum(w for w in losses if w is not None)

    rated = stack.motor["rated_speed_rpm"]
    heat, now = stack.oil.get("heat_removed_w"), total(rated)
    permissible: float | None = None
    if heat is not None and now is not None:
        permissible = (
            math.nan
            if math.isnan(now)
            else float(brentq(lambda n: (total(n) or 0.0) - heat, 1e-9, 1e7, xtol=1e-9))
        )
    return {
        "bearings": [
            {"ref": b["ref"], "friction_w": loss(b, rated), "reference_speed_rpm": reference_speed(b)}
            for b in stack.bearings
        ],
        "friction_w": now,
        "heat_removed_w": heat,
        "permissible_rpm": permissible,
    }
