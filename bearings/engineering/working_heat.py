"""The working of heat: friction, reference speeds, cooling, with formula and source."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from bearings.engineering.evidence import Evidence
from bearings.engineering.results import ThermalRow, WorkingLine
from bearings.engineering.tables import friction as table
from bearings.engineering.thermal import default_f0, friction_of

INPUT: Final = "input"
ESTIMATE: Final = f"{table.FRICTION_SOURCE}; a quarter uncertain at best (common practice, no source)"


def _friction(evidence: Evidence, row: ThermalRow) -> Iterator[WorkingLine]:
    one, oil = evidence.bearing[row.ref], evidence.stack.lubrication
    f0 = one.f0 if one.f0 is not None else default_f0(one, oil.method, evidence.stack.motor.mounting)
    source = INPUT if one.f0 is not None else table.FRICTION_SOURCE
    yield WorkingLine("heat", row.ref, "f0", "type, series, shaft and oil", f0, "1", source)
    formula = "M0 = 1e-7 f0 (nu n)^(2/3) dm^3"
    yield WorkingLine("heat", row.ref, "M0", formula, row.drag_nmm, "N mm", table.FRICTION_SOURCE)
    yield WorkingLine("heat", row.ref, "M1", "M1 = f1 P1 dm", row.load_nmm, "N mm", table.FRICTION_SOURCE)
    yield WorkingLine("heat", row.ref, "N", "(M0 + M1) n pi / 30000", row.friction_w, "W", ESTIMATE)
    yield from _other_f0(evidence, row)


def _other_f0(evidence: Evidence, row: ThermalRow) -> Iterator[WorkingLine]:
    """Yield the friction with the greater f0 of angular contact bearings, where the series' was taken."""
    one, oil = evidence.bearing[row.ref], evidence.stack.lubrication
    if one.type != "angular_contact_ball" or one.f0 is not None or oil.method in (None, "grease"):
        return
    if row.friction_w is None or evidence.viscosity is None:
        return
    doubled = evidence.stack.motor.mounting == "vertical" or oil.method == "oil_jet"
    f0 = table.TEXTBOOK_ANGULAR_F0 * (2 if doubled else 1)
    axial = evidence.running.axial_n(row.ref) if evidence.running else None
    radial = evidence.radial("running", row.ref) if evidence.running else None
    if axial is None or radial is None:
        return
    other = friction_of(replace(one, f0=f0), axial, radial, oil.method, evidence.stack.motor.mounting)
    if other is not None:
        power = other.power_w(evidence.viscosity, evidence.stack.motor.rated_speed_rpm)
        formula = f"with the greater f0 = {f0:g} (common practice, no source)"
        yield WorkingLine("heat", row.ref, "N high", formula, power, "W", table.FRICTION_SOURCE)


def _bearing(evidence: Evidence, row: ThermalRow) -> Iterator[WorkingLine]:
    yield from _friction(evidence, row)
    one = evidence.bearing[row.ref]
    given = one.reference_surface_mm2 is not None
    formula = "given" if given else "pi B (D + d)"
    if one.type == "spherical_roller_thrust" and not given:
        formula = "pi/4 (D^2 - D1^2 + d1^2 - d^2)"
    source = INPUT if given else table.REFERENCE_SOURCE
    yield WorkingLine("heat", row.ref, "As", formula, row.surface_mm2, "mm2", source)
    speed = row.reference_speed_rpm
    yield WorkingLine("heat", row.ref, "n ref", "friction = qr As", speed, "rpm", table.REFERENCE_SOURCE)
    oil = evidence.stack.lubrication
    rise = "temperature - ambient" if oil.ambient_c is not None else "50 K, the standard's rise"
    yield WorkingLine(
        "heat", row.ref, "seats", f"qr As rise / 50 K; {rise}", row.seat_w, "W", table.COOLING_SOURCE
    )
    formula = "friction under this load in this oil = seats"
    own = row.own_permissible_rpm
    yield WorkingLine("heat", row.ref, "n own", formula, own, "rpm", table.COOLING_SOURCE)


def heat_working(evidence: Evidence) -> Iterator[WorkingLine]:
    """Yield every figure of heat, of each bearing and of the stack."""
    thermal = evidence.thermal
    for row in thermal.bearings:
        yield from _bearing(evidence, row)
    yield WorkingLine("heat", None, "N", "sum", thermal.friction_w, "W", ESTIMATE)
    cooling, source = thermal.cooling, table.COOLING_SOURCE
    if cooling.oil_w is not None:
        formula = "oil = 28.6 W/(l/min K) flow rise"
        yield WorkingLine("heat", None, "oil", formula, cooling.oil_w, "W", source)
    if cooling.basis == "estimated":
        formula = "seats + oil - heat from outside"
        yield WorkingLine("heat", None, "heat away", formula, cooling.available_w, "W", source)
        formula = "friction = estimated heat away"
        speed = thermal.estimated_permissible_rpm
        yield WorkingLine("heat", None, "n heat", formula, speed, "rpm", ESTIMATE)
    else:
        speed = thermal.permissible_rpm
        yield WorkingLine("heat", None, "n heat", "friction = heat removed", speed, "rpm", ESTIMATE)
    if thermal.need is None:
        return
    need = thermal.need
    formula = f"N at {need.speed} speed, {need.low_w:.0f} to {need.high_w:.0f} W"
    yield WorkingLine("heat", None, f"N {need.speed}", formula, need.friction_w, "W", ESTIMATE)
    if need.beyond_seats_w is not None:
        formula = "friction + heat from outside - seats"
        yield WorkingLine("heat", None, "for oil or coil", formula, need.beyond_seats_w, "W", ESTIMATE)
    if need.oil_flow_l_min is not None:
        formula = "for oil or coil / (28.6 rise)"
        yield WorkingLine("heat", None, "flow", formula, need.oil_flow_l_min, "l/min", ESTIMATE)
