"""What does not fit together on a plate. These are warnings: the plate may be right and the reading wrong."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from django.utils.translation import gettext as _

from repairs.motors.models import Motor


@dataclass(frozen=True, slots=True)
class Remark:
    """A warning about a plate, or a check that could not be made."""

    severity: str
    text: str
    source: str = ""


def speed_without_slip_rpm(frequency_hz: float, poles: int) -> float:
    """Return the synchronous speed, 120 f / p. [r/min]"""
    return 120 * frequency_hz / poles


def poles_from_speed(speed_rpm: float, frequency_hz: float) -> int | None:
    """Return the poles of the nearest synchronous speed at or above a rated speed; None when it slips over 15 %."""
    poles = int(120 * frequency_hz / speed_rpm + 1e-9)
    poles -= poles % 2
    if poles < 2:
        return None
    slip = 1 - speed_rpm / speed_without_slip_rpm(frequency_hz, poles)
    return poles if slip <= 0.15 else None


def full_load_current_a(power_w: float, voltage_v: float, efficiency: float, power_factor: float) -> float:
    """Return the current of a three-phase motor at rated load. [A]"""
    return power_w / (sqrt(3) * voltage_v * efficiency * power_factor)


def synchronous_speed_rpm(motor: Motor) -> float | None:
    """Return the synchronous speed from frequency and poles, or from frequency and rated speed. [r/min]"""
    frequency, poles, speed = motor.si("frequency_hz"), motor.si("poles"), motor.si("rated_speed_rpm")
    if frequency is None:
        return None
    if poles is None and speed is not None:
        poles = poles_from_speed(speed, frequency)
    return None if poles is None else speed_without_slip_rpm(frequency, int(poles))


def remarks(motor: Motor) -> list[Remark]:
    """Return every warning about a motor's plate, and what could not be checked."""
    return [*_speed_remarks(motor), *_current_remarks(motor), *_thrust_remarks(motor)]


def _speed_remarks(motor: Motor) -> list[Remark]:
    frequency, poles, speed = motor.si("frequency_hz"), motor.si("poles"), motor.si("rated_speed_rpm")
    if frequency is None or speed is None:
        return [Remark("not_checked", _("Speed against poles: frequency or speed is not read."))]
    found = []
    if poles is not None:
        if int(poles) % 2:
            found.append(Remark("warn", _("{poles} poles: poles come in pairs.").format(poles=int(poles))))
        synchronous = speed_without_slip_rpm(frequency, int(poles))
        slip = 1 - speed / synchronous
        if not 0 <= slip <= 0.15:
            text = _(
                "{speed} r/min does not fit {poles} poles at {frequency} Hz (without slip {synchronous} r/min)."
            )
            found.append(
                Remark(
                    "warn",
                    text.format(
                        speed=f"{speed:g}",
                        poles=int(poles),
                        frequency=f"{frequency:g}",
                        synchronous=f"{synchronous:g}",
                    ),
                    "120 f / p",
                )
            )
    elif poles_from_speed(speed, frequency) is None:
        text = _("{speed} r/min lies far from every synchronous speed at {frequency} Hz.")
        found.append(Remark("warn", text.format(speed=f"{speed:g}", frequency=f"{frequency:g}"), "120 f / p"))
    return found


def _current_remarks(motor: Motor) -> list[Remark]:
    names = ("power_w", "voltage_v", "current_a", "efficiency_percent", "power_factor")
    power, voltage, current, efficiency, factor = (motor.si(name) for name in names)
    efficiency = efficiency if efficiency is not None else motor.si("nominal_efficiency")
    if None in (power, voltage, current, efficiency, factor):
        return [
            Remark(
                "not_checked",
                _("Current against power: power, voltage, current, efficiency or power factor is not read."),
            )
        ]
    expected = full_load_current_a(power, voltage, efficiency / 100, factor)
    if abs(expected - current) / current <= 0.10:
        return []
    text = _(
        "{current} A on the plate; power, voltage, efficiency and power factor give {expected} A, over 10 % apart."
    )
    return [
        Remark(
            "warn",
            text.format(current=f"{current:g}", expected=f"{expected:.1f}"),
            "common practice, no source",
        )
    ]


def _thrust_remarks(motor: Motor) -> list[Remark]:
    found = []
    down, highest, weight = (
        motor.si(k) for k in ("down_thrust_n", "maximum_down_thrust_n", "rotor_weight_n")
    )
    if down is not None and highest is not None and highest < down:
        found.append(Remark("warn", _("The highest down thrust is below the continuous one.")))
    if motor.is_vertical and weight is None:
        found.append(Remark("not_checked", _("Loads of the stack: the rotor weight is not known.")))
    if down is not None and motor.si("thrust_basis") is None:
        found.append(
            Remark(
                "note",
                _("Whether the thrust on the plate includes the rotor is not recorded; taken as external."),
                "common practice, no source",
            )
        )
    return found
