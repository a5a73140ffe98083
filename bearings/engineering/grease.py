"""How long the grease of bearings and guides lasts: a figure for the work plan, never a reason to stop a stack."""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from bearings.engineering.arrangement import Mount
from bearings.engineering.quantities import Bearing, MotorDuty, Stack
from bearings.engineering.tables import grease as table


class GreaseRow(NamedTuple):
    """Grease life of one greased bearing; None where bore or temperature is not known, or the rule ends.

    ``ndm`` is speed times pitch diameter in mm/min.
    """

    ref: str
    speed_rpm: float
    ndm: float | None
    hours_at_70c: float | None
    temperature_c: float | None
    temperature_factor: float | None
    shaft_factor: float
    grease_life_h: float | None


def grease_life_at_70c_h(bearing: Bearing, speed_rpm: float) -> float | None:
    """Return the grease life in h of a bearing on a horizontal shaft at 70 degC.

    ``K (14e6 / (n sqrt(d)) - 4 d)`` with n in rpm (above 0) and the bore d in mm; None without a bore, and where
    the rule gives nothing because the bearing is too fast for it. Source: handbooks, from memory, unverified.

    >>> round(grease_life_at_70c_h(Bearing(type="deep_groove_ball", bore_mm=90.0), 1800.0))
    4598
    >>> grease_life_at_70c_h(Bearing(type="deep_groove_ball", bore_mm=200.0), 1800.0) is None
    True
    """
    if bearing.bore_mm is None:
        return None
    speed_part = table.SPEED_CONSTANT / (speed_rpm * sqrt(bearing.bore_mm))
    hours = table.TYPE_FACTOR[bearing.type] * (speed_part - table.BORE_CONSTANT * bearing.bore_mm)
    return hours if hours > 0 else None


def temperature_factor(temperature_c: float) -> float | None:
    """Return what grease life is multiplied by at a temperature in degC: halved for every 15 K above 70 degC.

    Cooler grease gets no longer life here. None above 120 degC, where the rule ends. Source: handbooks, from memory.

    >>> temperature_factor(60.0), temperature_factor(85.0), temperature_factor(100.0), temperature_factor(121.0)
    (1.0, 0.5, 0.25, None)
    """
    if temperature_c > table.HOTTEST_C:
        return None
    return float(0.5 ** (max(0.0, temperature_c - table.BASE_C) / table.HALVED_EACH_K))


def _life_h(hours_at_70c: float | None, warmth: float | None, shaft: float) -> float | None:
    if hours_at_70c is None or warmth is None:
        return None
    return min(hours_at_70c * warmth * shaft, table.LONGEST_H)


def _row(ref: str, one: Bearing, motor: MotorDuty, speed: float, temperature_c: float | None) -> GreaseRow:
    pitch, base = one.pitch_mm, grease_life_at_70c_h(one, speed)
    warmth = None if temperature_c is None else temperature_factor(temperature_c)
    shaft = table.VERTICAL_FACTOR if motor.mounting == "vertical" else 1.0
    ndm = None if pitch is None else speed * pitch
    return GreaseRow(ref, speed, ndm, base, temperature_c, warmth, shaft, _life_h(base, warmth, shaft))


def grease_rows(stack: Stack, mount: Mount) -> tuple[GreaseRow, ...]:
    """Return the grease life of every greased bearing of the stack, then of every greased guide; none without a speed.

    A guide that shares the stack's grease is as warm as the stack; one with a grease of its own is as warm as
    somebody said, which nobody may have.
    """
    oil, motor = stack.lubrication, stack.motor
    if motor.rated_speed_rpm is None:
        return ()
    # A drive may run faster than the plate says, and then the grease lasts less long.
    speed = max(motor.rated_speed_rpm, motor.maximum_speed_rpm or 0.0)
    warm = stack.policy.assumed_temperature_c if oil.temperature_c is None else oil.temperature_c
    rows = []
    if oil.method == "grease":
        rows = [_row(ref, one, motor, speed, warm) for ref, one in mount.bearings]
    for ref, guide in mount.guides:
        if guide.method(oil.method) == "grease":
            shared = warm if oil.method == "grease" else None
            own = shared if guide.guide_temperature_c is None else guide.guide_temperature_c
            rows.append(_row(ref, guide.bearing, motor, speed, own))
    return tuple(rows)
