"""Every case judged whole, as answers show it, and the end play that a stack should have as mounted."""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan
from typing import Final, Literal, NamedTuple

from bearings.engineering.arrangement import RefBearing
from bearings.engineering.evidence import Evidence, radial_share
from bearings.engineering.judgement import Judgement
from bearings.engineering.least_load import SkiddingRow
from bearings.engineering.load_cases import JudgedCase
from bearings.engineering.mounted import is_modelled, overlap_changes_mm
from bearings.engineering.quantities import Part, Stack
from bearings.engineering.results import BearingLoad, CaseLoads, CaseName, GuideLoad
from bearings.engineering.sharing import Contact, balance
from bearings.engineering.situation import Situation
from bearings.engineering.subjects.parts import SPACERS
from bearings.engineering.subjects.skidding import skidding_rows
from bearings.engineering.thermal import load_torque_nmm, oil_flow, power_w

# Band of a predicted end play: face offsets of the governing bearings, interference, each spacer.
STAND_OUT_TOLERANCE_UM: Final = 5.0  # common practice, no source
INTERFERENCE_TOLERANCE_UM: Final = 3.0
SPACER_TOLERANCE_UM: Final = 2.0


class WarmCase(NamedTuple):
    """A case as mounted and warm."""

    bearings: tuple[BearingLoad, ...]
    guides: tuple[GuideLoad, ...]
    stack_l10h: float | None
    stack_l10mh: float | None
    friction_w: float | None


class CaseResult(NamedTuple):
    """One case judged whole. ``ranged`` says that its thrust stands in the middle of a range nobody narrowed."""

    name: CaseName
    net_axial_n: float
    carried: bool
    bearings: tuple[BearingLoad, ...]
    guides: tuple[GuideLoad, ...]
    speed_rpm: float | None
    continuous: bool | None
    ranged: bool
    stack_l10h: float | None
    stack_l10mh: float | None
    kappa: float | None
    skidding: tuple[SkiddingRow, ...]
    friction_w: float | None
    warm: WarmCase | None


def friction_w(situation: Situation, case: JudgedCase, loads: CaseLoads) -> float | None:
    """Return the friction in W of the stack's bearings in a case at its speed; None while one is not known."""
    viscosity, speed = situation.viscosity, case.speed_rpm
    if viscosity is None or speed is None or not loads.carried or loads.not_shared is not None:
        return None
    share, flow = radial_share(loads, situation.stack.motor.radial_load_n), oil_flow(viscosity, speed)
    total = 0.0
    for row in loads.bearings:
        radial, drag = 0.0 if row.unloaded else share, situation.drags[row.ref]
        if row.axial_n is None or radial is None or drag is None:
            return None
        load = load_torque_nmm(situation.bearing[row.ref], row.axial_n, radial)
        if load is None:
            return None
        total += power_w(drag, flow, load, speed)
    return total


def _warm(situation: Situation, case: JudgedCase) -> WarmCase | None:
    loads = case.warm
    if loads is None:
        return None
    life = situation.life_in(case, loads)
    return WarmCase(
        loads.bearings,
        loads.guides,
        None if life is None else life.basic_h,
        None if life is None else life.modified_h,
        friction_w(situation, case, loads),
    )


def _continuous(situation: Situation, case: JudgedCase) -> bool | None:
    """Return whether a case lasts; None where nobody said."""
    motor = situation.entered.motor
    said = {"maximum": motor.maximum_thrust_duty, "up_thrust": motor.up_thrust_duty}
    return case.continuous if said.get(case.name, "said") is not None else None


def case_results(entered: Evidence, middle: Situation) -> tuple[CaseResult, ...]:
    """Return every case whose thrust is known or ranged, cold as entered and warm in the middle of the ranges.

    Of a drive's thrust that nobody entered the heavier of the two that are tried stands.
    """
    known = {case.name: case for case in entered.cases}
    found: dict[str, CaseResult] = {}
    gaps = bool(middle.load_gaps)
    for case in middle.judged_cases:
        if case.name in found:
            continue
        cold = known.get(case.name, case.cold)
        life = middle.life_in(case, cold)
        judged = not gaps and cold.carried and cold.not_shared is None
        rows = skidding_rows(middle, case, cold) if judged else []
        found[case.name] = CaseResult(
            case.name,
            cold.net_axial_n,
            cold.carried,
            cold.bearings,
            cold.guides,
            case.speed_rpm,
            _continuous(middle, case),
            _is_ranged(entered, case),
            None if life is None else life.basic_h,
            None if life is None else life.modified_h,
            None if life is None else life.kappa,
            tuple(rows),
            friction_w(middle, case, cold),
            None if gaps else _warm(middle, case),
        )
    for name, cold in known.items():
        if name not in found:
            found[name] = _bare(entered, cold)
    return tuple(found.values())


def _bare(entered: Evidence, cold: CaseLoads) -> CaseResult:
    """Return a case of which nothing but its loads is known."""
    speed = entered.stack.motor.rated_speed_rpm
    return CaseResult(
        cold.name,
        cold.net_axial_n,
        cold.carried,
        cold.bearings,
        cold.guides,
        speed,
        cold.name == "running",
        False,
        None,
        None,
        None,
        (),
        None,
        None,
    )


def _is_ranged(entered: Evidence, case: JudgedCase) -> bool:
    """Whether the thrust or speed of a case is taken from a range instead of an entry."""
    motor = entered.stack.motor
    if case.name in ("minimum_speed", "maximum_speed"):
        speed = getattr(motor, f"{case.name}_rpm")
        return speed is None or motor.down_thrust_n is None or motor.rotor_weight_n is None
    return case.name not in {one.name for one in entered.cases}


class EndPlayMounted(NamedTuple):
    """The end play that a stack should have as mounted and not warm, negative is preloaded; in micrometres.

    ``gauge_um`` is what an indicator reads under a pull and push of the shop's gauge force, the rotor's weight taken
    off; ``gauge_low_um`` and ``gauge_high_um`` are its readings at both ends of the band. It is a limit only where
    ``basis`` is ``entered``; else an expectation.
    """

    expected_um: float
    low_um: float
    high_um: float
    gauge_um: float | None
    gauge_low_um: float | None
    gauge_high_um: float | None
    gauge_force_n: float
    basis: Literal["entered", "assumed"]


def _side(contacts: list[tuple[Contact, RefBearing]], sign: int) -> tuple[float, RefBearing]:
    """Return the largest overlap in mm of one direction, and the bearing it is of."""
    contact, pair = max((one for one in contacts if one[0].sign == sign), key=lambda one: one[0].overlap)
    return contact.overlap, pair


def _tolerance_um(pair: RefBearing) -> float:
    """Return the band of one direction: face offset, and interference carried to the axis."""
    one = pair[1]
    offset = STAND_OUT_TOLERANCE_UM if one.stand_out_tolerance_um is None else one.stand_out_tolerance_um
    return offset + INTERFERENCE_TOLERANCE_UM / (2 * tan(radians(one.contact_angle_deg or 0.0)))


def settled_mm(contacts: tuple[Contact, ...], net_n: float) -> float:
    """Return where the shaft settles under a net axial load (down positive), in mm."""
    sides = tuple((one.sign, one.stiffness, one.overlap) for one in contacts)
    stiff = min(one.stiffness for one in contacts)
    reach = (abs(net_n) / stiff) ** (2 / 3) + max(abs(one.overlap) for one in contacts)
    return balance(sides, net_n, -reach - 1e-9, reach + 1e-9, 0.0)


def end_play_mounted(stack: Stack, judgement: Judgement) -> EndPlayMounted | None:
    """Return the predicted end play; None where the set is not opposed or a needed figure is missing."""
    middle = judgement.middle
    if not is_modelled(middle.mount) or not middle.mount.opposed:
        return None
    if any(not gap.field.startswith("motor.") for gap in middle.load_gaps):
        return None
    changes = overlap_changes_mm(middle.stack, middle.mount, 0.0)
    if changes is None or middle.sharing.equal_stiffness or middle.sharing.not_shared is not None:
        return None
    contacts = tuple(replace(one, overlap=one.overlap + changes[one.ref]) for one in middle.sharing.contacts)
    pairs = list(zip(contacts, middle.mount.one_way, strict=True))
    (down, lower), (up, upper) = _side(pairs, 1), _side(pairs, -1)
    spacers = sum(isinstance(item, Part) and item.kind in SPACERS for item in stack.items)
    expected = -(down + up) * 1000
    band = _tolerance_um(lower) + _tolerance_um(upper) + SPACER_TOLERANCE_UM * spacers
    force = stack.policy.gauge_force_n
    reading, low, high = (gauge_um(contacts, force, opened_um) for opened_um in (0.0, -band, band))
    return EndPlayMounted(
        expected, expected - band, expected + band, reading, low, high, force, _basis(stack)
    )


def gauge_um(contacts: tuple[Contact, ...], force_n: float, opened_um: float) -> float:
    """Return what an indicator reads in µm under a pull and push, the set opened by some µm against its overlaps."""
    opened = tuple(replace(one, overlap=one.overlap - opened_um / 2000) for one in contacts)
    return (settled_mm(opened, force_n) - settled_mm(opened, -force_n)) * 1000


def _basis(stack: Stack) -> Literal["entered", "assumed"]:
    """Return whether pairing, preload or face offset and fits of every bearing of the set were entered."""
    for item in stack.items:
        if isinstance(item, Part) or item.type != "angular_contact_ball":
            continue
        play = item.pair_preload_n is not None or item.stand_out_um is not None
        if item.pairing is None or not play or item.fit_interference_um is None:
            return "assumed"
    return "entered"
