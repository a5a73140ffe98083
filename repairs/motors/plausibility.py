"""What does not fit together on a plate. These are warnings: the plate may be right and the reading wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext as _

from bearings.public import grouped, plain
from repairs.motors.duty_parts import duty_is_begun, duty_parts
from repairs.motors.formulas import (
    CODE_LETTERS,
    LARGEST_SLIP,
    full_load_current_a,
    poles_from_speed,
    speed_without_slip_rpm,
)
from repairs.motors.models import Motor

COMMON_PRACTICE: Final = "common practice, no source"
CURRENT_TOLERANCE: Final = 0.10  # common practice, no source
# Where a plate says nothing, 40 °C holds; motors for colder or hotter places are seldom outside these.
LOWEST_AMBIENT_C, HIGHEST_AMBIENT_C = 20.0, 75.0
AMBIENT_SOURCE: Final = (
    "40 °C: IEC 60034-1 and NEMA MG 1, from memory, unverified; range: common practice, no source"
)
# ISO 3448: from memory, unverified.
OIL_GRADES: Final = frozenset(
    {2, 3, 5, 7, 10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680, 1000, 1500, 2200, 3200}
)


@dataclass(frozen=True, slots=True)
class Remark:
    """A warning about a plate, or a check that could not be made."""

    severity: str
    text: str
    source: str = ""


def synchronous_speed_rpm(motor: Motor) -> float | None:
    """Return the synchronous speed from frequency and poles, or from frequency and rated speed. [rpm]"""
    frequency, poles, speed = motor.si("frequency_hz"), motor.si("poles"), motor.si("rated_speed_rpm")
    if frequency is None:
        return None
    if poles is None and speed is not None:
        poles = poles_from_speed(speed, frequency)
    return None if poles is None else speed_without_slip_rpm(frequency, int(poles))


def remarks(motor: Motor) -> list[Remark]:
    """Return every warning about a motor's plate, and what could not be checked."""
    found = [*_speed_remarks(motor), *_drive_remarks(motor), *_current_remarks(motor)]
    found += [*_letter_remarks(motor), *_thrust_remarks(motor), *_oil_remarks(motor)]
    return [*found, *_ambient_remarks(motor), *_duty_remarks(motor)]


def _ambient_remarks(motor: Motor) -> list[Remark]:
    """Ask about an ambient that no plate is likely to print: most of all degrees Celsius taken for Fahrenheit."""
    ambient = motor.si("ambient_c")
    if ambient is None or LOWEST_AMBIENT_C <= ambient <= HIGHEST_AMBIENT_C:
        return []
    fahrenheit = 1.8 * ambient + 32
    text = _(
        "Max. ambient {celsius} °C ({fahrenheit} °F) is unusual; most plates say 40 °C. Check the unit and the plate."
    )
    words = text.format(celsius=plain(round(ambient, 1)), fahrenheit=grouped(fahrenheit))
    return [Remark("warn", words, AMBIENT_SOURCE)]


def _speed_remarks(motor: Motor) -> list[Remark]:
    frequency, poles, speed = motor.si("frequency_hz"), motor.si("poles"), motor.si("rated_speed_rpm")
    if poles is not None and int(poles) % 2:
        return [
            Remark("warn", _("{poles} poles is odd. Enter an even number of poles.").format(poles=int(poles)))
        ]
    if frequency is None or speed is None:
        return [Remark("not_checked", _("RPM vs. poles: frequency or full-load RPM not entered."))]
    figures = {"speed": plain(speed), "frequency": plain(frequency), "poles": int(poles or 0)}
    if poles is None:
        if poles_from_speed(speed, frequency) is not None:
            return []
        text = _("{speed} rpm is not near any synchronous speed at {frequency} Hz. Check RPM and frequency.")
        return [Remark("warn", text.format(**figures), f"120 f / p; {COMMON_PRACTICE}")]
    synchronous = speed_without_slip_rpm(frequency, int(poles))
    figures["synchronous"] = plain(synchronous)
    if speed > synchronous:
        text = _(
            "{speed} rpm is above the synchronous speed, {synchronous} rpm ({poles} poles, {frequency} Hz). A "
            "loaded motor runs below it. Check the plate."
        )
        return [Remark("warn", text.format(**figures), "120 f / p")]
    if 1 - speed / synchronous > LARGEST_SLIP:
        text = _(
            "{speed} rpm does not fit {poles} poles at {frequency} Hz (synchronous {synchronous} rpm). Check "
            "the plate."
        )
        return [Remark("warn", text.format(**figures), f"120 f / p; {COMMON_PRACTICE}")]
    return []


def _drive_remarks(motor: Motor) -> list[Remark]:
    rated, highest, reverse = (
        motor.si(key) for key in ("rated_speed_rpm", "maximum_speed_rpm", "reverse_speed_rpm")
    )
    found = []
    lowest = motor.si("minimum_speed_rpm")
    if motor.si("fixed_speed") == "yes" and (lowest is not None or highest is not None):
        text = _(
            "Supply is across the line, but drive speeds are entered. Clear the drive speeds, or choose “on a "
            "drive (VFD)”."
        )
        found.append(Remark("warn", text))
    if lowest is not None and rated is not None and lowest > rated:
        text = _("Min. drive RPM {lowest} is above full-load RPM {rated}. Check both.")
        found.append(Remark("note", text.format(lowest=plain(lowest), rated=plain(rated))))
    if rated is not None and highest is not None and highest < rated:
        text = _("Max. drive RPM {highest} is below full-load RPM {rated}. Check both.")
        found.append(Remark("note", text.format(highest=plain(highest), rated=plain(rated))))
    if reverse is not None and motor.si("non_reverse") == "yes":
        text = _("Backspin RPM is entered, but the motor has a non-reverse ratchet. Check both.")
        found.append(Remark("note", text))
    return found


def _current_remarks(motor: Motor) -> list[Remark]:
    names = ("power_w", "voltage_v", "current_a", "efficiency_percent", "power_factor")
    power, voltage, current, efficiency, factor = (motor.si(name) for name in names)
    efficiency = efficiency if efficiency is not None else motor.si("nominal_efficiency")
    phases = int(motor.si("phases") or 3)
    if None in (power, voltage, current, efficiency, factor) or phases == 2:
        text = _(
            "FLA vs. power: power, volts, FLA, efficiency or power factor not entered, or not a 1- or 3-phase "
            "motor."
        )
        return [Remark("not_checked", text)]
    expected = full_load_current_a(power, voltage, efficiency / 100, factor, phases)
    if abs(expected - current) / current <= CURRENT_TOLERANCE:
        return []
    text = _(
        "FLA is {current} A; power, volts, efficiency and power factor give {expected} A, over 10% apart. "
        "Check the plate."
    )
    return [
        Remark("warn", text.format(current=plain(current), expected=grouped(expected, 1)), COMMON_PRACTICE)
    ]


def _letter_remarks(motor: Motor) -> list[Remark]:
    letter = motor.si("code_letter")
    found = []
    if letter is not None and str(letter).strip().upper() not in CODE_LETTERS:
        text = _("“{letter}” is not a locked-rotor code letter. Use {letters}.")
        found.append(
            Remark(
                "warn",
                text.format(letter=letter, letters=", ".join(CODE_LETTERS)),
                "NEMA MG 1: from memory, unverified",
            )
        )
    rated, at_factor, factor = (
        motor.si(key) for key in ("current_a", "service_factor_current_a", "service_factor")
    )
    if rated is not None and at_factor is not None and at_factor < rated:
        found.append(Remark("warn", _("SF amps are below FLA. Check both.")))
    if at_factor is not None and factor == 1:
        text = _("SF amps are entered, but SF is 1.")
        found.append(Remark("note", text))
    return found


def _thrust_remarks(motor: Motor) -> list[Remark]:
    found = []
    down, highest, weight = (
        motor.si(k) for k in ("down_thrust_n", "maximum_down_thrust_n", "rotor_weight_n")
    )
    if down is not None and highest is not None and highest < down:
        found.append(Remark("warn", _("Max. downthrust is below continuous downthrust. Check both.")))
    if motor.is_vertical and down is None:
        found.append(Remark("not_checked", _("Stack loads: continuous downthrust not entered.")))
    if motor.is_vertical and weight is None:
        found.append(Remark("not_checked", _("Stack loads: rotor weight not entered.")))
    if motor.is_vertical and motor.si("up_thrust_n") is None:
        found.append(Remark("not_checked", _("Upthrust not entered; it was not checked.")))
    from_sheet = "sheet" in motor.nameplate.get("down_thrust_n", {})
    if down is not None and motor.si("thrust_basis") is None and not from_sheet:
        text = _("Plate thrust not marked as external or total. Taken as external (without rotor).")
        found.append(Remark("note", text, COMMON_PRACTICE))
    return found


def _oil_remarks(motor: Motor) -> list[Remark]:
    grade = motor.si("oil_iso_vg")
    if grade is None or grade in OIL_GRADES:
        return []
    text = _("ISO VG {grade} is not an ISO 3448 grade. Nearest grades: {near}.")
    near = sorted(sorted(OIL_GRADES, key=lambda one: abs(one - grade))[:2])
    words = ", ".join(str(one) for one in near)
    return [Remark("warn", text.format(grade=plain(grade), near=words), "ISO 3448: from memory, unverified")]


def _duty_remarks(motor: Motor) -> list[Remark]:
    if not duty_is_begun(motor) or duty_parts(motor):
        return []
    text = _(
        "Life over the duty cycle: enter percent, RPM and downthrust for every part; parts must total 100%."
    )
    return [Remark("not_checked", text)]
