"""Thrust sheets of the invented shop: one with everything known and signed, one whose pump nobody has a curve of."""

from __future__ import annotations

from typing import Any

from repairs.ledger.services import Actor
from repairs.motors.models import Motor
from repairs.motors.thrust_fields import BY_KEY, entries_from_plate
from repairs.motors.thrust_services import save_thrust_sheet, sign_thrust_sheet
from repairs.motors.units import unit_of

WHOLE = {
    "thrust_factor_n_per_m": ("7.9", "lbf/ft"),
    "head_duty_m": ("420", "ft"),
    "head_shut_off_m": ("560", "ft"),
    "specific_gravity": ("1.0", ""),
    "pump_up_thrust_n": ("1350", "lbf"),
    "pump_source": ("Pump manufacturer B (invented), curve 4410, 6 bowls", ""),
    "shaft_diameter_mm": ("1.5", "in"),
    "shaft_length_m": ("200", "ft"),
    "impeller_weight_n": ("180", "lbf"),
    "suction_pressure_pa": ("0", "psi"),
    "static_head_m": ("365", "ft"),
    "specific_speed": ("2600", "US"),
}
HARDLY_ANYTHING = {
    "head_duty_m": ("310", "ft"),
    "static_head_m": ("270", "ft"),
    "pump_source": ("no data sheet on site; asked the pump manufacturer", ""),
}


def _entries(motor: Motor, typed: dict[str, tuple[str, str]]) -> dict[str, dict[str, object]]:
    """Return what the plate says and what was typed, as the form gives it."""
    entries = entries_from_plate(motor)
    for key, (text, unit) in typed.items():
        field = BY_KEY[key]
        si: Any = unit_of(field.quantity, unit).to_si(float(text)) if field.kind == "number" else text
        entries[key] = {"state": "read", "typed": text, "unit": unit, "si": si}
    return entries


def write_thrust_sheets(actor: Actor, motors: dict[str, Motor]) -> None:
    """Fill in and sign one sheet, and begin another."""
    whole = motors["well7"]
    sheet = save_thrust_sheet(actor=actor, motor=whole, version=0, entries=_entries(whole, WHOLE))
    sign_thrust_sheet(actor=actor, sheet=sheet, version=sheet.version)
    other = motors["well3"]
    save_thrust_sheet(actor=actor, motor=other, version=0, entries=_entries(other, HARDLY_ANYTHING))
