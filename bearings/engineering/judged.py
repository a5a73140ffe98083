"""Figures of a stack, worked out once and handed to every check."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from bearings.engineering.arrangement import Arrangement, Placed, arrange, place_bearings
from bearings.engineering.loads import UNLOADED_BELOW_N, Case, StackSolver, net_loads
from bearings.engineering.lubrication import contamination_factor, oil_viscosity, rated_viscosity
from bearings.engineering.quantities import Bearing, Stack
from bearings.engineering.rating import (
    basic_life_h,
    equivalent_load_n,
    equivalent_static_load_n,
    fatigue_limit_n,
    is_roller,
    life_factor,
    pitch_diameter_mm,
    system_life_h,
)
from bearings.engineering.results import BearingLife, Lives, NotChecked, StaticSafety
from bearings.engineering.speed import Speeds, find_speeds
from bearings.engineering.thermal import (
    BearingHeat,
    Thermal,
    friction_load_n,
    friction_torque_nmm,
    friction_w,
    reference_speed_rpm,
    speed_where,
)


@dataclass(slots=True)
class Figures:
    """Everything that the checks read. Built by :func:`work_out`."""

    stack: Stack
    placed: tuple[Placed, ...]
    arrangement: Arrangement
    solver: StackSolver
    cases: tuple[Case, ...] = ()
    unloading_thrust_n: float | None = None
    life: Lives = field(default_factory=Lives)
    static: tuple[StaticSafety, ...] = ()
    speed: Speeds | None = None
    thermal: Thermal | None = None
    not_checked: list[NotChecked] = field(default_factory=list)
    by_ref: dict[str, Bearing] = field(default_factory=dict)

    def case(self, name: str) -> Case | None:
        """Return a case by name, or None when its inputs are unknown."""
        return next((case for case in self.cases if case.name == name), None)

    def miss(self, check: str, reason: str, **params: Any) -> None:
        """Note a check that cannot be made."""
        self.not_checked.append(NotChecked(check=check, reason=reason, params=params))

    def loaded(self, case: Case) -> list[tuple[str, float, float]]:
        """Return ref, axial and radial load of each loaded bearing of a case; guides take no radial share. [N]"""
        own = [
            (load.ref, load.axial_n)
            for load in case.bearings
            if load.axial_n is not None and load.axial_n >= UNLOADED_BELOW_N
        ]
        radial = (self.stack.motor.radial_load_n or 0.0) / len(own) if own else 0.0
        guides = [
            (load.ref, load.axial_n, 0.0)
            for load in case.guides
            if load.axial_n is not None and load.axial_n >= UNLOADED_BELOW_N
        ]
        return [(ref, axial, radial) for ref, axial in own] + guides


def work_out(stack: Stack) -> Figures:
    """Return the figures of a stack: cases, lives, static safety, speeds, heat."""
    placed = place_bearings(stack.items)
    figures = Figures(
        stack=stack, placed=placed, arrangement=arrange(placed), solver=StackSolver(stack, placed)
    )
    figures.by_ref = {p.ref: p.bearing for p in placed}
    figures.by_ref.update({f"g{n}": guide.bearing for n, guide in enumerate(stack.guides, 1)})
    _work_out_cases(figures)
    figures.life = _work_out_lives(figures)
    figures.static = _work_out_static(figures)
    figures.speed = find_speeds(stack, placed, figures.arrangement)
    _note_speeds(figures, figures.speed)
    figures.thermal = _work_out_heat(figures)
    return figures


def _work_out_cases(figures: Figures) -> None:
    nets, missing = net_loads(figures.stack.motor)
    for name, fields in missing.items():
        figures.miss(f"case {name}", "fields-unknown", fields=list(fields))
    figures.cases = tuple(figures.solver.solve(name, net) for name, net in nets.items())
    for case in figures.cases:
        if case.problem:
            figures.miss(f"sharing {case.name}", case.problem, refs=list(figures.solver.rows.problem_refs))
    figures.unloading_thrust_n, problem = figures.solver.unloading_thrust_n()
    if problem:
        figures.miss("unloading_thrust", problem, refs=list(figures.solver.rows.problem_refs))
    if figures.stack.motor.radial_load_n is None:
        figures.miss("radial_load", "radial-load-unknown")


def _work_out_lives(figures: Figures) -> Lives:
    running = figures.case("running")
    if running is None or not running.carried or running.problem:
        figures.miss("life", "running-unknown" if running is None or running.problem else "running-not-carried")
        return Lives()
    lines = tuple(_life_of(figures, *line) for line in figures.loaded(running))
    if not lines:
        figures.miss("life", "nothing-loaded")
        return Lives()
    all_roller = all(is_roller(figures.by_ref[line.ref]) for line in lines)
    basic = [line.l10h for line in lines]
    modified = [line.l10mh for line in lines]
    return Lives(
        bearings=lines,
        stack_l10h=None if None in basic else system_life_h([x for x in basic if x], all_roller=all_roller),
        stack_l10mh=None if None in modified else system_life_h([x for x in modified if x], all_roller=all_roller),
    )


def _life_of(figures: Figures, ref: str, axial_n: float, radial_n: float) -> BearingLife:
    bearing, speed, oil = figures.by_ref[ref], figures.stack.motor.rated_speed_rpm, figures.stack.lubrication
    load = equivalent_load_n(bearing, axial_n, radial_n)
    if load is None:
        lacking = ["contact_angle_deg"] if bearing.contact_angle_deg is None else ["static_rating_n"]
        if bearing.type == "deep_groove_ball":
            lacking = ["static_rating_n"]
        figures.miss(f"life {ref}", "fields-unknown", fields=lacking, ref=ref)
    rating, l10h = bearing.dynamic_rating_n, None
    if rating is None:
        figures.miss(f"life {ref}", "fields-unknown", fields=["dynamic_rating_n"], ref=ref)
    elif load is not None:
        l10h = basic_life_h(rating, load, speed, roller=is_roller(bearing))
    dm, viscosity = pitch_diameter_mm(bearing), oil_viscosity(oil)
    kappa = None if dm is None or viscosity is None else viscosity / rated_viscosity(speed, dm)
    cleanliness = None if dm is None else contamination_factor(oil, dm)
    a_iso = _life_factor_of(figures, ref, load, kappa, cleanliness)
    return BearingLife(
        ref=ref,
        axial_n=axial_n,
        radial_n=radial_n,
        equivalent_load_n=load,
        l10h=l10h,
        kappa=kappa,
        contamination_factor=cleanliness,
        a_iso=a_iso,
        l10mh=None if l10h is None or a_iso is None else a_iso * l10h,
    )


def _life_factor_of(
    figures: Figures, ref: str, load: float | None, kappa: float | None, cleanliness: float | None
) -> float | None:
    bearing, oil = figures.by_ref[ref], figures.stack.lubrication
    limit = fatigue_limit_n(bearing)
    unknown = [
        name
        for name, value in (
            ("iso_vg", oil.iso_vg),
            ("temperature_c", oil.temperature_c),
            ("contamination", cleanliness),
            ("fatigue_load_limit_n", limit),
            ("pitch_diameter_mm", pitch_diameter_mm(bearing)),
        )
        if value is None
    ]
    if unknown or load is None or kappa is None or cleanliness is None or limit is None:
        figures.miss(f"modified_life {ref}", "fields-unknown", fields=unknown or ["equivalent_load_n"], ref=ref)
        return None
    if kappa < 0.1:
        figures.miss(f"modified_life {ref}", "kappa-outside-method", kappa=kappa, ref=ref)
        return None
    return life_factor(bearing.type, kappa, cleanliness * limit / load)


def _work_out_static(figures: Figures) -> tuple[StaticSafety, ...]:
    worst: dict[str, tuple[float, str]] = {}
    unknown: dict[str, str] = {}
    for case in figures.cases:
        for ref, axial_n, radial_n in figures.loaded(case):
            load = equivalent_static_load_n(figures.by_ref[ref], axial_n, radial_n)
            if load is None:
                unknown.setdefault(ref, case.name)
            elif ref not in worst or load > worst[ref][0]:
                worst[ref] = (load, case.name)
    lines = []
    for ref, bearing in figures.by_ref.items():
        if ref in unknown:
            figures.miss(f"static_safety {ref}", "fields-unknown", fields=["contact_angle_deg"], ref=ref)
            lines.append(StaticSafety(ref=ref, equivalent_static_load_n=None, safety=None, case=unknown[ref]))
        elif ref in worst:
            load, name = worst[ref]
            rating = bearing.static_rating_n
            if rating is None:
                figures.miss(f"static_safety {ref}", "fields-unknown", fields=["static_rating_n"], ref=ref)
            safety = None if rating is None else rating / load
            lines.append(StaticSafety(ref=ref, equivalent_static_load_n=load, safety=safety, case=name))
    return tuple(lines)


def _note_speeds(figures: Figures, speed: Speeds) -> None:
    method = figures.stack.lubrication.method
    for line in speed.bearings:
        if line.permissible_rpm is None:
            reason = "no-grease-speed" if method == "grease" else "no-speed-rating"
            figures.miss(f"speed {line.ref}", reason, ref=line.ref)
    if speed.reverse_unrated:
        figures.miss("reverse_speed", "no-limiting-speed", refs=list(speed.reverse_unrated))
    for name in ("synchronous_speed_rpm",):
        if getattr(figures.stack.motor, name) is None:
            figures.miss("speed synchronous", "fields-unknown", fields=[name])


def _work_out_heat(figures: Figures) -> Thermal:
    running, viscosity = figures.case("running"), oil_viscosity(figures.stack.lubrication)
    removed = figures.stack.lubrication.heat_removed_w
    usable = running is not None and running.carried and not running.problem
    radial = {ref: share for ref, _, share in figures.loaded(running)} if running and usable else {}
    terms: list[tuple[float, float, float, float] | None] = []
    lines = []
    for p in figures.placed:
        term = None
        if running is not None and usable and viscosity is not None:
            axial = running.axial_of(p.ref) or 0.0
            term = _friction_term(p.bearing, axial, radial.get(p.ref, 0.0))
        terms.append(term)
        own = None if term is None or viscosity is None else _heat(term, viscosity, figures.stack.motor.rated_speed_rpm)
        reference = reference_speed_rpm(p.bearing)
        lines.append(BearingHeat(ref=p.ref, friction_w=own, reference_speed_rpm=reference))
        if own is None:
            figures.miss(f"friction {p.ref}", "friction-unknown", ref=p.ref)
        if reference is None:
            figures.miss(f"reference_speed {p.ref}", "reference-speed-unknown", ref=p.ref)
    known = [term for term in terms if term is not None]
    complete = len(known) == len(terms) and viscosity is not None
    total = sum(line.friction_w or 0.0 for line in lines) if complete else None
    permissible = None
    if complete and removed is not None and viscosity is not None:
        nu = viscosity
        permissible = speed_where(lambda n: sum(_heat(term, nu, n) for term in known), removed)
    if permissible is None:
        figures.miss("thermal_speed", "heat-unknown", fields=["heat_removed_w"] if removed is None else [])
    return Thermal(bearings=tuple(lines), friction_w=total, heat_removed_w=removed, permissible_rpm=permissible)


def _friction_term(bearing: Bearing, axial_n: float, radial_n: float) -> tuple[float, float, float, float] | None:
    dm = pitch_diameter_mm(bearing)
    load = friction_load_n(bearing, axial_n, radial_n)
    if bearing.f0 is None or bearing.f1 is None or dm is None or load is None:
        return None
    return bearing.f0, bearing.f1, dm, load


def _heat(term: tuple[float, float, float, float], viscosity: float, speed_rpm: float) -> float:
    f0, f1, dm, load = term
    torque = friction_torque_nmm(
        f0=f0, viscosity_mm2_s=viscosity, speed_rpm=speed_rpm, pitch_diameter_mm=dm, f1=f1, load_n=load
    )
    return friction_w(torque, speed_rpm)
