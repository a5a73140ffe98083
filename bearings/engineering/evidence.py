"""Everything computed for a stack, gathered once, for the findings and the answer to read."""

from __future__ import annotations

from dataclasses import dataclass

from bearings.engineering.arrangement import Mount, RefBearing, describe, mount_of
from bearings.engineering.heat import RunningState, assess_thermal
from bearings.engineering.lives import assess_life
from bearings.engineering.loads import case_loads, net_loads, unloading_thrust
from bearings.engineering.lubrication import operating_viscosity
from bearings.engineering.quantities import Bearing, Stack
from bearings.engineering.rating import equivalent_static_load
from bearings.engineering.results import (
    ArrangementResult,
    CaseLoads,
    CaseName,
    LifeResult,
    NotChecked,
    SpeedResult,
    StaticRow,
    ThermalResult,
)
from bearings.engineering.results_sharing import SharingResult
from bearings.engineering.sharing import Sharing, sharing_of
from bearings.engineering.sharing_result import assess_sharing
from bearings.engineering.speed import assess_speed


@dataclass(frozen=True, slots=True)
class Evidence:
    """A stack with all its results; findings are drawn from this and from nothing else."""

    stack: Stack
    mount: Mount
    sharing: Sharing
    arrangement: ArrangementResult
    cases: tuple[CaseLoads, ...]
    unknown_cases: tuple[NotChecked, ...]
    loaded: dict[CaseName, dict[str, float]]
    radial_shares: dict[CaseName, float | None]
    unloading_thrust_n: float | None
    unloading_unknown: str | None
    viscosity: float | None
    life: LifeResult
    static: tuple[StaticRow, ...]
    speed: SpeedResult
    thermal: ThermalResult
    shared: SharingResult
    bearing: dict[str, Bearing]
    loaded_guides: tuple[RefBearing, ...]

    @property
    def running(self) -> CaseLoads | None:
        """The running case, where its inputs are known."""
        return self.cases[0] if self.cases and self.cases[0].name == "running" else None

    def radial(self, case: CaseName, ref: str) -> float | None:
        """Return the radial load of one bearing in a case: an equal part among the loaded ones."""
        if ref not in self.loaded[case] or ref.startswith("g"):
            return 0.0
        return self.radial_shares[case]


def radial_share(case: CaseLoads, radial_load_n: float | None) -> float | None:
    """Return the part of the radial load that each loaded bearing of the stack takes in a case."""
    count = sum(row.unloaded is False for row in case.bearings)
    if radial_load_n is None or count == 0:
        return radial_load_n if count else 0.0
    return radial_load_n / count


def _assess_static(
    cases: tuple[CaseLoads, ...], shares: dict[CaseName, float | None], bearing: dict[str, Bearing]
) -> tuple[StaticRow, ...]:
    """Return the worst case of every bearing that is loaded in a case, in the order of the refs."""
    worst: dict[str, StaticRow] = {}
    for case in cases:
        share = shares[case.name]
        for ref, axial in case.loaded.items():
            radial = 0.0 if ref.startswith("g") else share
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


def _loaded_guides(mount: Mount, cases: tuple[CaseLoads, ...]) -> tuple[RefBearing, ...]:
    loaded = {ref for case in cases for ref in case.loaded}
    return tuple((ref, guide.bearing) for ref, guide in mount.guides if ref in loaded)


def gather(stack: Stack) -> Evidence:
    """Compute everything the findings and the answer need, each once."""
    mount = mount_of(stack)
    sharing = sharing_of(mount)
    nets, unknown_cases = net_loads(stack.motor)
    cases = tuple(case_loads(mount, sharing, name, net) for name, net in nets.items())
    shares = {case.name: radial_share(case, stack.motor.radial_load_n) for case in cases}
    bearing = dict(mount.bearings) | {ref: guide.bearing for ref, guide in mount.guides}
    running = cases[0] if cases and cases[0].name == "running" else None
    running_share = shares.get("running")
    viscosity = operating_viscosity(stack.lubrication)
    unloading, unloading_unknown = unloading_thrust(mount, sharing)
    guides = _loaded_guides(mount, cases)
    speed = assess_speed(stack, mount, guides)
    state = RunningState(stack.motor, stack.lubrication, viscosity)
    return Evidence(
        stack=stack,
        mount=mount,
        sharing=sharing,
        arrangement=describe(mount),
        cases=cases,
        unknown_cases=unknown_cases,
        loaded={case.name: case.loaded for case in cases},
        radial_shares=shares,
        unloading_thrust_n=unloading,
        unloading_unknown=unloading_unknown,
        viscosity=viscosity,
        life=assess_life(stack, running, running_share, bearing, viscosity),
        static=_assess_static(cases, shares, bearing),
        speed=speed,
        thermal=assess_thermal(mount, _thermal_loads(mount, running, running_share), state),
        shared=assess_sharing(stack, mount, sharing, cases, speed, viscosity, bearing),
        bearing=bearing,
        loaded_guides=guides,
    )
