"""Everything computed for a stack, each figure once and only when somebody asks for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from bearings.engineering.arrangement import Mount, RefBearing, describe, mount_of
from bearings.engineering.heat import RunningState, assess_thermal
from bearings.engineering.lives import assess_life
from bearings.engineering.loads import case_loads, net_loads, unloading_thrust
from bearings.engineering.lubrication import operating_viscosity
from bearings.engineering.quantities import Bearing, Stack, guide_radial_n
from bearings.engineering.rating import equivalent_static_load
from bearings.engineering.results import (
    ArrangementResult,
    CaseLoads,
    CaseName,
    LifeResult,
    SpeedResult,
    StaticRow,
    ThermalResult,
)
from bearings.engineering.sharing import Sharing, sharing_of
from bearings.engineering.sharing_result import SharingResult, TwoModels, assess_sharing, two_models
from bearings.engineering.speed import assess_speed
from bearings.engineering.thermal import drag_of
from bearings.engineering.worked_once import worked_once


class HeatSpan(NamedTuple):
    """Where in their ranges two unknown heats are taken: heat from outside as a share of the friction, and the
    factor on seat cooling that is only estimated."""

    external_share: float | None = None
    seat_factor: float = 1.0


class Evidence:
    """A stack with all its results; subjects draw their findings from this and from nothing else."""

    def __init__(self, stack: Stack, heat_span: HeatSpan | None = None) -> None:
        self.stack = stack
        self.heat_span = heat_span or HeatSpan()

    @worked_once
    def mount(self) -> Mount:
        """The stack seen as its bearings."""
        return mount_of(self.stack)

    @worked_once
    def sharing(self) -> Sharing:
        """The angular contact bearings ready to be solved, cold."""
        return sharing_of(self.mount)

    @worked_once
    def arrangement(self) -> ArrangementResult:
        """Relations and directions."""
        return describe(self.mount)

    @worked_once
    def _nets(self) -> dict[CaseName, float]:
        return net_loads(self.stack.motor)

    @worked_once
    def cases(self) -> tuple[CaseLoads, ...]:
        """Loads of every known case at rated speed, cold."""
        return tuple(case_loads(self.mount, self.sharing, name, net) for name, net in self._nets.items())

    @worked_once
    def loaded(self) -> dict[CaseName, Mapping[str, float]]:
        """Axial load of every loaded bearing and guide, by case and ref."""
        return {case.name: case.loaded for case in self.cases}

    @worked_once
    def radial_shares(self) -> dict[CaseName, float | None]:
        """Radial load of each loaded bearing of the stack, by case."""
        return {case.name: radial_share(case, self.stack.motor.radial_load_n) for case in self.cases}

    @worked_once
    def _unloading(self) -> tuple[float | None, str | None]:
        return unloading_thrust(self.mount, self.sharing)

    @property
    def unloading_thrust_n(self) -> float | None:
        """Net down thrust that unloads the first bearing carrying up, cold."""
        return self._unloading[0]

    @worked_once
    def viscosity(self) -> float | None:
        """Viscosity of the oil at its temperature in mm2/s."""
        return operating_viscosity(self.stack.lubrication)

    @worked_once
    def bearing(self) -> dict[str, Bearing]:
        """Every bearing of stack and guides, by ref."""
        return dict(self.mount.bearings) | {ref: guide.bearing for ref, guide in self.mount.guides}

    @worked_once
    def drags(self) -> dict[str, float | None]:
        """What the oil makes of the friction of every bearing of the stack, by ref; None where it is not known."""
        method, mounting = self.stack.lubrication.method, self.stack.motor.mounting
        return {ref: drag_of(one, method, mounting) for ref, one in self.mount.bearings}

    @property
    def running(self) -> CaseLoads | None:
        """The running case, where its inputs are known."""
        return self.cases[0] if self.cases and self.cases[0].name == "running" else None

    @worked_once
    def life(self) -> LifeResult:
        """Lives in the running case at rated speed, cold."""
        share = self.radial_shares.get("running")
        return assess_life(self.stack, self.running, share, self.bearing, self.viscosity)

    @worked_once
    def static(self) -> tuple[StaticRow, ...]:
        """Static safety of every loaded bearing in its worst case, cold."""
        return _assess_static(self.stack, self.cases, self.radial_shares, self.bearing)

    @worked_once
    def loaded_guides(self) -> tuple[RefBearing, ...]:
        """The guides that carry thrust in a case."""
        loaded = {ref for case in self.cases for ref in case.loaded}
        return tuple((ref, guide.bearing) for ref, guide in self.mount.guides if ref in loaded)

    @worked_once
    def speed(self) -> SpeedResult:
        """Allowable speeds and margins."""
        return assess_speed(self.stack, self.mount, self.loaded_guides)

    @worked_once
    def thermal(self) -> ThermalResult:
        """Friction in the running case and what takes the heat away."""
        loads = _thermal_loads(self.mount, self.running, self.radial_shares.get("running"))
        return assess_thermal(
            self.mount, loads, RunningState(self.stack.motor, self.stack.lubrication, self.viscosity)
        )

    @worked_once
    def models(self) -> TwoModels:
        """Both models of load sharing, case by case."""
        return two_models(self.mount, self.cases)

    @worked_once
    def shared(self) -> SharingResult:
        """Second model, mismatch, end play, growth, duty and springs."""
        return assess_sharing(
            self.stack,
            self.mount,
            self.sharing,
            self.cases,
            self.speed,
            self.viscosity,
            self.bearing,
            self.models,
        )

    def radial(self, case: CaseName, ref: str) -> float | None:
        """Return the radial load of one bearing in a case: an equal part among the loaded ones."""
        if ref not in self.loaded[case]:
            return 0.0
        if ref.startswith("g"):
            return guide_radial_n(self.stack, ref)
        return self.radial_shares[case]


def radial_share(case: CaseLoads, radial_load_n: float | None) -> float | None:
    """Return the part of the radial load that each loaded bearing of the stack takes in a case."""
    count = case.loaded_bearings
    if radial_load_n is None or count == 0:
        return radial_load_n if count else 0.0
    return radial_load_n / count


def _assess_static(
    stack: Stack,
    cases: tuple[CaseLoads, ...],
    shares: dict[CaseName, float | None],
    bearing: dict[str, Bearing],
) -> tuple[StaticRow, ...]:
    """Return the worst case of every bearing that is loaded in a case, in the order of the refs."""
    worst: dict[str, StaticRow] = {}
    for case in cases:
        share = shares[case.name]
        for ref, axial in case.loaded.items():
            radial = guide_radial_n(stack, ref) if ref.startswith("g") else share
            one = bearing[ref]
            load = None if radial is None else equivalent_static_load(one, axial, radial)
            before = worst.get(ref)
            if before is not None and (load is None or load <= (before.equivalent_static_load_n or 0.0)):
                continue
            rating = one.static_rating_n
            safety = None if load is None or rating is None else rating / load
            worst[ref] = StaticRow(ref, load, safety, case.name)
    return tuple(worst[ref] for ref in bearing if ref in worst)


def _thermal_loads(
    mount: Mount, running: CaseLoads | None, share: float | None
) -> dict[str, tuple[float, float]]:
    """Axial and radial load of the stack's bearings in the running case; one that is unknown is left out.

    The friction of a thrust roller bearing does not ask for its radial load.
    """
    if running is None or not running.carried or running.not_shared is not None:
        return {}
    thrust_rollers = {ref for ref, one in mount.bearings if one.type == "spherical_roller_thrust"}
    loads: dict[str, tuple[float, float]] = {}
    for row in running.bearings:
        radial = 0.0 if row.unloaded or (share is None and row.ref in thrust_rollers) else share
        if row.axial_n is not None and radial is not None:
            loads[row.ref] = (row.axial_n, radial)
    return loads
