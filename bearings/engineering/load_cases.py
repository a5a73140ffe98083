"""The load cases of a motor, each with its speed, before and after its thrust is shared."""

from __future__ import annotations

from typing import Final, NamedTuple

from bearings.engineering.loads import axial_weight
from bearings.engineering.quantities import MotorDuty
from bearings.engineering.results import CaseLoads, CaseName

# Cases at the ends of a drive's speeds, which a duty at rated speed does not know.
DRIVE_CASES: Final = ("minimum_speed", "maximum_speed")


class CaseNet(NamedTuple):
    """One load case before its thrust is shared: what some subjects ask for no more than this of.

    Without a rated speed its speed is None, and so is that of every case that runs at it.
    """

    name: CaseName
    speed_rpm: float | None
    net_axial_n: float
    continuous: bool
    may_stop: bool


class JudgedCase(NamedTuple):
    """One load case with its speed. ``may_stop`` is false where a short life can only be warned of."""

    name: CaseName
    speed_rpm: float | None
    net_axial_n: float
    continuous: bool
    may_stop: bool
    cold: CaseLoads
    warm: CaseLoads | None

    @property
    def states(self) -> tuple[tuple[bool, CaseLoads], ...]:
        """Loads cold and, where heat and fits change them, warm: (is warm, loads)."""
        return ((False, self.cold),) if self.warm is None else ((False, self.cold), (True, self.warm))


def net_cases(motor: MotorDuty) -> tuple[CaseNet, ...]:
    """Return every load case whose thrust is known or ranged, each at its own speed.

    A drive's thrust that nobody entered is tried as the running thrust and with the square of the speed.

    >>> motor = MotorDuty(rated_speed_rpm=1_780.0, rotor_weight_n=2_200.0, down_thrust_n=30_000.0)
    >>> [(one.name, one.net_axial_n) for one in net_cases(motor)]
    [('running', 32200.0), ('uncoupled', 2200.0)]
    """
    weight = axial_weight(motor)
    if weight is None:
        return ()
    rated, thrust = motor.rated_speed_rpm, motor.down_thrust_n
    found = []
    if thrust is not None:
        found.append(CaseNet("running", rated, weight + thrust, continuous=True, may_stop=True))
    found.append(CaseNet("uncoupled", rated, weight, continuous=False, may_stop=False))
    if motor.up_thrust_n is not None:
        lasting = motor.up_thrust_duty == "continuous"
        net = weight - motor.up_thrust_n
        found.append(CaseNet("up_thrust", rated, net, continuous=lasting, may_stop=lasting))
    if motor.maximum_down_thrust_n is not None:
        lasting = motor.maximum_thrust_duty == "continuous"
        net = weight + motor.maximum_down_thrust_n
        found.append(CaseNet("maximum", rated, net, continuous=lasting, may_stop=lasting))
    found += _drive_cases(motor, weight)
    return tuple(found)


def _drive_cases(motor: MotorDuty, weight: float) -> list[CaseNet]:
    found = []
    drive: tuple[tuple[CaseName, float | None, float | None], ...] = (
        ("minimum_speed", motor.minimum_speed_rpm, motor.minimum_speed_down_thrust_n),
        ("maximum_speed", motor.maximum_speed_rpm, motor.maximum_speed_down_thrust_n),
    )
    for name, speed, given in drive:
        if speed is None:
            continue
        thrusts = [given] if given is not None else _drive_thrusts(motor, speed)
        found += [
            CaseNet(name, speed, weight + thrust, continuous=True, may_stop=False) for thrust in thrusts
        ]
    return found


def _drive_thrusts(motor: MotorDuty, speed_rpm: float) -> list[float]:
    """Return the thrusts tried at a drive's speed, the heavier first; without a rated speed nobody knows them."""
    thrust, rated = motor.down_thrust_n, motor.rated_speed_rpm
    if thrust is None or rated is None:
        return []
    squared = thrust * (speed_rpm / rated) ** 2
    return sorted({thrust, squared}, key=abs, reverse=True)
