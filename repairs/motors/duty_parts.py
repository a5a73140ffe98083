"""The parts of a motor's running time, each with its share, speed and thrust, out of what was entered of it."""

from __future__ import annotations

from typing import Final

from repairs.motors.models import Motor
from repairs.motors.plate_fields import DUTY_PARTS

PART_FIELDS: Final = ("percent", "speed_rpm", "thrust_n")
TOLERANCE: Final = 0.001  # of the sum of all shares, as the stack file has it


def duty_parts(motor: Motor) -> list[dict[str, float]]:
    """Return the parts of the running time; none while a part is not whole or the shares are not 100 %."""
    parts = []
    for number in range(1, DUTY_PARTS + 1):
        share, speed, thrust = (motor.si(f"duty_{number}_{name}") for name in PART_FIELDS)
        if share is None and speed is None and thrust is None:
            continue
        if share is None or speed is None or thrust is None:
            return []
        parts.append({"share": float(share) / 100, "speed_rpm": float(speed), "down_thrust_n": float(thrust)})
    return parts if abs(sum(part["share"] for part in parts) - 1) <= TOLERANCE else []


def duty_is_begun(motor: Motor) -> bool:
    """Whether any part of the running time is entered."""
    numbers = range(1, DUTY_PARTS + 1)
    return any(motor.si(f"duty_{number}_{name}") is not None for number in numbers for name in PART_FIELDS)
