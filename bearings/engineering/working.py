"""The working: every figure of an answer with its formula, so that a reader can do it again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bearings.engineering.evidence import Evidence
from bearings.engineering.kinematics import SOURCE as PASSING_SOURCE
from bearings.engineering.kinematics import passing_orders
from bearings.engineering.lubrication import reference_viscosity
from bearings.engineering.quantities import ROLLER_TYPES, Bearing, Lubrication
from bearings.engineering.rating import dynamic_factors, fatigue_load_limit
from bearings.engineering.results import CaseLoads, LifeRow, WorkingLine
from bearings.engineering.sharing import EQUAL_SOURCE, PALMGREN_SOURCE
from bearings.engineering.speed import RATING_SOURCE, SET_FACTOR_SOURCE
from bearings.engineering.tables import equivalent_load as loads_table
from bearings.engineering.tables import life_factors as life_table
from bearings.engineering.tables import viscosity as oil_table
from bearings.engineering.tables.contamination import CLEANLINESS, UNVERIFIED_SOURCE
from bearings.engineering.tables.contamination import SOURCE as ANNEX_SOURCE
from bearings.engineering.working_heat import INPUT, heat_working
from bearings.engineering.working_sharing import sharing_working

BALANCE: Final = "static balance"


def _loads(evidence: Evidence) -> Iterator[WorkingLine]:
    source = EQUAL_SOURCE if evidence.sharing.equal_stiffness else PALMGREN_SOURCE
    for contact in evidence.sharing.contacts:
        if not evidence.sharing.equal_stiffness:
            yield WorkingLine(
                "sharing", contact.ref, "K", "F = K d^1.5", contact.stiffness, "N/mm^1.5", source
            )
            yield WorkingLine(
                "sharing",
                contact.ref,
                "o",
                "o = d(pair preload) + stand-out",
                contact.overlap * 1000,
                "um",
                source,
            )
    for case in evidence.cases:
        yield WorkingLine("cases", None, f"P {case.name}", _NETS[case.name], case.net_axial_n, "N", BALANCE)
        for ref, load in case.axial_loads():
            yield WorkingLine("cases", ref, f"Fa {case.name}", "sum(s F) = P", load, "N", source)
    if evidence.unloading_thrust_n is not None:
        formula = "P at which the first upward bearing has d = 0"
        yield WorkingLine("cases", None, "P*", formula, evidence.unloading_thrust_n, "N", source)


_NETS: Final = {
    "running": "P = down thrust + W",
    "uncoupled": "P = W",
    "up_thrust": "P = W - up thrust",
    "maximum": "P = maximum down thrust + W",
}


def _factors(evidence: Evidence, case: CaseLoads, ref: str) -> Iterator[WorkingLine]:
    """Yield the loads and factors behind an equivalent load."""
    one = evidence.bearing[ref]
    axial = evidence.loaded[case.name][ref]
    radial = evidence.radial(case.name, ref)
    yield WorkingLine("life", ref, "Fr", "Fr = radial load / loaded bearings", radial, "N", EQUAL_RADIAL)
    factors = dynamic_factors(one, axial)
    if factors is None:
        return
    for symbol, value in zip(("X", "Y", "e"), factors, strict=True):
        yield WorkingLine("life", ref, symbol, "table", value, "1", loads_table.DYNAMIC_SOURCE)


def _life_row(evidence: Evidence, row: LifeRow) -> Iterator[WorkingLine]:
    one = evidence.bearing[row.ref]
    thrust = one.type == "spherical_roller_thrust"
    ball, roller = "L10h = (C/P)^3 10^6 / (60 n)", "L10h = (C/P)^(10/3) 10^6 / (60 n)"
    yield WorkingLine(
        "life",
        row.ref,
        "P",
        "P = Fa + 1.2 Fr" if thrust else "P = X Fr + Y Fa; P = Fr for Fa/Fr <= e",
        row.equivalent_load_n,
        "N",
        loads_table.SPHERICAL_THRUST_SOURCE if thrust else loads_table.DYNAMIC_SOURCE,
    )
    formula = roller if one.type in ROLLER_TYPES else ball
    yield WorkingLine("life", row.ref, "L10h", formula, row.l10h, "h", "ISO 281:2007")
    if one.pitch_mm is not None:
        needed = reference_viscosity(evidence.stack.motor.rated_speed_rpm, one.pitch_mm)
        formula = "nu1 = 45000 n^-0.83 dm^-0.5; 4500 n^-0.5 dm^-0.5 from 1000 rpm"
        yield WorkingLine("oil", row.ref, "nu1", formula, needed, "mm2/s", life_table.SOURCE)
    yield WorkingLine("oil", row.ref, "kappa", "kappa = nu / nu1", row.kappa, "1", life_table.SOURCE)
    yield from _contamination(evidence.stack.lubrication, row)
    given = one.fatigue_load_limit_n is not None
    yield WorkingLine(
        "life",
        row.ref,
        "Cu",
        "given" if given else "Cu = C0 / 22, rollers C0 / 8.2; less above dm 100 mm",
        fatigue_load_limit(one),
        "N",
        INPUT if given else life_table.FATIGUE_SOURCE,
    )
    source = _modification_source(one, row)
    yield WorkingLine("life", row.ref, "aISO", "aISO(eC Cu / P, kappa)", row.a_iso, "1", source)
    yield WorkingLine("life", row.ref, "L10mh", "L10mh = aISO L10h", row.l10mh, "h", life_table.SOURCE)


def _modification_source(one: Bearing, row: LifeRow) -> str:
    """Return the source of aISO, with what of it rests on memory for this bearing."""
    said = [life_table.SOURCE]
    limit, clean = fatigue_load_limit(one), row.contamination_factor
    if one.type == "spherical_roller_thrust":
        said.append(life_table.THRUST_ROLLER_SOURCE)
    load = row.equivalent_load_n
    relative = clean * limit / load if clean and limit and load else 0.0
    if relative > life_table.RELATIVE_LIMIT_MAXIMUM:
        said.append(life_table.RELATIVE_LIMIT_SOURCE)
    return "; ".join(said)


def _contamination(oil: Lubrication, row: LifeRow) -> Iterator[WorkingLine]:
    """Yield the contamination factor by the route that counts, and by the other one where both are known."""
    annex = f"eC = a (1 - b / dm^(1/3)), a = k kappa^0.68 dm^0.55 <= 1: {oil.cleanliness}"
    checked = CLEANLINESS[oil.cleanliness][2] if oil.cleanliness is not None else False
    annex_source = ANNEX_SOURCE if checked else UNVERIFIED_SOURCE
    value = row.contamination_factor
    if oil.contamination_factor is not None:
        yield WorkingLine("oil", row.ref, "eC", "given", value, "1", INPUT)
    elif oil.contamination is not None or oil.cleanliness is None:
        yield WorkingLine("oil", row.ref, "eC", "table", value, "1", life_table.CONTAMINATION_SOURCE)
    else:
        yield WorkingLine("oil", row.ref, "eC", annex, value, "1", annex_source)
    if row.other_contamination_factor is not None:
        other = row.other_contamination_factor
        yield WorkingLine("oil", row.ref, "eC Annex A", annex, other, "1", annex_source)
        formula = "L10mh with eC of Annex A"
        yield WorkingLine("life", row.ref, "L10mh Annex A", formula, row.other_l10mh, "h", annex_source)


def _life(evidence: Evidence) -> Iterator[WorkingLine]:
    if evidence.viscosity is not None:
        source = f"{oil_table.TEMPERATURE_SOURCE}; {oil_table.INDEX_SOURCE}; {oil_table.GRADE_SOURCE}"
        formula = "log log(nu + 0.7) = A - B log T"
        yield WorkingLine("oil", None, "nu", formula, evidence.viscosity, "mm2/s", source)
    running = evidence.running
    if running is None or not evidence.life.bearings:
        return
    for row in evidence.life.bearings:
        yield from _factors(evidence, running, row.ref)
        yield from _life_row(evidence, row)
    for symbol, value in (("L10h", evidence.life.stack_l10h), ("L10mh", evidence.life.stack_l10mh)):
        formula = f"{symbol} = (sum {symbol}_i^-w)^(-1/w), w = 10/9 (rollers only 9/8)"
        yield WorkingLine("life", None, symbol, formula, value, "h", life_table.SYSTEM_SOURCE)
    life = evidence.life
    if life.reliability_percent > 90:
        formula = f"a1 = 0.95 (ln(100/S) / ln(100/90))^(2/3) + 0.05, S = {life.reliability_percent:g} %"
        yield WorkingLine("life", None, "a1", formula, life.a1, "1", life_table.RELIABILITY_SOURCE)
        yield WorkingLine("life", None, "Lnmh", "Lnmh = a1 L10mh", life.stack_lnmh, "h", life_table.SOURCE)


EQUAL_RADIAL: Final = "equal parts assumed: common practice, no source"
_STATIC_FORMULAS: Final = {
    "angular_contact_ball": "P0 = max(Fr, 0.5 Fr + Y0 Fa)",
    "deep_groove_ball": "P0 = max(Fr, 0.6 Fr + 0.5 Fa)",
    "spherical_roller_thrust": "P0 = Fa + 2.7 Fr",
    "cylindrical_roller": "-",
}


def _static_source(one: Bearing) -> str:
    if one.type == "spherical_roller_thrust":
        return loads_table.SPHERICAL_THRUST_STATIC_SOURCE
    angle = one.contact_angle_deg
    if one.type == "angular_contact_ball" and angle not in loads_table.CONFIRMED_Y0_ANGLES_DEG:
        return loads_table.Y0_FROM_MEMORY_SOURCE
    return loads_table.STATIC_SOURCE


def _static(evidence: Evidence) -> Iterator[WorkingLine]:
    for row in evidence.static:
        formula = _STATIC_FORMULAS[evidence.bearing[row.ref].type]
        source = _static_source(evidence.bearing[row.ref])
        load = row.equivalent_static_load_n
        yield WorkingLine("static", row.ref, f"P0 {row.case}", formula, load, "N", source)
        yield WorkingLine("static", row.ref, "S0", "S0 = C0 / P0", row.safety, "1", source)


def _speed(evidence: Evidence) -> Iterator[WorkingLine]:
    for row in evidence.speed.bearings:
        ref = row.ref
        basis = row.basis or "-"
        yield WorkingLine("speed", ref, "rating", basis, row.rating_rpm, "rpm", RATING_SOURCE)
        yield WorkingLine("speed", ref, "f", "table of sets", row.set_factor, "1", SET_FACTOR_SOURCE)
        yield WorkingLine("speed", ref, "n", "n = rating f", row.permissible_rpm, "rpm", SET_FACTOR_SOURCE)
    for margin in evidence.speed.margins:
        formula = "margin = permissible / n - 1"
        yield WorkingLine("speed", None, f"margin {margin.speed}", formula, margin.margin, "1", RATING_SOURCE)


_ORDERS: Final = {
    "cage": "(1 - g)/2, g = Dw cos(alpha)/dm",
    "outer": "Z (1 - g)/2",
    "inner": "Z (1 + g)/2",
    "ball": "dm/Dw (1 - g^2)/2",
}


def _passing(evidence: Evidence) -> Iterator[WorkingLine]:
    """Yield the orders at which parts pass each other, for whoever reads a vibration spectrum."""
    for ref, one in evidence.bearing.items():
        orders = passing_orders(one)
        if orders is None:
            continue
        for symbol, value in orders._asdict().items():
            yield WorkingLine("passing", ref, symbol, _ORDERS[symbol], value, "x shaft", PASSING_SOURCE)


def all_working(evidence: Evidence) -> tuple[WorkingLine, ...]:
    """Return the working of an answer, topic by topic."""
    return (
        *_loads(evidence),
        *sharing_working(evidence),
        *_life(evidence),
        *_static(evidence),
        *_speed(evidence),
        *heat_working(evidence),
        *_passing(evidence),
    )
