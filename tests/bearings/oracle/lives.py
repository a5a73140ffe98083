"""Equivalent loads, rating lives and static safety, bearing by bearing."""

from __future__ import annotations

import math
from typing import Any

from tests.bearings.oracle import tables
from tests.bearings.oracle.loads import Case
from tests.bearings.oracle.parts import Row, Stack, pitch_mm

BALLS = ("angular_contact_ball", "deep_groove_ball")


def relative_axial_load(bearing: Row, axial_n: float) -> float | None:
    """Give f0 Fa / C0 of one bearing, f0 from its geometry."""
    dw, dm, c0 = bearing.get("ball_diameter_mm"), pitch_mm(bearing), bearing.get("static_rating_n")
    if dw is None or dm is None or c0 is None:
        return None
    angle = bearing.get("contact_angle_deg") if bearing["type"] == "angular_contact_ball" else 0.0
    return tables.static_factor_f0(dw * math.cos(math.radians(angle or 0.0)) / dm) * axial_n / c0


def equivalent_load(bearing: Row, axial_n: float, radial_n: float | None) -> float | None:
    """Give P of ISO 281; None where an input is missing, NaN where the choice is open."""
    kind = bearing["type"]
    if math.isnan(axial_n):
        return math.nan
    if radial_n is None:
        return None
    if kind == "spherical_roller_thrust":
        return axial_n + 1.2 * radial_n
    if kind == "cylindrical_roller":
        return math.nan
    relative = relative_axial_load(bearing, axial_n)
    if kind == "deep_groove_ball":
        if relative is None:
            return math.nan
        e = tables.line(relative, tables.REL_DEEP, tables.E_DEEP)
        x, y = 0.56, tables.line(relative, tables.REL_DEEP, tables.Y_DEEP)
    else:
        if bearing.get("contact_angle_deg") is None:
            return None
        e, x, y = tables.axial_factors_angular(bearing["contact_angle_deg"], relative)
    if radial_n > 0 and axial_n / radial_n <= e:
        return radial_n
    return x * radial_n + y * axial_n


def static_load(bearing: Row, axial_n: float, radial_n: float | None) -> float | None:
    """Give P0 of ISO 76."""
    kind = bearing["type"]
    if math.isnan(axial_n):
        return math.nan
    if radial_n is None:
        return None
    if kind == "spherical_roller_thrust":
        return axial_n + 2.7 * radial_n
    if kind == "deep_groove_ball":
        return max(radial_n, 0.6 * radial_n + 0.5 * axial_n)
    if kind == "cylindrical_roller":
        return math.nan
    if bearing.get("contact_angle_deg") is None:
        return None
    y0 = tables.line(bearing["contact_angle_deg"], tables.Y0_ANGLES, tables.Y0_VALUES)
    return max(radial_n, 0.5 * radial_n + y0 * axial_n)


def viscosity(stack: Stack) -> float | None:
    """Give the oil's viscosity at its temperature."""
    grade, temperature = stack.oil.get("iso_vg"), stack.oil.get("temperature_c")
    if grade is None or temperature is None:
        return None
    index = stack.oil.get("viscosity_index")
    return tables.viscosity_at(grade, 95.0 if index is None else index, temperature)


def kappa_of(stack: Stack, bearing: Row) -> float | None:
    """Give the viscosity ratio at rated speed."""
    nu, dm, n = viscosity(stack), pitch_mm(bearing), stack.motor["rated_speed_rpm"]
    if nu is None or dm is None:
        return None
    needed = 45_000 * n**-0.83 * dm**-0.5 if n < 1000 else 4_500 * n**-0.5 * dm**-0.5
    return float(nu / needed)


def contamination_of(stack: Stack, bearing: Row) -> float | None:
    """Give the contamination factor: the number given, else the lower bound for the level."""
    if stack.oil.get("contamination_factor") is not None:
        return float(stack.oil["contamination_factor"])
    level, dm = stack.oil.get("contamination"), pitch_mm(bearing)
    if level is None:
        return None
    small, large = tables.CONTAMINATION[level]
    if dm is None:
        return small if small == large else None
    return small if dm < 100.0 else large


def fatigue_limit(bearing: Row) -> float | None:
    """Give the fatigue load limit, else its simplified estimate from the static rating."""
    if bearing.get("fatigue_load_limit_n") is not None:
        return float(bearing["fatigue_load_limit_n"])
    c0, dm = bearing.get("static_rating_n"), pitch_mm(bearing)
    if c0 is None or dm is None:
        return None
    divisor, power = (22.0, 0.5) if bearing["type"] in BALLS else (8.2, 0.3)
    return float(c0 / divisor * (min(1.0, 100.0 / dm)) ** power)


def a_iso(bearing: Row, kappa: float | None, dirt: float | None, load_n: float | None) -> float | None:
    """Give the life modification factor; None below kappa 0.1."""
    limit = fatigue_limit(bearing)
    if load_n is not None and math.isnan(load_n):
        return math.nan
    if kappa is None or dirt is None or load_n is None or limit is None or kappa < 0.1:
        return None
    ratio, k = min(5.0, dirt * limit / load_n), min(kappa, 4.0)
    column = 0 if k < 0.4 else 1 if k < 1.0 else 2
    q = (0.054381, 0.19087, 0.071739)[column]
    if bearing["type"] in BALLS:
        bracket = 1 - (2.5671 - (2.2649, 1.9987, 1.9987)[column] / k**q) ** 0.83 * ratio ** (1 / 3)
        power = -9.3
    else:
        ratio = ratio / 2.5 if bearing["type"] == "spherical_roller_thrust" else ratio
        bracket = 1 - (1.5859 - (1.3993, 1.2348, 1.2348)[column] / k**q) * ratio**0.4
        power = -9.185
    return 50.0 if bracket <= 0 else min(50.0, 0.1 * bracket**power)


def series(lives: list[float | None], exponent: float) -> float | None:
    """Combine lives as a series system."""
    if not lives or any(life is None for life in lives):
        return None
    return float(sum(life**-exponent for life in lives if life is not None) ** (-1 / exponent))


def life_answer(stack: Stack, running: Case | None) -> Row:
    """Give the life part of the answer."""
    empty: Row = {"bearings": [], "stack_l10h": None, "stack_l10mh": None}
    if running is None or not running.carried:
        return empty
    everything = running.loads | running.guides
    if any(f is None for f in everything.values()):
        return empty
    if any(f is not None and math.isnan(f) for f in everything.values()):
        return {"bearings": math.nan, "stack_l10h": math.nan, "stack_l10mh": math.nan}
    rows: list[Row] = []
    rollers_only = True
    for bearing in stack.bearings + stack.guides:
        axial = everything[bearing["ref"]]
        if axial is None or axial < 1.0:
            continue
        radial = running.radial_n(bearing["ref"], stack.motor.get("radial_load_n"))
        load, rating = equivalent_load(bearing, axial, radial), bearing.get("dynamic_rating_n")
        ball = bearing["type"] in BALLS
        rollers_only = rollers_only and not ball
        hours = None
        if load is not None and rating is not None:
            hours = (rating / load) ** (3.0 if ball else 10 / 3) * 1e6 / (60 * stack.motor["rated_speed_rpm"])
        kappa, dirt = kappa_of(stack, bearing), contamination_of(stack, bearing)
        factor = a_iso(bearing, kappa, dirt, load)
        rows.append(
            {
                "ref": bearing["ref"],
                "equivalent_load_n": load,
                "l10h": hours,
                "kappa": kappa,
                "contamination_factor": dirt,
                "a_iso": factor,
                "l10mh": None if hours is None or factor is None else hours * factor,
            }
        )
    exponent = 9 / 8 if rollers_only else 10 / 9
    return {
        "bearings": rows,
        "stack_l10h": series([r["l10h"] for r in rows], exponent),
        "stack_l10mh": series([r["l10mh"] for r in rows], exponent),
    }


def static_answer(stack: Stack, cases: list[Case]) -> list[Row] | float:
    """Give the worst case of each bearing that is loaded in any."""
    rows: list[Row] = []
    if any(f is not None and math.isnan(f) for case in cases for f in (case.loads | case.guides).values()):
        return math.nan
    for bearing in stack.bearings + stack.guides:
        worst: dict[str, Any] | None = None
        for case in cases:
            axial = (case.loads | case.guides)[bearing["ref"]]
            if axial is None or axial < 1.0:
                continue
            load = static_load(
                bearing, axial, case.radial_n(bearing["ref"], stack.motor.get("radial_load_n"))
            )
            if worst is None or (load is not None and load > (worst["equivalent_static_load_n"] or 0)):
                worst = {"ref": bearing["ref"], "equivalent_static_load_n": load, "case": case.name}
        if worst is not None:
            load, rating = worst["equivalent_static_load_n"], bearing.get("static_rating_n")
            if load is None:
                worst["case"] = math.nan  # which case is the worst cannot be known then
            worst["safety"] = None if load is None or rating is None else rating / load
            rows.append(worst)
    return rows
