"""Entries of a thrust sheet as a form gives them. The pump is invented."""

from __future__ import annotations

from typing import Any

from repairs.motors.thrust_fields import BY_KEY
from repairs.motors.units import unit_of

PUMP = {
    "thrust_factor_n_per_m": ("9.5", "lbf/ft"),
    "head_duty_m": ("320", "ft"),
    "head_shut_off_m": ("420", "ft"),
    "specific_gravity": ("1", ""),
    "pump_up_thrust_n": ("1500", "lbf"),
    "pump_source": ("curve 4410 (invented)", ""),
    "shaft_diameter_mm": ("1.5", "in"),
    "shaft_length_m": ("200", "ft"),
    "impeller_weight_n": ("180", "lbf"),
    "suction_pressure_pa": ("0", "psi"),
    "static_head_m": ("280", "ft"),
    "specific_speed": ("3615", "US"),
    "operating_speed_rpm": ("1780", "rpm"),
    "ratchet": ("no", ""),
    "plate_meaning": ("external", ""),
    "plate_down_thrust_n": ("8000", "lbf"),
    "plate_up_thrust_n": ("2000", "lbf"),
    "rotor_weight_n": ("1200", "lbf"),
}


def entries(**changes: tuple[str, str] | None) -> dict[str, dict[str, Any]]:
    """Return a full sheet's entries; a change of None takes one away."""
    typed = {key: value for key, value in {**PUMP, **changes}.items() if value is not None}
    return {key: _entry(key, *value) for key, value in typed.items()}


def _entry(key: str, typed: str, unit: str) -> dict[str, Any]:
    field = BY_KEY[key]
    si: Any = typed
    if field.kind == "number":
        si = unit_of(field.quantity, unit).to_si(float(typed))
    return {"state": "read", "typed": typed, "unit": unit, "si": si}
