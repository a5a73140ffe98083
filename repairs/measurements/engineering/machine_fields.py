"""Ranges and quantities of what a test needs to know of its motor; those of the plate are the plate's."""

from __future__ import annotations

from typing import Final

from repairs.measurements.engineering.plate import CODE_LETTERS
from repairs.measurements.engineering.shape import Field

# Named as the figures of ``Machine``.
FIELDS: Final = (
    Field("voltage_v", "voltage", 50, 15_000),
    Field("power_w", "power", 100, 50e6),
    Field("speed_rpm", "speed", 10, 20_000),
    Field("frequency_hz", "frequency", 10, 400),
    Field("poles", "plain", 2, 48),
    Field("current_a", "current", 0.1, 10_000),
    Field("power_factor", "ratio", 0.1, 1),
    Field("efficiency", "ratio", 0.1, 0.999),
    Field("service_factor", "plain", 1, 2),
    Field("year", "plain", 1900, 2100),
    Field("phases", "plain", 1, 3),
    Field("winding", "choice", choices=("random", "form")),
    Field("insulation_class", "choice", choices=("A", "B", "F", "H")),
    Field("ambient_c", "temperature", -40, 90),
    Field("vertical", "yes_no"),
    Field("rotor_mass_kg", "mass", 0.1, 1e6),
    Field("rabbet_mm", "length", 20, 4000),
    Field("code_letter", "choice", choices=tuple(CODE_LETTERS)),
    Field("rotation", "choice", choices=("ccw", "cw")),
)
WHOLE: Final = frozenset({"poles", "year", "phases"})
