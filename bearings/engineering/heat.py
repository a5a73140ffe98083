"""Heat of a whole stack: what its bearings lose, what is taken away, and the speed at which both are equal.

Friction after Palmgren, heat balance after DIN 732 and ISO 15312. Every figure here is as uncertain as the friction:
a quarter at best.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Final

from bearings.engineering.arrangement import Mount
from bearings.engineering.quantities import Bearing, Lubrication, MotorDuty
from bearings.engineering.results import Cooling, CoolingNeed, SpeedName, ThermalResult, ThermalRow
from bearings.engineering.tables import friction as table
from bearings.engineering.thermal import (
    Friction,
    friction_of,
    permissible_speed,
    reference_heat_flow,
    reference_speed,
    reference_surface,
)

LEAST_RISE_K: Final = 0.01


@dataclass(frozen=True, slots=True)
class RunningState:
    """What the heat of a stack depends on besides its bearings: duty, oil, viscosity in mm2/s."""

    motor: MotorDuty
    oil: Lubrication
    viscosity: float | None


def oil_cooling(oil: Lubrication) -> float | None:
    """Return the heat in W that the circulating oil takes away: 28.6 W for 1 l/min and 1 K."""
    if oil.oil_flow_l_min is None or oil.oil_rise_k is None:
        return None
    return table.OIL_HEAT_W_PER_L_MIN_K * oil.oil_flow_l_min * oil.oil_rise_k


def rise_over_ambient(oil: Lubrication) -> float | None:
    """Return how much warmer the oil is than what surrounds the mount, in K."""
    if oil.temperature_c is None or oil.ambient_c is None:
        return None
    return oil.temperature_c - oil.ambient_c


def seat_cooling(bearing: Bearing, rise_k: float = table.REFERENCE_RISE_K) -> float | None:
    """Return the heat in W that the seats of one bearing pass on at a rise; None without its surface."""
    surface = reference_surface(bearing)
    if surface is None:
        return None
    return reference_heat_flow(bearing, surface) * surface * rise_k / table.REFERENCE_RISE_K


def _row(ref: str, one: Bearing, friction: Friction | None, state: RunningState) -> ThermalRow:
    """Return one bearing by itself: friction, reference speed, and its own speed at the seats' heat flow."""
    rise = rise_over_ambient(state.oil)
    seats = seat_cooling(one) if rise is None else seat_cooling(one, rise)
    power = drag = load = own = None
    speed = state.motor.rated_speed_rpm
    if friction is not None and state.viscosity is not None:
        if speed is not None:
            power = friction.power_w(state.viscosity, speed)
            drag = friction.drag_nmm(state.viscosity, speed)
        load = friction.load
        if seats is not None:
            own = permissible_speed((friction,), state.viscosity, seats)
    return ThermalRow(ref, power, reference_speed(one), drag, load, reference_surface(one), seats, own)


def _cooling(rows: tuple[ThermalRow, ...], oil: Lubrication) -> Cooling:
    """Return what takes heat away: as given, else as far as it can be estimated from seats and oil."""
    rise, by_oil = rise_over_ambient(oil), oil_cooling(oil)
    seats = None
    if rise is not None and rows and all(row.seat_w is not None for row in rows):
        seats = sum(row.seat_w for row in rows if row.seat_w is not None)
    if oil.heat_removed_w is not None:
        return Cooling("given", seats, by_oil, oil.external_heat_w, oil.heat_removed_w)
    needs_flow = oil.method in ("oil_circulating", "oil_jet")
    if seats is None or (needs_flow and by_oil is None):
        return Cooling(None, seats, by_oil, oil.external_heat_w, None)
    available = seats + (by_oil or 0.0) - (oil.external_heat_w or 0.0)
    return Cooling("estimated", seats, by_oil, oil.external_heat_w, available)


def judged_speed(motor: MotorDuty) -> tuple[SpeedName, float] | None:
    """Return the speed that heat is judged at: the synchronous one, else the rated one; None while both are unknown."""
    if motor.synchronous_speed_rpm is not None:
        return "synchronous", motor.synchronous_speed_rpm
    return None if motor.rated_speed_rpm is None else ("rated", motor.rated_speed_rpm)


def _need(
    frictions: tuple[Friction, ...], viscosity: float, cooling: Cooling, state: RunningState
) -> CoolingNeed | None:
    """Return what has to be taken away at the motor's speed, and what of it the seats leave to oil or coil."""
    judged = judged_speed(state.motor)
    if judged is None:
        return None
    name, speed = judged
    power = sum(one.power_w(viscosity, speed) for one in frictions)
    beyond = flow = None
    if cooling.seats_w is not None:
        beyond = max(0.0, power + (cooling.external_w or 0.0) - cooling.seats_w)
        # Below a rise that anybody could measure there is no flow to speak of (and a tiny one would overflow).
        if state.oil.oil_rise_k is not None and state.oil.oil_rise_k >= LEAST_RISE_K:
            flow = beyond / (table.OIL_HEAT_W_PER_L_MIN_K * state.oil.oil_rise_k)
    spread = table.FRICTION_UNCERTAINTY
    return CoolingNeed(name, speed, power, power * (1 - spread), power * (1 + spread), beyond, flow)


def _hottest(rows: tuple[ThermalRow, ...]) -> str | None:
    """Return the bearing that loses most for its surface; None unless all are known."""
    if len(rows) < 2 or any(row.friction_w is None or row.surface_mm2 is None for row in rows):
        return None
    return max(rows, key=lambda row: (row.friction_w or 0.0) / (row.surface_mm2 or inf)).ref


def assess_thermal(mount: Mount, loads: dict[str, tuple[float, float]], state: RunningState) -> ThermalResult:
    """Return the heat of a stack; ``loads`` are axial and radial in the running case, by ref."""
    rows: list[ThermalRow] = []
    frictions: list[Friction] = []
    for ref, one in mount.bearings:
        friction = None
        if ref in loads and state.viscosity is not None:
            axial, radial = loads[ref]
            friction = friction_of(one, axial, radial, state.oil.method, state.motor.mounting)
        if friction is not None:
            frictions.append(friction)
        rows.append(_row(ref, one, friction, state))
    kept = tuple(rows)
    cooling = _cooling(kept, state.oil)
    total = permissible = estimated = need = None
    if kept and len(frictions) == len(kept) and state.viscosity is not None:
        if state.motor.rated_speed_rpm is not None:
            total = sum(row.friction_w for row in kept if row.friction_w is not None)
        need = _need(tuple(frictions), state.viscosity, cooling, state)
        if cooling.available_w is not None:
            balance = permissible_speed(tuple(frictions), state.viscosity, cooling.available_w)
            balance_known = balance if balance < inf else None
            permissible = balance_known if cooling.basis == "given" else None
            estimated = balance_known if cooling.basis == "estimated" else None
    return ThermalResult(
        kept, total, state.oil.heat_removed_w, permissible, cooling, estimated, need, _hottest(kept)
    )
