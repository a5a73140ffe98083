"""Does the stack carry what the motor puts on it, and enough to roll."""

from __future__ import annotations

from collections.abc import Iterator

from bearings.engineering.arrangement import carries_at_all
from bearings.engineering.judged import Figures
from bearings.engineering.loads import UNLOADED_BELOW_N
from bearings.engineering.rating import pitch_diameter_mm
from bearings.engineering.results import Finding
from bearings.engineering.tables import sources


def down_thrust_not_carried(figures: Figures) -> Iterator[Finding]:
    """Stop: a vertical rotor hangs on nothing, or a case's net down thrust is not carried."""
    nets = [case.net_axial_n for case in figures.cases if not case.carried and case.net_axial_n > 0]
    carried = carries_at_all(figures.stack, figures.placed, "down")
    if nets or (figures.stack.motor.mounting == "vertical" and not carried):
        yield Finding(
            code="down-thrust-not-carried",
            severity="stop",
            value=max(nets) if nets else None,
            limit=0.0,
            unit="N",
            source=sources.MECHANICS,
        )


def up_thrust_not_carried(figures: Figures) -> Iterator[Finding]:
    """Stop: up thrust beyond the rotor's weight meets nothing; warn while the weight is unknown."""
    motor = figures.stack.motor
    up = motor.up_thrust_n
    weight = motor.rotor_weight_n if motor.mounting == "vertical" else 0.0
    if not up or carries_at_all(figures.stack, figures.placed, "up") or (weight is not None and up <= weight):
        return
    yield Finding(
        code="up-thrust-not-carried",
        severity="warn" if weight is None else "stop",
        value=up if weight is None else up - weight,
        limit=0.0,
        unit="N",
        source=sources.MECHANICS,
        params={"weight_known": weight is not None},
    )


def washers_part(figures: Figures) -> Iterator[Finding]:
    """Stop: net up thrust lifts the washers of a spherical roller thrust bearing apart."""
    nets = [case.net_axial_n for case in figures.cases if case.net_axial_n < 0]
    held = any(guide.carries in {"up", "both"} for guide in figures.stack.guides)
    if not nets or held:
        return
    for p in figures.solver.rollers:
        if p.sign > 0 and not p.bearing.spring_force_n:
            yield Finding(
                code="washers-part",
                severity="stop",
                ref=p.ref,
                value=-min(nets),
                limit=0.0,
                unit="N",
                source=sources.COMMON_PRACTICE,
            )


def radial_load_on_thrust_roller(figures: Figures) -> Iterator[Finding]:
    """Stop: more radial load than a spherical roller thrust bearing may take beside its thrust."""
    rollers = {p.ref for p in figures.solver.rollers}
    worst: dict[str, tuple[float, float, str]] = {}
    for name in ("running", "maximum"):
        case = figures.case(name)
        for ref, axial_n, radial_n in figures.loaded(case) if case else []:
            if ref in rollers and radial_n > 0.55 * axial_n:
                ratio = radial_n / axial_n
                if ref not in worst or ratio > worst[ref][0] / worst[ref][1]:
                    worst[ref] = (radial_n, axial_n, name)
    for ref, (radial_n, axial_n, name) in worst.items():
        yield Finding(
            code="radial-load-on-thrust-roller",
            severity="stop",
            ref=ref,
            value=radial_n,
            limit=0.55 * axial_n,
            unit="N",
            source=sources.THRUST_ROLLER_RADIAL,
            params={"case": name},
        )


def unloaded_in_running(figures: Figures) -> Iterator[Finding]:
    """Note, or warn when fast: an opposed bearing without springs carries nothing and can skid."""
    running, arrangement = figures.case("running"), figures.arrangement
    if running is None or running.problem or not (arrangement.carries_down and arrangement.carries_up):
        return
    limit = figures.stack.policy.unloaded_warn_ndm
    for p in figures.solver.angular:
        axial = running.axial_of(p.ref)
        if p.bearing.spring_force_n or axial is None or axial >= UNLOADED_BELOW_N:
            continue
        dm = pitch_diameter_mm(p.bearing)
        ndm = None if dm is None else figures.stack.motor.rated_speed_rpm * dm
        yield Finding(
            code="unloaded-in-running",
            severity="warn" if ndm is not None and ndm > limit else "note",
            ref=p.ref,
            value=ndm,
            limit=limit,
            unit="mm/min",
            source=sources.COMMON_PRACTICE,
            params={"unloading_thrust_n": figures.unloading_thrust_n},
        )


def minimum_load(figures: Figures) -> Iterator[Finding]:
    """Warn: too little load to keep the rolling elements rolling."""
    squared = (figures.stack.motor.rated_speed_rpm / 1000) ** 2
    rollers = {p.ref for p in figures.solver.rollers}
    worst: dict[str, tuple[float, float, str]] = {}
    for case in figures.cases:
        if case.problem:
            continue
        radial = {ref: share for ref, _, share in figures.loaded(case)}
        for load in case.bearings + case.guides:
            factor = figures.by_ref[load.ref].minimum_load_factor_n
            if factor is None or load.axial_n is None or (load.ref not in rollers and load.unloaded):
                continue
            least = factor * squared + (1.8 * radial.get(load.ref, 0.0) if load.ref in rollers else 0.0)
            if load.axial_n < least and (load.ref not in worst or load.axial_n - least < worst[load.ref][0]):
                worst[load.ref] = (load.axial_n - least, least, case.name)
    for ref, (short_n, least, name) in worst.items():
        yield Finding(
            code="minimum-load",
            severity="warn",
            ref=ref,
            value=least + short_n,
            limit=least,
            unit="N",
            source=sources.MINIMUM_LOAD,
            params={"case": name},
        )
