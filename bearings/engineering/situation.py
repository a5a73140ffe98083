"""A stack with every ranged field at one place of its range: what every subject is judged on.

Each case is judged whole, cold (as version 1 shares the loads) and as mounted and warm.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from bearings.engineering.evidence import Evidence, HeatSpan, radial_share
from bearings.engineering.least_load import SkiddingRow
from bearings.engineering.loads import FACE_UNKNOWN, axial_weight, case_loads, unloading_thrust
from bearings.engineering.lubrication import contamination_factor, reference_viscosity
from bearings.engineering.mounted import is_modelled, overlap_changes_mm, part_heights_mm
from bearings.engineering.quantities import ROLLER_TYPES, Bearing, Part, Stack, guide_radial_n
from bearings.engineering.rating import (
    basic_life_h,
    bearing_life_modification,
    equivalent_load,
    system_life,
)
from bearings.engineering.results import CaseLoads, CaseName
from bearings.engineering.sharing import Contact, Sharing
from bearings.engineering.worked_once import worked_once

# Cases at the ends of a drive's speeds, which a duty at rated speed does not know.
DRIVE_CASES: Final = ("minimum_speed", "maximum_speed")


class Missing(NamedTuple):
    """A field that is asked for and not entered; ``ref`` names the part it belongs to."""

    field: str
    ref: str | None = None


class CaseNet(NamedTuple):
    """One load case before its thrust is shared: what some subjects ask for no more than this of."""

    name: CaseName
    speed_rpm: float
    net_axial_n: float
    continuous: bool
    may_stop: bool


class JudgedCase(NamedTuple):
    """One load case with its speed. ``may_stop`` is false where a short life can only be warned of."""

    name: CaseName
    speed_rpm: float
    net_axial_n: float
    continuous: bool
    may_stop: bool
    cold: CaseLoads
    warm: CaseLoads | None

    @property
    def states(self) -> tuple[tuple[bool, CaseLoads], ...]:
        """Loads cold and, where heat and fits change them, warm: (is warm, loads)."""
        return ((False, self.cold),) if self.warm is None else ((False, self.cold), (True, self.warm))


class CaseLife(NamedTuple):
    """Life of the stack in one case and state, in hours; None where an input is not known or the method ends."""

    basic_h: float | None
    modified_h: float | None
    kappa: float | None


class Situation(Evidence):
    """All that the subjects read of a stack; ``entered`` is the stack as people entered it."""

    def __init__(
        self,
        stack: Stack,
        entered: Stack | None = None,
        heat_span: HeatSpan | None = None,
        same_loads: Situation | None = None,
    ) -> None:
        """``same_loads`` is a situation that differs in nothing which changes a load: its cases are taken over."""
        super().__init__(stack, heat_span)
        self.entered = stack if entered is None else entered
        self._same_loads = same_loads
        # Keyed by the loads' identity; the loads are kept with what was worked out, so that no other can take theirs.
        self._lives: dict[tuple[float, int], tuple[CaseLoads, CaseLife | None]] = {}
        self.skidding: dict[tuple[float, int], tuple[CaseLoads, list[SkiddingRow]]] = {}
        self._oils: dict[tuple[float | None, float], tuple[float | None, float | None]] = {}
        self._equivalents: dict[int, tuple[CaseLoads, dict[str, float | None]]] = {}

    @worked_once
    def entered_bearing(self) -> dict[str, Bearing]:
        """Every bearing as entered, by ref."""
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
        return tuple(pair for pair in self.mount.bearings if pair[1].type == "angular_contact_ball")

    @worked_once
    def face_gaps(self) -> tuple[Missing, ...]:
        """Faces that are not known."""
        return tuple(Missing("wide_face", ref) for ref in self.unfaced)

    @worked_once
    def load_gaps(self) -> tuple[Missing, ...]:
        """Needed fields without which nobody knows what each bearing carries."""
        return self._find_load_gaps() if self._same_loads is None else self._same_loads.load_gaps

    def _find_load_gaps(self) -> tuple[Missing, ...]:
        motor = self.stack.motor
        gaps = list(self.face_gaps)
        if motor.down_thrust_n is None:
            gaps.append(Missing("motor.down_thrust_n"))
            if motor.rotor_weight_n is None and motor.mounting == "vertical":
                gaps.append(Missing("motor.rotor_weight_n"))
        if motor.radial_load_n is None and motor.mounting == "horizontal":
            gaps.append(Missing("motor.radial_load_n"))
        if len(self.angular) > 1:
            gaps += self._set_gaps()
        gaps += [
            Missing("spring_force_n", ref)
            for ref, one in self.mount.one_way
            if one.on_springs and one.spring_force_n is None and _has_more_springs(one)
        ]
        return tuple(gaps)

    def _set_gaps(self) -> list[Missing]:
        gaps: list[Missing] = []
        for ref, one in self.angular:
            gaps += [
                Missing(name, ref)
                for name in ("contact_angle_deg", "bore_mm", "outside_diameter_mm", "height_mm")
                if getattr(one, name) is None
            ]
            if one.stand_out_um is None:
                if one.pairing is None:
                    gaps.append(Missing("pairing", ref))
                gaps.append(Missing("stand_out_um", ref))
            sizes_known = one.bore_mm is not None and one.outside_diameter_mm is not None
            if sizes_known:
                gaps += [
                    Missing(name, ref)
                    for name in ("ball_count", "ball_diameter_mm")
                    if getattr(one, name) is None
                ]
            if one.dynamic_rating_n is None and one.pair_preload_n is None and self.mount.opposed:
                gaps.append(Missing("dynamic_rating_n", ref))
        return gaps + self._part_gaps()

    def _part_gaps(self) -> list[Missing]:
        """Heights of parts between two bearings of the set."""
        gaps: list[Missing] = []
        waiting: list[Missing] = []
        seen = False
        for ref, item in zip(self.mount.refs, self.stack.items, strict=True):
            if isinstance(item, Part):
                heights = part_heights_mm(item)
                if None in heights:
                    waiting.append(Missing("height_mm", ref))
                continue
            if seen:
                gaps += waiting
            seen, waiting = True, []
        return gaps

    @worked_once
    def sharing_gaps(self) -> tuple[Missing, ...]:
        """The stack itself, where its kinds of bearings share a thrust in a way that no model here knows."""
        # A face is asked for by itself.
        unshared = any(case.cold.not_shared not in {None, FACE_UNKNOWN} for case in self.judged_cases)
        return (Missing("items"),) if unshared else ()

    @worked_once
    def warm_changes_mm(self) -> dict[str, float] | None:
        """Change of every overlap from cold to mounted and warm; None where it changes nothing or is not known."""
        if self._same_loads is not None:
            return self._same_loads.warm_changes_mm
        if not is_modelled(self.mount) or self.sharing.not_shared is not None or self.sharing.equal_stiffness:
            return None
        warmer = self.stack.motor.shaft_warmer_k
        return overlap_changes_mm(self.stack, self.mount, 0.0 if warmer is None else warmer)

    @worked_once
    def warm_sharing(self) -> Sharing | None:
        """The angular contact bearings as mounted and warm."""
        if self._same_loads is not None:
            return self._same_loads.warm_sharing
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
        if self._same_loads is not None:
            return self._same_loads.judged_cases
        warm = self.warm_sharing
        found = []
        for case in self.case_nets:
            cold = case_loads(self.mount, self.sharing, case.name, case.net_axial_n)
            hot = None if warm is None else case_loads(self.mount, warm, case.name, case.net_axial_n)
            found.append(JudgedCase(*case, cold, hot))
        return tuple(found)

    @worked_once
    def case_nets(self) -> tuple[CaseNet, ...]:
        """Every load case whose thrust is known or ranged, each at its own speed.

        A drive's thrust that nobody entered is tried as the running thrust and with the square of the speed.
        """
        if self._same_loads is not None:
            return self._same_loads.case_nets
        motor, weight = self.stack.motor, axial_weight(self.stack.motor)
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
        found += self._drive_cases(weight)
        return tuple(found)

    def _drive_cases(self, weight: float) -> list[CaseNet]:
        motor = self.stack.motor
        found = []
        drive: tuple[tuple[CaseName, float | None, float | None], ...] = (
            ("minimum_speed", motor.minimum_speed_rpm, motor.minimum_speed_down_thrust_n),
            ("maximum_speed", motor.maximum_speed_rpm, motor.maximum_speed_down_thrust_n),
        )
        for name, speed, given in drive:
            if speed is None:
                continue
            thrusts = [given] if given is not None else self._drive_thrusts(speed)
            found += [
                CaseNet(name, speed, weight + thrust, continuous=True, may_stop=False) for thrust in thrusts
            ]
        return found

    def _drive_thrusts(self, speed_rpm: float) -> list[float]:
        """Return the thrusts tried at a drive's speed, the heavier first."""
        thrust = self.stack.motor.down_thrust_n
        if thrust is None:
            return []
        squared = thrust * (speed_rpm / self.stack.motor.rated_speed_rpm) ** 2
        return sorted({thrust, squared}, key=abs, reverse=True)

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
        if self._same_loads is not None:
            return self._same_loads.duty_loads
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
        key = (case.speed_rpm, id(loads))
        if key not in self._lives:
            self._lives[key] = loads, self._life_in(case, loads)
        return self._lives[key][1]

    def equivalent_loads(self, loads: CaseLoads) -> dict[str, float | None]:
        """Return P of every loaded bearing of a case; what does not change a load does not change it either."""
        if self._same_loads is not None:
            return self._same_loads.equivalent_loads(loads)
        found = self._equivalents.get(id(loads))
        if found is None:
            share = radial_share(loads, self.stack.motor.radial_load_n)
            own: dict[str, float | None] = {}
            for ref, axial in loads.loaded.items():
                radial = guide_radial_n(self.stack, ref) if ref.startswith("g") else share
                own[ref] = None if radial is None else equivalent_load(self.bearing[ref], axial, radial)
            found = self._equivalents[id(loads)] = loads, own
        return found[1]

    def _life_in(self, case: JudgedCase, loads: CaseLoads) -> CaseLife | None:
        if not loads.carried or loads.not_shared is not None:
            return None
        basic: list[float | None] = []
        modified: list[float | None] = []
        kappas: list[float] = []
        rollers = True
        for ref, equivalent in self.equivalent_loads(loads).items():
            one = self.bearing[ref]
            rollers = rollers and one.type in ROLLER_TYPES
            life = None if equivalent is None else basic_life_h(one, equivalent, case.speed_rpm)
            basic.append(life)
            kappa, longer = self._modified(one, equivalent, life, case.speed_rpm)
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

    def kappa_of(self, one: Bearing, speed_rpm: float) -> float | None:
        """Return the viscosity ratio of a bearing at a speed; None while oil or size is not known."""
        return self._oil_at(one.pitch_mm, speed_rpm)[0]

    def _oil_at(self, pitch_mm: float | None, speed_rpm: float) -> tuple[float | None, float | None]:
        """Return viscosity ratio and contamination factor; like bearings ask for them in every case."""
        found = self._oils.get((pitch_mm, speed_rpm))
        if found is None:
            kappa = None
            if self.viscosity is not None and pitch_mm is not None:
                kappa = self.viscosity / reference_viscosity(speed_rpm, pitch_mm)
            found = kappa, contamination_factor(self.stack.lubrication, pitch_mm, kappa)
            self._oils[pitch_mm, speed_rpm] = found
        return found

    def _modified(
        self, one: Bearing, equivalent: float | None, life: float | None, speed_rpm: float
    ) -> tuple[float | None, float | None]:
        kappa, contamination = self._oil_at(one.pitch_mm, speed_rpm)
        if kappa is None or equivalent is None or life is None or contamination is None:
            return kappa, None
        a_iso = bearing_life_modification(one, equivalent, kappa, contamination)
        return kappa, None if a_iso is None else a_iso * life


def _has_more_springs(one: Bearing) -> bool:
    return one.spring_rate_n_per_mm is not None or one.spring_travel_mm is not None


def _system(lives: list[float | None], all_rollers: bool) -> float | None:
    known = [one for one in lives if one is not None]
    return system_life(known, all_rollers=all_rollers) if len(known) == len(lives) else None
