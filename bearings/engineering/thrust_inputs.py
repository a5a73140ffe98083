"""What is known of a pump and its motor where the thrust on the bearing is worked out. Nothing is ever assumed."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import isfinite
from typing import Final, Literal

PlateMeaning = Literal["external", "total"]

GRAVITY: Final = 9.80665  # exact by definition
WATER_KG_M3: Final = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrustInputs:
    """What is known of pump and motor; None is unknown. Forces in N, heads in m, speeds in r/min."""

    thrust_factor_n_per_m: float | None = None
    head_duty_m: float | None = None
    head_shut_off_m: float | None = None
    specific_gravity: float | None = None
    shaft_weight_n: float | None = None
    shaft_diameter_mm: float | None = None
    shaft_length_m: float | None = None
    impeller_weight_n: float | None = None
    suction_pressure_pa: float | None = None
    suction_diameter_mm: float | None = None
    pump_up_thrust_n: float | None = None
    static_head_m: float | None = None
    specific_speed: float | None = None
    operating_speed_rpm: float | None = None
    pump_reverse_speed_rpm: float | None = None
    pump_reverse_head_m: float | None = None
    ratchet: bool | None = None
    plate_down_thrust_n: float | None = None
    plate_up_thrust_n: float | None = None
    plate_meaning: PlateMeaning | None = None
    rotor_weight_n: float | None = None
    up_fallback_asked: bool = False

    def __post_init__(self) -> None:
        for one in fields(self):
            value = getattr(self, one.name)
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                continue
            may_be_zero = one.name.endswith(("weight_n", "thrust_n", "pressure_pa"))
            if not isfinite(value) or value < 0 or (value == 0 and not may_be_zero):
                raise ValueError(
                    f"{one.name}: {value}; a finite number {'from' if may_be_zero else 'above'} 0"
                )
