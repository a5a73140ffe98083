"""From the plate to the stack file: what the motor asks of its thrust bearings."""

from __future__ import annotations

from repairs.motors.duty_parts import duty_parts
from repairs.motors.models import Motor
from repairs.motors.plausibility import synchronous_speed_rpm

_SAME_NAME = (
    "minimum_speed_rpm",
    "minimum_speed_down_thrust_n",
    "maximum_speed_rpm",
    "maximum_speed_down_thrust_n",
    "mount_bore_mm",
    "reverse_speed_rpm",
    "up_thrust_n",
    "rotor_weight_n",
    "radial_load_n",
    "reliability_percent",
    "shaft_warmer_k",
)


def duty_of(motor: Motor) -> dict[str, object]:
    """Return the stack file's ``motor`` block. What was not read stays away: unknown.

    A thrust that the plate gives as a total includes the rotor, so its weight is taken off; when the weight is
    not known then, the thrust is not known either.
    """
    duty: dict[str, object] = {"mounting": "vertical" if motor.is_vertical else "horizontal"}
    rated = motor.si("rated_speed_rpm")
    if rated is not None:
        duty["rated_speed_rpm"] = rated
    if (synchronous := synchronous_speed_rpm(motor)) is not None:
        duty["synchronous_speed_rpm"] = synchronous
    for key in _SAME_NAME:
        if (value := motor.si(key)) is not None:
            duty[key] = value
    for key in ("down_thrust_n", "maximum_down_thrust_n"):
        if (value := _external(motor, key)) is not None:
            duty[key] = value
    if (ratchet := motor.si("non_reverse")) is not None:
        duty["non_reverse"] = ratchet == "yes"
    if (run := motor.si("fixed_speed")) is not None:
        duty["fixed_speed"] = run == "yes"
    if (lasts := motor.si("maximum_thrust_duration")) is not None:
        duty["maximum_thrust_duty"] = lasts
    if (lasts := motor.si("up_thrust_duration")) is not None:
        duty["up_thrust_duty"] = lasts
    if (life := motor.si("required_life_h")) is not None:
        duty["required_l10h"] = life
    if parts := duty_parts(motor):
        duty["duty"] = parts
    return duty


def _external(motor: Motor, key: str) -> float | None:
    value = motor.si(key)
    from_sheet = "sheet" in motor.nameplate.get(key, {})  # a thrust sheet's figures are external already
    if value is None or from_sheet or motor.si("thrust_basis") != "total":
        return None if value is None else float(value)
    weight = motor.si("rotor_weight_n")
    return None if weight is None else max(0.0, float(value) - float(weight))


def lubrication_of(motor: Motor) -> dict[str, object]:
    """Return the stack file's ``lubrication`` block from the plate."""
    names = {
        "lubrication": "method",
        "oil_iso_vg": "iso_vg",
        "oil_temperature_c": "temperature_c",
        "oil_viscosity_index": "viscosity_index",
        "cooler_flow_l_min": "oil_flow_l_min",
        "oil_rise_k": "oil_rise_k",
        "mount_ambient_c": "ambient_c",
        "heat_removed_w": "heat_removed_w",
        "external_heat_w": "external_heat_w",
        "oil_cleanliness_code": "cleanliness",
        "cleanliness": "contamination",
    }
    values = {name: motor.si(key) for key, name in names.items()}
    return {name: value for name, value in values.items() if value is not None}
