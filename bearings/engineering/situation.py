"""A stack with every ranged field at one place of its range: what every subject is judged on.

Each case is judged whole, cold (as version 1 shares the loads) and as mounted and warm.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from bearings.engineering.arrangement import Mount, mount_of
from bearings.engineering.evidence import Evidence, HeatSpan, radial_share
from bearings.engineering.least_load import SkiddingRow
from bearings.engineering.load_cases import DRIVE_CASES, CaseNet, JudgedCase, net_cases
from bearings.engineering.load_gaps import Missing, drive_gaps, face_gaps, load_gaps, speed_gaps
from bearings.engineering.loads import FACE_UNKNOWN, axial_weight, case_loads, unloading_thrust
from bearings.engineering.lubrication import (
    contamination_factor,
    lubricant_of_guide,
    operating_viscosity,
    reference_viscosity,
)
from bearings.engineering.mounted import is_modelled, overlap_changes_mm
from bearings.engineering.quantities import ROLLER_TYPES, Bearing, Lubrication, Stack, guide_radial_n
from bearings.engineering.rating import (
    basic_life_h,
    bearing_life_modification,
    equivalent_load,
    equivalent_static_load,
    system_life,
)
from bearings.engineering.results import CaseLoads
from bearings.engineering.sharing import Contact, Sharing, sharing_of
from bearings.engineering.worked_once import worked_once

# Where the least load and the life of a bearing stand in their ranges, bearing for bearing.
Figures = tuple[float | None, ...]


class CaseLife(NamedTuple):
    """Life of the stack in one case and state, in hours; None where an input is not known or the method ends."""

    basic_h: float | None
    modified_h: float | None
    kappa: float | None


class WorkedOut:
    """What the situations of one stack have worked out, for all of them.

    Loads and oils are kept by identity, each with what was worked out of it, so that no other can take its place.
    """

    def __init__(self) -> None:
        self.lives: dict[tuple[float | None, int, int, Figures], tuple[object, CaseLife | None]] = {}
        self.skidding: dict[tuple[float | None, int, Figures], tuple[CaseLoads, list[SkiddingRow]]] = {}
        self.oils: dict[
            tuple[int, float | None, float | None], tuple[object, float | None, float | None]
        ] = {}
        self.viscosities: dict[int, tuple[object, float | None]] = {}
        self.equivalents: dict[int, tuple[CaseLoads, dict[str, float | None]]] = {}
        self.statics: dict[int, tuple[CaseLoads, dict[str, float | None]]] = {}


class Kin(NamedTuple):
    """Situations of the same stack that have something of a new one worked out already.

    ``first`` is any of them, ``parts`` has the same bearings and guides, ``cold`` the same loads while cold, ``loads``
    also as mounted and warm.
    """

    first: Situation
    parts: Situation | None = None
    cold: Situation | None = None
    loads: Situation | None = None


class Situation(Evidence):
    """All that the subjects read of a stack; ``entered`` is the stack as people entered it."""

    def __init__(
        self,
        stack: Stack,
        entered: Stack | None = None,
        heat_span: HeatSpan | None = None,
        kin: Kin | None = None,
    ) -> None:
        super().__init__(stack, heat_span)
        self.entered = stack if entered is None else entered
        # The rated speed, while nobody knows it: for what needs a speed, and for a thrust that a drive changes.
        self.speed_gaps = speed_gaps(stack.motor)
        self.drive_gaps = drive_gaps(self.entered.motor) if self.speed_gaps else ()
        self._first = None if kin is None else kin.first
        self._parts = None if kin is None else kin.parts
        self._cold = None if kin is None else kin.cold
        self._loads = None if kin is None else kin.loads
        self.worked_out: WorkedOut = WorkedOut() if kin is None else kin.first.worked_out

    # ---------------------------------------------------------------- what stands on the shaft
    @worked_once
    def mount(self) -> Mount:
        """The stack seen as its bearings."""
        return mount_of(self.stack) if self._parts is None else self._parts.mount

    @worked_once
    def bearing(self) -> dict[str, Bearing]:
        """Every bearing of stack and guides, by ref."""
        if self._parts is not None:
            return self._parts.bearing
        return dict(self.mount.bearings) | {ref: guide.bearing for ref, guide in self.mount.guides}

    @worked_once
    def sharing(self) -> Sharing:
        """The angular contact bearings ready to be solved, cold."""
        return sharing_of(self.mount) if self._cold is None else self._cold.sharing

    @worked_once
    def entered_bearing(self) -> dict[str, Bearing]:
        """Every bearing as entered, by ref."""
        if self._first is not None:
            return self._first.entered_bearing
        stack_bearings = [item for item in self.entered.items if isinstance(item, Bearing)]
        found = dict(zip((ref for ref, _ in self.mount.bearings), stack_bearings, strict=True))
        return found | {
            ref: guide.bearing for (ref, _), guide in zip(self.mount.guides, self.entered.guides, strict=True)
        }

    @worked_once
    def unfaced(self) -> tuple[str, ...]:
        """One-way bearings of the stack whose face nobody entered."""
        return self.mount.unfaced

    @worked_once
    def angular(self) -> tuple[tuple[str, Bearing], ...]:
        """Angular contact bearings of the stack."""
        if self._parts is not None:
            return self._parts.angular
        return tuple(pair for pair in self.mount.bearings if pair[1].type == "angular_contact_ball")

    @worked_once
    def _least_factors(self) -> Figures:
        return tuple(one.minimum_load_factor_n for _, one in self.mount.bearings)

    @worked_once
    def _fatigue_limits(self) -> Figures:
        return tuple(one.fatigue_load_limit_n for one in self.bearing.values())

    # ---------------------------------------------------------------- what is missing for the loads
    @worked_once
    def face_gaps(self) -> tuple[Missing, ...]:
        """Faces that are not known."""
        return face_gaps(self.mount) if self._first is None else self._first.face_gaps

    @worked_once
    def load_gaps(self) -> tuple[Missing, ...]:
        """Needed fields without which nobody knows what each bearing carries."""
        return load_gaps(self.stack, self.mount) if self._first is None else self._first.load_gaps

    @worked_once
    def sharing_gaps(self) -> tuple[Missing, ...]:
        """The stack itself, where its kinds of bearings share a thrust in a way that no model here knows."""
        # A face is asked for by itself.
        unshared = any(case.cold.not_shared not in {None, FACE_UNKNOWN} for case in self.judged_cases)
        return (Missing("items"),) if unshared else ()

    @worked_once
    def warm_changes_mm(self) -> dict[str, float] | None:
        """Change of every overlap from cold to mounted and warm; None where it changes nothing or is not known."""
        if self._loads is not None:
            return self._loads.warm_changes_mm
        if not is_modelled(self.mount) or self.sharing.not_shared is not None or self.sharing.equal_stiffness:
            return None
        warmer = self.stack.motor.shaft_warmer_k
        return overlap_changes_mm(self.stack, self.mount, 0.0 if warmer is None else warmer)

    @worked_once
    def warm_sharing(self) -> Sharing | None:
        """The angular contact bearings as mounted and warm."""
        if self._loads is not None:
            return self._loads.warm_sharing
        changes = self.warm_changes_mm
        if changes is None:
            return None
        return Sharing(
            tuple(
                [
                    Contact(one.ref, one.sign, one.stiffness, one.overlap + changes[one.ref])
                    for one in self.sharing.contacts
                ]
            )
        )

    @worked_once
    def judged_cases(self) -> tuple[JudgedCase, ...]:
        """Every load case whose thrust is known or ranged, shared by the bearings cold and warm."""
        if self._loads is not None:
            return self._loads.judged_cases
        warm = self.warm_sharing
        found = []
        for case, cold in zip(self.case_nets, self._cold_loads, strict=True):
            hot = None if warm is None else case_loads(self.mount, warm, case.name, case.net_axial_n)
            found.append(JudgedCase(*case, cold, hot))
        return tuple(found)

    @worked_once
    def _cold_loads(self) -> list[CaseLoads]:
        """What every bearing carries cold, case by case: the same whatever the shaft's warmth and the fits are."""
        if self._cold is not None:
            return self._cold._cold_loads
        return [case_loads(self.mount, self.sharing, case.name, case.net_axial_n) for case in self.case_nets]

    @worked_once
    def case_nets(self) -> tuple[CaseNet, ...]:
        """Every load case whose thrust is known or ranged, each at its own speed."""
        return net_cases(self.stack.motor) if self._cold is None else self._cold.case_nets

    @worked_once
    def cases(self) -> tuple[CaseLoads, ...]:
        """Cold loads of the cases at rated speed that version 1 knows."""
        return tuple(case.cold for case in self.judged_cases if case.name not in DRIVE_CASES)

    @worked_once
    def running_net_n(self) -> float | None:
        """Net thrust of the running case, where it is known."""
        return next((case.net_axial_n for case in self.case_nets if case.name == "running"), None)

    @worked_once
    def duty_loads(self) -> tuple[tuple[int, bool, CaseLoads], ...]:
        """Loads in every part of the duty that lasts, cold and warm: (number of the part, is warm, loads)."""
        if self._loads is not None:
            return self._loads.duty_loads
        weight = axial_weight(self.stack.motor)
        if weight is None:
            return ()
        return tuple(
            (number, warm, case_loads(self.mount, sharing, "running", weight + point.down_thrust_n))
            for number, point in enumerate(self.stack.motor.duty or (), 1)
            if point.share > 0
            for warm, sharing in ((False, self.sharing), (True, self.warm_sharing))
            if sharing is not None
        )

    @worked_once
    def unloading_thrust_warm_n(self) -> float | None:
        """Net down thrust that unloads the first bearing carrying up, as mounted and warm."""
        warm = self.warm_sharing
        return None if warm is None else unloading_thrust(self.mount, warm)[0]

    # ---------------------------------------------------------------- loads and lives in a case
    def radial_of(self, loads: CaseLoads, ref: str) -> float | None:
        """Return the radial load of a bearing in a case: an equal part among the loaded ones of the stack."""
        if ref.startswith("g"):
            return guide_radial_n(self.stack, ref)
        return radial_share(loads, self.stack.motor.radial_load_n)

    def life_in(self, case: JudgedCase, loads: CaseLoads) -> CaseLife | None:
        """Return the life of the stack if it ran so always; None where the loads are not known or nothing is loaded."""
        oil = self.stack.lubrication
        key = case.speed_rpm, id(loads), id(oil), self._fatigue_limits
        found = self.worked_out.lives.get(key)
        if found is None:
            found = self.worked_out.lives[key] = (loads, oil), self._life_in(case, loads)
        return found[1]

    def equivalent_loads(self, loads: CaseLoads) -> dict[str, float | None]:
        """Return P of every loaded bearing of a case; what does not change a load does not change it either."""
        found = self.worked_out.equivalents.get(id(loads))
        if found is None:
            own = self._equivalents(equivalent_load, loads)
            found = self.worked_out.equivalents[id(loads)] = loads, own
        return found[1]

    def static_loads(self, loads: CaseLoads) -> dict[str, float | None]:
        """Return P0 of every loaded bearing of a case; a guide that takes no thrust bears its radial load."""
        found = self.worked_out.statics.get(id(loads))
        if found is None:
            own = self._equivalents(equivalent_static_load, loads)
            for ref, axial in loads.guides:
                radial = guide_radial_n(self.stack, ref)
                if ref not in own and axial is not None and radial > 0:
                    own[ref] = equivalent_static_load(self.bearing[ref], 0.0, radial)
            found = self.worked_out.statics[id(loads)] = loads, own
        return found[1]

    def _equivalents(
        self, rule: Callable[[Bearing, float, float], float | None], loads: CaseLoads
    ) -> dict[str, float | None]:
        share = radial_share(loads, self.stack.motor.radial_load_n)
        found: dict[str, float | None] = {}
        for ref, axial in loads.loaded.items():
            radial = guide_radial_n(self.stack, ref) if ref.startswith("g") else share
            found[ref] = None if radial is None else rule(self.bearing[ref], axial, radial)
        return found

    def skidding_rows(
        self, loads: CaseLoads, speed_rpm: float | None, work_out: Callable[[], list[SkiddingRow]]
    ) -> list[SkiddingRow]:
        """Return the least loads of a case at a speed: the subject and the results of the cases ask for the same."""
        key = speed_rpm, id(loads), self._least_factors
        found = self.worked_out.skidding.get(key)
        if found is None:
            found = self.worked_out.skidding[key] = loads, work_out()
        return found[1]

    @worked_once
    def viscosity(self) -> float | None:
        """Viscosity of the oil at its temperature in mm2/s."""
        return self._viscosity_of(self.stack.lubrication)

    def _viscosity_of(self, oil: Lubrication) -> float | None:
        found = self.worked_out.viscosities.get(id(oil))
        if found is None:
            found = self.worked_out.viscosities[id(oil)] = oil, operating_viscosity(oil)
        return found[1]

    @worked_once
    def guide_oils(self) -> dict[str, Lubrication]:
        """What each guide runs in, by ref."""
        oil = self.stack.lubrication
        return {ref: lubricant_of_guide(guide, oil) for ref, guide in self.mount.guides}

    def _life_in(self, case: JudgedCase, loads: CaseLoads) -> CaseLife | None:
        if not loads.carried or loads.not_shared is not None:
            return None
        basic: list[float | None] = []
        modified: list[float | None] = []
        kappas: list[float] = []
        rollers, speed = True, case.speed_rpm
        for ref, equivalent in self.equivalent_loads(loads).items():
            one = self.bearing[ref]
            rollers = rollers and one.type in ROLLER_TYPES
            life = None if equivalent is None or speed is None else basic_life_h(one, equivalent, speed)
            basic.append(life)
            kappa, longer = self._modified(ref, equivalent, life, speed)
            modified.append(longer)
            if kappa is not None:
                kappas.append(kappa)
        if not basic:
            return None
        return CaseLife(_system(basic, rollers), _system(modified, rollers), min(kappas, default=None))

    def load_shares_in(self, loads: CaseLoads) -> tuple[float, float]:
        """Return the greatest P / C of the bearings of a case, and the greatest P / C0 of its ball bearings."""
        dynamic = static = 0.0
        for ref, equivalent in self.equivalent_loads(loads).items():
            if equivalent is None:
                continue
            one = self.bearing[ref]
            if one.dynamic_rating_n:
                dynamic = max(dynamic, equivalent / one.dynamic_rating_n)
            if one.static_rating_n and one.type not in ROLLER_TYPES:
                static = max(static, equivalent / one.static_rating_n)
        return dynamic, static

    def _film(self, ref: str, speed_rpm: float | None) -> tuple[float | None, float | None]:
        """Return viscosity ratio and contamination factor; like bearings ask for them in every case."""
        oil = self.guide_oils[ref] if ref.startswith("g") else self.stack.lubrication
        pitch_mm = self.bearing[ref].pitch_mm
        found = self.worked_out.oils.get((id(oil), pitch_mm, speed_rpm))
        if found is None:
            kappa, viscosity = None, self._viscosity_of(oil)
            if viscosity is not None and pitch_mm is not None and speed_rpm is not None:
                kappa = viscosity / reference_viscosity(speed_rpm, pitch_mm)
            found = oil, kappa, contamination_factor(oil, pitch_mm, kappa)
            self.worked_out.oils[id(oil), pitch_mm, speed_rpm] = found
        return found[1], found[2]

    def _modified(
        self, ref: str, equivalent: float | None, life: float | None, speed_rpm: float | None
    ) -> tuple[float | None, float | None]:
        kappa, contamination = self._film(ref, speed_rpm)
        if kappa is None or equivalent is None or life is None or contamination is None:
            return kappa, None
        a_iso = bearing_life_modification(self.bearing[ref], equivalent, kappa, contamination)
        return kappa, None if a_iso is None else a_iso * life


def _system(lives: list[float | None], all_rollers: bool) -> float | None:
    known = [one for one in lives if one is not None]
    return system_life(known, all_rollers=all_rollers) if len(known) == len(lives) else None
