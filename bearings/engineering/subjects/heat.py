"""Heat: does a printed speed, a reference speed or a heat balance say that the stack stays cool enough?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import inf
from typing import Final, NamedTuple

from bearings.engineering.evidence import Evidence
from bearings.engineering.heat import judged_speed
from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import Bearing
from bearings.engineering.results import Finding, ThermalRow, WorkingLine, params
from bearings.engineering.situation import Situation
from bearings.engineering.speed import (
    SET_FACTOR_SOURCE,
    bearing_set_factor,
    permissible,
    set_factor,
)
from bearings.engineering.subjects.subject import (
    INPUT,
    Look,
    Subject,
    reader,
)
from bearings.engineering.tables import friction as table
from bearings.engineering.tables.friction import COOLING_SOURCE, FRICTION_SOURCE
from bearings.engineering.thermal import default_f0, friction_of


class Balance(NamedTuple):
    """Friction of the stack at the motor's speed against what is taken away, in W."""

    friction_w: float
    high_w: float
    available_w: float
    given: bool


def _printed(one: Bearing, method: str | None) -> bool:
    """Whether the source prints a speed for this way of lubricating, which holds heat and all."""
    return (one.grease_speed_rpm if method == "grease" else one.oil_speed_rpm) is not None


def _short_references(situation: Situation) -> list[tuple[str, float]]:
    """Return the bearings whose reference speed in this set is below the motor's, with that speed."""
    judged = judged_speed(situation.stack.motor)
    if judged is None:
        return []
    factors, mount = situation.stack.policy.set_factors, situation.mount
    of_the_set = set_factor(len(mount.down), len(mount.up), factors)
    if situation.unfaced:
        of_the_set = max(of_the_set, factors.single)
    short = []
    for ref, one in situation.mount.bearings:
        if one.reference_speed_rpm is None:
            continue
        allowed = permissible(one.reference_speed_rpm, bearing_set_factor(one, of_the_set, factors))
        if allowed < judged[1]:
            short.append((ref, allowed))
    return short


def _unsettled(situation: Situation) -> list[str]:
    """Return the bearings that neither a printed speed nor their reference speed settles."""
    method = situation.stack.lubrication.method
    short = {ref for ref, _ in _short_references(situation)}
    return [
        ref
        for ref, one in situation.mount.bearings
        if not _printed(one, method) and (one.reference_speed_rpm is None or ref in short)
    ]


def balance_of(situation: Situation) -> Balance | None:
    """Return the heat balance at the motor's speed; None where friction or cooling is not known."""
    thermal = situation.thermal
    if thermal.need is None:
        return None
    friction = thermal.need.friction_w
    if thermal.cooling.basis == "given":
        return Balance(friction, thermal.need.high_w, thermal.cooling.available_w or 0.0, given=True)
    seats, by_oil = thermal.cooling.seats_w, thermal.cooling.oil_w
    needs_flow = situation.stack.lubrication.method in ("oil_circulating", "oil_jet")
    if seats is None or (needs_flow and by_oil is None):
        return None
    share = situation.heat_span.external_share
    external = thermal.cooling.external_w if share is None else share * friction
    available = seats * situation.heat_span.seat_factor + (by_oil or 0.0) - (external or 0.0)
    return Balance(friction, thermal.need.high_w, available, given=False)


def _heat_balance(situation: Situation, balance: Balance | None, *, needed: bool) -> Iterator[Finding]:
    """Warn when more is lost than taken away and nothing else settles it; else note it.

    It never stops: neither the friction nor an estimated cooling is known well enough for that.
    """
    if balance is None or balance.high_w <= balance.available_w:
        return
    need, judged = situation.thermal.need, judged_speed(situation.stack.motor)
    name, speed = judged or (None, None)
    yield Finding(
        code="heat-balance",
        severity="warn" if needed and balance.friction_w > balance.available_w else "note",
        value=balance.friction_w,
        limit=balance.available_w,
        unit="W",
        source=f"{FRICTION_SOURCE}; {COOLING_SOURCE}",
        params=params(
            speed=name,
            speed_rpm=speed,
            low_w=None if need is None else need.low_w,
            high_w=balance.high_w,
            basis="given" if balance.given else "estimated",
            external_known=balance.given or situation.entered.lubrication.external_heat_w is not None,
        ),
    )


def _reference_speed(situation: Situation) -> Iterator[Finding]:
    """Weigh the printed reference speeds; a heat that is given settles them, once the friction is known.

    The friction of a bearing without a name is a guess at its series: neither a stop nor a pass rests on it.
    """
    guessed = bool(situation.load_gaps) or bool(_nameless(situation))
    given = None if guessed else situation.thermal.permissible_rpm
    short, judged = _short_references(situation), judged_speed(situation.stack.motor)
    if not short or judged is None or (given is not None and given >= judged[1]):
        return
    ref, allowed = min(short, key=lambda pair: pair[1])
    yield Finding(
        code="reference-speed",
        severity="warn" if given is None else "stop",
        ref=ref,
        refs=(ref, *(other for other, _ in short if other != ref)),
        value=allowed,
        limit=judged[1],
        unit="rpm",
        source=f"ISO 15312, printed reference speed; set factor: {SET_FACTOR_SOURCE}",
        params=params(thermal_rpm=given, heat_removed_w=situation.stack.lubrication.heat_removed_w),
    )


def _missing(situation: Situation, unsettled: list[str], balance: Balance | None) -> tuple[Missing, ...]:
    """Return what would settle the heat: a printed or reference speed, else what the balance lacks."""
    oil = situation.stack.lubrication
    # The set factor of a reference speed hangs on every face.
    gaps = list(situation.face_gaps)
    if situation.speed_gaps and judged_speed(situation.stack.motor) is None:
        gaps += situation.speed_gaps
    if oil.method == "grease":
        gaps += [
            Missing("grease_speed_rpm", ref)
            for ref, one in situation.mount.bearings
            if one.grease_speed_rpm is None
        ]
    short = _short_references(situation)
    weighed = bool(unsettled) or bool(short and oil.heat_removed_w is not None)
    if not weighed or balance is not None:
        return (*gaps, *(_nameless(situation) if weighed else ()))
    gaps += [
        Missing("reference_speed_rpm", ref)
        for ref in unsettled
        if situation.bearing[ref].reference_speed_rpm is None
    ]
    gaps += _balance_gaps(situation)
    return tuple(dict.fromkeys(gaps)) or (Missing("lubrication.heat_removed_w"),)


def _nameless(situation: Situation) -> list[Missing]:
    """Return the bearings whose friction factor follows from a series that nobody named."""
    return [
        Missing("designation", ref)
        for ref, one in situation.mount.bearings
        if one.designation is None and (one.f0 is None or one.f1 is None)
    ]


def _balance_gaps(situation: Situation) -> list[Missing]:
    oil = situation.stack.lubrication
    gaps = list(situation.load_gaps or situation.sharing_gaps)
    if oil.iso_vg is None:
        gaps.append(Missing("lubrication.iso_vg"))
    gaps += [
        Missing(name, ref)
        for ref, one in situation.mount.bearings
        for name in ("bore_mm", "outside_diameter_mm", "height_mm", "contact_angle_deg", "static_rating_n")
        if getattr(one, name) is None and (name != "contact_angle_deg" or one.type == "angular_contact_ball")
    ]
    if oil.method in ("oil_circulating", "oil_jet") and oil.heat_removed_w is None:
        gaps += [
            Missing(f"lubrication.{name}")
            for name in ("oil_flow_l_min", "oil_rise_k")
            if getattr(oil, name) is None
        ]
    return gaps


def _look(situation: Situation) -> Look:
    unsettled = _unsettled(situation)
    known = not situation.load_gaps and not situation.sharing_gaps
    balance = balance_of(situation) if known else None
    findings = (
        *_heat_balance(situation, balance, needed=bool(unsettled)),
        *_reference_speed(situation),
    )
    margin = inf
    if unsettled and balance is not None:
        margin = balance.available_w / balance.friction_w if balance.friction_w else inf
    # A heat that is given stops a set whose reference speeds are short, once its friction is known.
    hides = situation.stack.lubrication.heat_removed_w is not None and (
        judged_speed(situation.stack.motor) is None or bool(_short_references(situation))
    )
    return Look(findings, _missing(situation, unsettled, balance), margin, hides_stop=hides)


def _narrowed(situation: Situation) -> frozenset[str] | None:
    """Return that no heat is balanced where nobody can know the loads: speeds are compared, and no more."""
    if not situation.load_gaps:
        return None
    return frozenset({"motor.synchronous_speed_rpm", "lubrication.method"})


ESTIMATE: Final = f"{table.FRICTION_SOURCE}; ±25% at best (common practice, no source)"


def _friction(evidence: Evidence, row: ThermalRow) -> Iterator[WorkingLine]:
    one, oil = evidence.bearing[row.ref], evidence.stack.lubrication
    f0 = one.f0 if one.f0 is not None else default_f0(one, oil.method, evidence.stack.motor.mounting)
    source = INPUT if one.f0 is not None else table.FRICTION_SOURCE
    yield WorkingLine("heat", row.ref, "f0", "type, series, shaft and oil", f0, "1", source)
    formula = "M0 = 1e-7 f0 (nu n)^(2/3) dm^3"
    yield WorkingLine("heat", row.ref, "M0", formula, row.drag_nmm, "N mm", table.FRICTION_SOURCE)
    yield WorkingLine("heat", row.ref, "M1", "M1 = f1 P1 dm", row.load_nmm, "N mm", table.FRICTION_SOURCE)
    yield WorkingLine("heat", row.ref, "N", "(M0 + M1) n pi / 30000", row.friction_w, "W", ESTIMATE)
    yield from _other_f0(evidence, row)


def _other_f0(evidence: Evidence, row: ThermalRow) -> Iterator[WorkingLine]:
    """Yield the friction with the greater f0 of angular contact bearings, where the series' was taken."""
    one, oil = evidence.bearing[row.ref], evidence.stack.lubrication
    if one.type != "angular_contact_ball" or one.f0 is not None or oil.method in (None, "grease"):
        return
    speed = evidence.stack.motor.rated_speed_rpm
    if row.friction_w is None or evidence.viscosity is None or speed is None:
        return
    doubled = evidence.stack.motor.mounting == "vertical" or oil.method == "oil_jet"
    f0 = table.TEXTBOOK_ANGULAR_F0 * (2 if doubled else 1)
    axial = evidence.running.axial_n(row.ref) if evidence.running else None
    radial = evidence.radial("running", row.ref) if evidence.running else None
    if axial is None or radial is None:
        return
    other = friction_of(replace(one, f0=f0), axial, radial, oil.method, evidence.stack.motor.mounting)
    if other is not None:
        power = other.power_w(evidence.viscosity, speed)
        formula = f"with the greater f0 = {f0:g} (common practice, no source)"
        yield WorkingLine("heat", row.ref, "N high", formula, power, "W", table.FRICTION_SOURCE)


def _bearing_working(evidence: Evidence, row: ThermalRow) -> Iterator[WorkingLine]:
    yield from _friction(evidence, row)
    one = evidence.bearing[row.ref]
    given = one.reference_surface_mm2 is not None
    formula = "given" if given else "pi B (D + d)"
    if one.type == "spherical_roller_thrust" and not given:
        formula = "pi/4 (D^2 - D1^2 + d1^2 - d^2)"
    source = INPUT if given else table.REFERENCE_SOURCE
    yield WorkingLine("heat", row.ref, "As", formula, row.surface_mm2, "mm2", source)
    speed = row.reference_speed_rpm
    yield WorkingLine("heat", row.ref, "n ref", "friction = qr As", speed, "rpm", table.REFERENCE_SOURCE)
    oil = evidence.stack.lubrication
    rise = "temperature - ambient" if oil.ambient_c is not None else "50 K, the standard's rise"
    yield WorkingLine(
        "heat", row.ref, "seats", f"qr As rise / 50 K; {rise}", row.seat_w, "W", table.COOLING_SOURCE
    )
    formula = "friction under this load in this oil = seats"
    own = row.own_permissible_rpm
    yield WorkingLine("heat", row.ref, "n own", formula, own, "rpm", table.COOLING_SOURCE)


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    """Yield every figure of heat, of each bearing and of the stack."""
    thermal = evidence.thermal
    for row in thermal.bearings:
        yield from _bearing_working(evidence, row)
    yield WorkingLine("heat", None, "N", "sum", thermal.friction_w, "W", ESTIMATE)
    cooling, source = thermal.cooling, table.COOLING_SOURCE
    if cooling.oil_w is not None:
        formula = "oil = 28.6 W/(l/min K) flow rise"
        yield WorkingLine("heat", None, "oil", formula, cooling.oil_w, "W", source)
    if cooling.basis == "estimated":
        formula = "seats + oil - heat from outside"
        yield WorkingLine("heat", None, "heat away", formula, cooling.available_w, "W", source)
        formula = "friction = estimated heat away"
        speed = thermal.estimated_permissible_rpm
        yield WorkingLine("heat", None, "n heat", formula, speed, "rpm", ESTIMATE)
    else:
        speed = thermal.permissible_rpm
        yield WorkingLine("heat", None, "n heat", "friction = heat removed", speed, "rpm", ESTIMATE)
    if thermal.need is None:
        return
    need = thermal.need
    formula = f"N at {need.speed} speed, {need.low_w:.0f} to {need.high_w:.0f} W"
    yield WorkingLine("heat", None, f"N {need.speed}", formula, need.friction_w, "W", ESTIMATE)
    if need.beyond_seats_w is not None:
        formula = "friction + heat from outside - seats"
        yield WorkingLine("heat", None, "for oil or coil", formula, need.beyond_seats_w, "W", ESTIMATE)
    if need.oil_flow_l_min is not None:
        formula = "for oil or coil / (28.6 rise)"
        yield WorkingLine("heat", None, "flow", formula, need.oil_flow_l_min, "l/min", ESTIMATE)


SUBJECT = Subject(
    name="heat",
    decides=False,
    codes=("heat-balance", "reference-speed"),
    reads=reader(
        "motor.rotor_weight_n",
        "motor.radial_load_n",
        "motor.synchronous_speed_rpm",
        "pair_preload_n",
        "stand_out_um",
        "end_play_um",
        "lubrication.method",
        "lubrication.temperature_c",
        "lubrication.viscosity_index",
        "lubrication.ambient_c",
        "lubrication.external_heat_w",
        "lubrication.heat_removed_w",
    ),
    applies=lambda _situation: True,
    look=_look,
    narrowed=_narrowed,
    working=_working,
    limits=frozenset({"set_factors"}),
)
