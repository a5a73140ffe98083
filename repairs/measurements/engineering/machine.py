"""What of a motor the limits of its tests depend on. None is not known, never a usual value."""

from __future__ import annotations

from typing import Literal, NamedTuple

Winding = Literal["random", "form"]


class Machine(NamedTuple):
    """Plate figures in SI. ``winding`` random or form wound; ``vertical`` whether the shaft stands upright."""

    voltage_v: float | None = None
    power_w: float | None = None
    speed_rpm: float | None = None
    frequency_hz: float | None = None
    poles: int | None = None
    current_a: float | None = None
    power_factor: float | None = None
    efficiency: float | None = None
    service_factor: float | None = None
    year: int | None = None
    phases: int | None = None
    winding: Winding | None = None
    insulation_class: str | None = None
    ambient_c: float | None = None
    vertical: bool | None = None
    rotor_mass_kg: float | None = None
    rabbet_mm: float | None = None
    code_letter: str | None = None
    rotation: str | None = None
