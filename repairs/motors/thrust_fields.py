"""What a thrust sheet asks for, field by field, and how it becomes the engine's inputs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from bearings.public import THRUST_INPUTS, ThrustInputs
from repairs.motors.models import Motor
from repairs.motors.nameplate import plate_entry
from repairs.motors.plate_fields import YES_NO, PlateField

GROUPS: Final[tuple[tuple[str, str | Promise], ...]] = (
    ("pump", _("Pump (data sheet or curve)")),
    ("weights", _("Pump rotating weights")),
    ("backspin", _("Backspin (column drains back)")),
    ("motor", _("Motor (nameplate or maker)")),
)


def _n(key: str, group: str, quantity: str, low: float, high: float) -> PlateField:
    return PlateField(key, THRUST_INPUTS[key], group, "number", quantity, low, high)


def _c(key: str, group: str, *choices: tuple[str, str | Promise], label: Promise | None = None) -> PlateField:
    return PlateField(key, label or THRUST_INPUTS[key], group, "choice", choices=choices)


# Wide enough for every pump that is built, narrow enough for slips of the point: common practice, no source.
FIELDS: Final[tuple[PlateField, ...]] = (
    _n("thrust_factor_n_per_m", "pump", "thrust_factor", 0.5, 20_000),
    _n("head_duty_m", "pump", "head", 0.5, 3000),
    _n("head_shut_off_m", "pump", "head", 0.5, 4000),
    _n("specific_gravity", "pump", "plain", 0.4, 2.5),
    _n("pump_up_thrust_n", "pump", "force", 0, 1e7),
    PlateField("pump_source", _("Source: document, no., date"), "pump"),
    _n("shaft_diameter_mm", "weights", "length", 5, 500),
    _n("shaft_length_m", "weights", "head", 0.1, 2000),
    _n("shaft_weight_n", "weights", "weight", 0, 1e6),
    _n("impeller_weight_n", "weights", "weight", 0, 1e6),
    _n("suction_pressure_pa", "weights", "pressure", 0, 2e7),
    _n("suction_diameter_mm", "weights", "length", 5, 500),
    _n("static_head_m", "backspin", "head", 0.1, 3000),
    _n("specific_speed", "backspin", "specific_speed", 5, 400),
    _n("operating_speed_rpm", "backspin", "speed", 10, 20_000),
    _n("pump_reverse_speed_rpm", "backspin", "speed", 10, 20_000),
    _n("pump_reverse_head_m", "backspin", "head", 0.1, 3000),
    _c("ratchet", "backspin", *YES_NO),
    _c(
        "plate_meaning", "motor",
        ("external", _("external (without rotor)")), ("total", _("total (with rotor)")),
        ("unknown", _("unknown")),
    ),
    _n("plate_down_thrust_n", "motor", "force", 1, 1e7),
    _n("plate_up_thrust_n", "motor", "force", 0, 1e7),
    _n("rotor_weight_n", "motor", "weight", 1, 1e7),
    _c(
        "up_fallback", "motor", ("asked", _("use 30% of rated downthrust")),
        label=_("If upthrust is not entered"),
    ),
)  # fmt: skip
BY_KEY: Final = {field.key: field for field in FIELDS}
# The sheet's field and the plate's.
FROM_PLATE: Final = {
    "operating_speed_rpm": "rated_speed_rpm",
    "ratchet": "non_reverse",
    "plate_meaning": "thrust_basis",
    "plate_down_thrust_n": "down_thrust_n",
    "plate_up_thrust_n": "up_thrust_n",
    "rotor_weight_n": "rotor_weight_n",
}
NUMBERS: Final = tuple(field.key for field in FIELDS if field.kind == "number")


def inputs_of(entries: Mapping[str, Mapping[str, Any]]) -> ThrustInputs:
    """Return the engine's inputs; what was not typed is unknown."""
    si = {key: entry.get("si") for key, entry in entries.items()}
    meaning = si.get("plate_meaning")
    return ThrustInputs(
        **{key: si.get(key) for key in NUMBERS},
        ratchet={"yes": True, "no": False}.get(str(si.get("ratchet"))),
        plate_meaning=meaning if meaning in ("external", "total") else None,
        up_fallback_asked=si.get("up_fallback") == "asked",
    )


def entries_from_plate(motor: Motor) -> dict[str, dict[str, object]]:
    """Return what the plate says already, as the entries of a new sheet."""
    found = {}
    for key, plate_key in FROM_PLATE.items():
        entry = plate_entry(motor.nameplate.get(plate_key))
        if entry and entry.get("si") is not None and entry.get("state") in {"read", "inferred"}:
            found[key] = {name: entry[name] for name in ("typed", "unit", "si")} | {"state": "read"}
    return found


def differing_from_plate(
    motor: Motor, entries: Mapping[str, Mapping[str, Any]]
) -> list[tuple[PlateField, str]]:
    """Return the sheet's fields that say something else than the plate does, with the plate's key."""
    plate = entries_from_plate(motor)
    return [
        (BY_KEY[key], FROM_PLATE[key])
        for key, entry in entries.items()
        if key in plate and _differ(entry.get("si"), plate[key]["si"])
    ]


def _differ(one: Any, other: Any) -> bool:
    if isinstance(one, (int, float)) and isinstance(other, (int, float)):
        return abs(one - other) > 0.005 * max(abs(one), abs(other))
    return bool(one != other)
