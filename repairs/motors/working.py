"""What follows from a plate: figures worked out, for people who want to see them beside the printed ones."""

from __future__ import annotations

from typing import NamedTuple

from django.utils.translation import gettext as _

from bearings.public import grouped, percent_sign, plain
from repairs.motors.formulas import full_load_current_a, full_load_torque_nm, locked_rotor_current_a
from repairs.motors.models import Motor
from repairs.motors.plausibility import synchronous_speed_rpm
from repairs.motors.units import FOOT_M, HP_W, LBF_N


class Worked(NamedTuple):
    """One figure with the way to it; an empty value: something that it needs was not read."""

    label: str
    value: str
    formula: str


def worked_figures(motor: Motor, units: str) -> list[Worked]:
    """Return synchronous speed, slip, torque, expected current and locked-rotor current."""
    return [*_speeds(motor), _torque(motor, units), _current(motor), _locked_rotor(motor)]


def _speeds(motor: Motor) -> list[Worked]:
    synchronous, rated = synchronous_speed_rpm(motor), motor.si("rated_speed_rpm")
    slip = ""
    if synchronous and rated is not None:
        slip = f"{grouped(100 * (1 - rated / synchronous), 1)}{percent_sign()}"
    shown = f"{grouped(synchronous)}\u00a0rpm" if synchronous else ""
    return [
        Worked(_("synchronous speed"), shown, "120 f / p"),
        Worked(_("full-load slip"), slip, "1 − n / n₀"),
    ]


def _torque(motor: Motor, units: str) -> Worked:
    power, speed = motor.si("power_w"), motor.si("rated_speed_rpm")
    value = ""
    if power is not None and speed:
        torque = full_load_torque_nm(power, speed)
        value = (
            f"{plain(torque / (LBF_N * FOOT_M), 4)}\u00a0lb-ft"
            if units == "us"
            else f"{plain(torque, 4)}\u00a0N·m"
        )
    return Worked(_("full-load torque"), value, "P / ω")


def _current(motor: Motor) -> Worked:
    power, voltage, factor = (motor.si(key) for key in ("power_w", "voltage_v", "power_factor"))
    efficiency = motor.si("efficiency_percent") or motor.si("nominal_efficiency")
    phases = int(motor.si("phases") or 3)
    value = ""
    if None not in (power, voltage, factor, efficiency) and phases != 2:
        value = f"{plain(full_load_current_a(power, voltage, efficiency / 100, factor, phases), 4)}\u00a0A"
    return Worked(_("expected FLA"), value, "P / (√3 U η cos φ)")


def _locked_rotor(motor: Motor) -> Worked:
    power, voltage, letter = (motor.si(key) for key in ("power_w", "voltage_v", "code_letter"))
    value = ""
    if None not in (power, voltage, letter) and int(motor.si("phases") or 3) == 3:
        limits = locked_rotor_current_a(power / HP_W, voltage, str(letter))
        if limits is not None:
            low, high = limits
            value = (
                _("{low} to {high} A").format(low=plain(low, 4), high=plain(high, 4))
                if high is not None
                else _("{low} A and more").format(low=plain(low, 4))
            )
    return Worked(
        _("locked-rotor amps (code letter)"),
        value,
        _("kVA/hp of NEMA MG 1 (from memory, unverified) × hp / (√3 U)"),
    )
