"""The thrust sheet of a vertical pump motor: what the pump asks of its thrust bearing, from the pump's own data.

Nothing about the pump is ever assumed. A figure whose data is missing is unknown and says what is missing.
SI throughout; a thrust factor is in newtons for each metre of head at a specific gravity of one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from math import isfinite, pi, sqrt
from typing import Any, Final, Literal

from bearings.engineering.thrust_figures import (
    COMMON_PRACTICE,
    STATIC,
    Figure,
    Verdict,
    work_out,
)
from bearings.engineering.thrust_verdicts import judge_thrust

PlateMeaning = Literal["external", "total"]

STEEL_KG_M3: Final = 7850.0
STEEL_PA: Final = 200e9
GRAVITY: Final = 9.80665  # exact by definition
WATER_KG_M3: Final = 1000.0
# How fast a pump turns backwards as a turbine, against its working speed, by its metric specific speed.
RADIAL_PUMP, AXIAL_PUMP = (40.0, 1.25), (100.0, 2.0)
FALLBACK_SHARE: Final = 0.30

FACTOR_SOURCE: Final = "pump makers' data sheets: thrust factor at the head in question; " + STATIC
STEEL_SOURCE: Final = "solid steel, 7850 kg/m³ (EN 1991-1-1, table A.4: from memory, unverified)"
STRETCH_SOURCE: Final = "Hooke's law; steel, E = 200 GPa (common practice, no source)"
RUNAWAY_SOURCE: Final = "common practice, no source"
BETWEEN_SOURCE: Final = RUNAWAY_SOURCE + "; between 40 and 100 interpolated: " + COMMON_PRACTICE
AFFINITY_SOURCE: Final = "affinity of speed and head"
FALLBACK_SOURCE: Final = "fallback, " + COMMON_PRACTICE
MAKER_SOURCE: Final = "pump maker"
PLATE_SOURCE: Final = "motor's plate"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrustInputs:
    """What is known of pump and motor; None is unknown. Forces in N, heads in m, speeds in r/min."""

    thrust_factor_n_per_m: float | None = None
    head_duty_m: float | None = None
    head_shut_off_m: float | None = None
    specific_gravity: float | None = None
    shaft_weight_n: float | None = None
    shaft_diameter_mm: float | None = None
    shaft_length_m: float | None = None
    impeller_weight_n: float | None = None
    suction_pressure_pa: float | None = None
    suction_diameter_mm: float | None = None
    pump_up_thrust_n: float | None = None
    static_head_m: float | None = None
    specific_speed: float | None = None
    operating_speed_rpm: float | None = None
    pump_reverse_speed_rpm: float | None = None
    pump_reverse_head_m: float | None = None
    ratchet: bool | None = None
    plate_down_thrust_n: float | None = None
    plate_up_thrust_n: float | None = None
    plate_meaning: PlateMeaning | None = None
    rotor_weight_n: float | None = None
    up_fallback_asked: bool = False

    def __post_init__(self) -> None:
        for one in fields(self):
            value = getattr(self, one.name)
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                continue
            may_be_zero = one.name.endswith(("weight_n", "thrust_n", "pressure_pa"))
            if not isfinite(value) or value < 0 or (value == 0 and not may_be_zero):
                raise ValueError(
                    f"{one.name}: {value}; a finite number {'from' if may_be_zero else 'above'} 0"
                )


@dataclass(frozen=True, slots=True)
class ThrustResult:
    """Every figure of a sheet in the order of the working, and the comparisons."""

    figures: tuple[Figure, ...]
    verdicts: tuple[Verdict, ...]

    def figure(self, name: str) -> Figure:
        """Return a figure by its name."""
        return next(one for one in self.figures if one.name == name)

    def verdict(self, name: str) -> Verdict:
        """Return a comparison by its name."""
        return next(one for one in self.verdicts if one.name == name)


def result_values(result: ThrustResult) -> dict[str, Any]:
    """Return a result as plain values, to be kept as it was worked out."""
    return {
        "figures": [asdict(one) for one in result.figures],
        "verdicts": [asdict(one) for one in result.verdicts],
    }


def result_from_values(values: Mapping[str, Any]) -> ThrustResult:
    """Return a result that was kept, without working anything out again."""
    figures = (Figure(**{**one, "missing": tuple(one["missing"])}) for one in values["figures"])
    verdicts = (Verdict(**{**one, "missing": tuple(one["missing"])}) for one in values["verdicts"])
    return ThrustResult(tuple(figures), tuple(verdicts))


def circle_m2(diameter_mm: float) -> float:
    """Return the area pi/4 d^2 of a circle of diameter d in mm. [m²]"""
    return pi / 4 * (diameter_mm / 1000) ** 2


def shaft_weight_n(diameter_mm: float, length_m: float) -> float:
    """Return the weight of a solid steel shaft. [N]

    pi/4 d^2 L rho g, d in mm, L in m above 0. Source: EN 1991-1-1, table A.4 (from memory, unverified).

    >>> round(shaft_weight_n(50.0, 30.0), 1)
    4534.6
    """
    return circle_m2(diameter_mm) * length_m * STEEL_KG_M3 * GRAVITY


def shaft_stretch_mm(force_n: float, length_m: float, diameter_mm: float) -> float:
    """Return by how much a solid steel shaft becomes longer under a pull. [mm]

    T L / (A E), T in N, L in m, d in mm above 0. Source: Hooke's law; E = 200 GPa (common practice, no source).

    >>> round(shaft_stretch_mm(30_000.0, 30.0, 50.0), 3)
    2.292
    """
    return force_n * length_m / (circle_m2(diameter_mm) * STEEL_PA) * 1000


def runaway_ratio(specific_speed: float) -> float:
    """Return backward speed over working speed at the rated head; flat beyond both ends of the guide.

    1.25 up to a metric specific speed of 40, 2.0 from 100 on, straight between. Source: common practice, no source.

    >>> runaway_ratio(40.0), runaway_ratio(70.0), runaway_ratio(200.0)
    (1.25, 1.625, 2.0)
    """
    (low, slow), (high, fast) = RADIAL_PUMP, AXIAL_PUMP
    share = min(1.0, max(0.0, (specific_speed - low) / (high - low)))
    return slow + share * (fast - slow)


def work_out_thrust(known: ThrustInputs) -> ThrustResult:
    """Return everything that follows from what is known of a pump and its motor; a figure says what it lacks.

    T = K H SG + W - U in N, units as in ``ThrustInputs``. Source: pump makers' data sheets, statics.

    >>> known = ThrustInputs(thrust_factor_n_per_m=400.0, head_duty_m=60.0, specific_gravity=1.0)
    >>> work_out_thrust(known).figure("hydraulic_duty").value
    24000.0
    """
    weights = _weights(known)
    hydraulic = _hydraulic(known)
    down = _down(known, weights, hydraulic)
    plate = _plate(known)
    up = _up(known, plate)
    rows = (
        *weights,
        *hydraulic,
        *down,
        plate,
        *up,
        *_reversal(known, weights[1]),
        *_stretch(known, hydraulic),
    )
    by_name = {one.name: one for one in rows}
    return ThrustResult(rows, judge_thrust(by_name, known.pump_up_thrust_n))


def _weights(known: ThrustInputs) -> tuple[Figure, ...]:
    """Return shaft, rotating weight and the lift of a pressurised suction."""
    if known.shaft_weight_n is not None:
        shaft = work_out("shaft_weight", "as entered", MAKER_SOURCE, lambda shaft_weight_n: shaft_weight_n,
                         shaft_weight_n=known.shaft_weight_n)  # fmt: skip
    else:
        shaft = work_out(
            "shaft_weight",
            "π/4 · d² · L · ρ · g",
            STEEL_SOURCE,
            lambda shaft_diameter_mm, shaft_length_m: shaft_weight_n(shaft_diameter_mm, shaft_length_m),
            shaft_diameter_mm=known.shaft_diameter_mm,
            shaft_length_m=known.shaft_length_m,
        )
    rotating = work_out(
        "rotating_weight",
        "W = shaft + impellers and couplings; buoyancy not taken off",
        STATIC,
        lambda shaft, impeller_weight_n: shaft + impeller_weight_n,
        shaft=shaft,
        impeller_weight_n=known.impeller_weight_n,
    )
    return (shaft, rotating, _suction(known))


def _suction(known: ThrustInputs) -> Figure:
    """Return the force of suction pressure on the shaft; an open suction is entered as a pressure of 0."""
    if known.suction_pressure_pa == 0:
        return Figure("suction_lift", 0.0, "U = 0: the suction is open", STATIC, {"suction_pressure_pa": 0.0})
    if known.suction_pressure_pa is None:
        return Figure("suction_lift", None, "U = p · π/4 · d²", STATIC, {}, ("suction_pressure_pa",))
    return work_out(
        "suction_lift",
        "U = p · π/4 · d²",
        STATIC,
        lambda suction_pressure_pa, suction_diameter_mm: suction_pressure_pa * circle_m2(suction_diameter_mm),
        suction_pressure_pa=known.suction_pressure_pa,
        suction_diameter_mm=known.suction_diameter_mm,
    )


def _hydraulic(known: ThrustInputs) -> tuple[Figure, Figure]:
    def at(name: str, **head: float | None) -> Figure:
        (key,) = head
        return work_out(
            name,
            "K · H · SG",
            FACTOR_SOURCE,
            lambda thrust_factor_n_per_m, specific_gravity, **one: (
                thrust_factor_n_per_m * specific_gravity * one[key]
            ),
            thrust_factor_n_per_m=known.thrust_factor_n_per_m,
            **head,
            specific_gravity=known.specific_gravity,
        )

    return (
        at("hydraulic_duty", head_duty_m=known.head_duty_m),
        at("hydraulic_shut_off", head_shut_off_m=known.head_shut_off_m),
    )


def _down(
    known: ThrustInputs, weights: tuple[Figure, ...], hydraulic: tuple[Figure, Figure]
) -> tuple[Figure, ...]:
    """Return the external thrust at duty, at shut-off and the worse of both, each with the rotor too."""
    _shaft, rotating, lift = weights
    external = [
        work_out(
            f"down_{name}",
            "T = K · H · SG + W − U",
            FACTOR_SOURCE,
            lambda hydraulic, rotating, lift: hydraulic + rotating - lift,
            hydraulic=one,
            rotating=rotating,
            lift=lift,
        )
        for name, one in zip(("duty", "shut_off"), hydraulic, strict=True)
    ]
    worst = work_out("down_worst", "the greater of both", STATIC, lambda duty, shut_off: max(duty, shut_off),
                     duty=external[0], shut_off=external[1])  # fmt: skip
    totals = [
        work_out(
            one.name.replace("down", "total"),
            "T + weight of the motor's rotor",
            STATIC,
            lambda down, rotor_weight_n: down + rotor_weight_n,
            down=one,
            rotor_weight_n=known.rotor_weight_n,
        )
        for one in (*external, worst)
    ]
    return (*external, worst, *totals)


def _plate(known: ThrustInputs) -> Figure:
    """Return what the plate allows from outside. Whether it counts the rotor is a person's word, never a guess."""
    if known.plate_meaning == "total":
        return work_out(
            "plate_external",
            "plate − weight of the motor's rotor",
            PLATE_SOURCE,
            lambda plate_down_thrust_n, rotor_weight_n: max(0.0, plate_down_thrust_n - rotor_weight_n),
            plate_down_thrust_n=known.plate_down_thrust_n,
            rotor_weight_n=known.rotor_weight_n,
        )
    meaning = 1.0 if known.plate_meaning == "external" else None
    figure = work_out(
        "plate_external",
        "as the plate says",
        PLATE_SOURCE,
        lambda plate_down_thrust_n, plate_meaning: plate_down_thrust_n * plate_meaning,
        plate_down_thrust_n=known.plate_down_thrust_n,
        plate_meaning=meaning,
    )
    shown = {name: value for name, value in figure.inputs.items() if name != "plate_meaning"}
    return Figure(figure.name, figure.value, figure.formula, figure.source, shown, figure.missing)


def _up(known: ThrustInputs, plate: Figure) -> tuple[Figure, ...]:
    """Return the up thrust that the motor has to hold, what the plate allows, and what reaches the guide."""
    fallback = work_out("up_fallback", "0.30 × rated down thrust", FALLBACK_SOURCE,
                        lambda plate: FALLBACK_SHARE * plate, plate=plate)  # fmt: skip
    fallback = Figure(fallback.name, fallback.value, fallback.formula, fallback.source, fallback.inputs,
                      fallback.missing, fallback=True)  # fmt: skip
    limit = work_out("up_limit", "as the plate says", PLATE_SOURCE, lambda plate_up_thrust_n: plate_up_thrust_n,
                     plate_up_thrust_n=known.plate_up_thrust_n)  # fmt: skip
    if known.plate_up_thrust_n is not None and (known.pump_up_thrust_n or 0.0) <= known.plate_up_thrust_n:
        up = Figure("up_thrust", limit.value, limit.formula, limit.source, limit.inputs)
    elif known.pump_up_thrust_n is not None:
        given = {"pump_up_thrust_n": known.pump_up_thrust_n}
        up = Figure("up_thrust", known.pump_up_thrust_n, "as the pump maker says", MAKER_SOURCE, given)
    elif known.up_fallback_asked:
        up = Figure("up_thrust", fallback.value, fallback.formula, fallback.source, fallback.inputs,
                    fallback.missing, fallback=True)  # fmt: skip
    else:
        missing = ("plate_up_thrust_n", "pump_up_thrust_n")
        up = Figure("up_thrust", None, "plate, else pump maker", PLATE_SOURCE, {}, missing)
    if known.plate_up_thrust_n is None and known.up_fallback_asked:
        limit = Figure("up_limit", fallback.value, fallback.formula, fallback.source, fallback.inputs,
                       fallback.missing, fallback=True)  # fmt: skip
    net = work_out("net_on_guide", "up thrust − weight of the motor's rotor", STATIC,
                   lambda up, rotor_weight_n: up - rotor_weight_n, up=up,
                   rotor_weight_n=known.rotor_weight_n)  # fmt: skip
    return (up, limit, net)


def _reversal(known: ThrustInputs, rotating: Figure) -> tuple[Figure, ...]:
    """Return the speed backwards while the column drains, with and without the ratchet, and the thrust then."""
    runaway = _runaway(known)
    if known.ratchet:
        held = Figure("reverse_speed", 0.0, "0 with a working ratchet; inspect it", STATIC, {})
    else:
        held = Figure("reverse_speed", runaway.value, runaway.formula, runaway.source, runaway.inputs,
                      runaway.missing)  # fmt: skip
    draining = work_out(
        "reverse_thrust",
        "K · static head · SG + W",
        f"{STATIC}; {COMMON_PRACTICE}; the pump maker's figure governs",
        lambda thrust_factor_n_per_m, static_head_m, specific_gravity, rotating: (
            thrust_factor_n_per_m * static_head_m * specific_gravity + rotating
        ),
        thrust_factor_n_per_m=known.thrust_factor_n_per_m,
        static_head_m=known.static_head_m,
        specific_gravity=known.specific_gravity,
        rotating=rotating,
    )
    return (runaway, held, draining)


def _runaway(known: ThrustInputs) -> Figure:
    maker = known.pump_reverse_speed_rpm
    if maker is not None and known.pump_reverse_head_m is None:
        return Figure(
            "runaway_speed", maker, "as the pump maker says", MAKER_SOURCE, {"pump_reverse_speed_rpm": maker}
        )
    if maker is not None:
        return work_out(
            "runaway_speed",
            "n · √(static head / head of the pump maker's figure)",
            f"{MAKER_SOURCE}; {AFFINITY_SOURCE}",
            lambda pump_reverse_speed_rpm, static_head_m, pump_reverse_head_m: (
                pump_reverse_speed_rpm * sqrt(static_head_m / pump_reverse_head_m)
            ),
            pump_reverse_speed_rpm=maker,
            static_head_m=known.static_head_m,
            pump_reverse_head_m=known.pump_reverse_head_m,
        )
    ns = known.specific_speed
    between = ns is not None and RADIAL_PUMP[0] < ns < AXIAL_PUMP[0]
    return work_out(
        "runaway_speed",
        "n · r · √(static head / head at duty); r from 1.25 at specific speed 40 to 2.0 at 100",
        f"{BETWEEN_SOURCE if between else RUNAWAY_SOURCE}; {AFFINITY_SOURCE}",
        lambda operating_speed_rpm, specific_speed, static_head_m, head_duty_m: (
            operating_speed_rpm * runaway_ratio(specific_speed) * sqrt(static_head_m / head_duty_m)
        ),
        operating_speed_rpm=known.operating_speed_rpm,
        specific_speed=ns,
        static_head_m=known.static_head_m,
        head_duty_m=known.head_duty_m,
    )


def _stretch(known: ThrustInputs, hydraulic: tuple[Figure, Figure]) -> tuple[Figure, ...]:
    """Return by how much the line shaft becomes longer once the head acts; its own weight did so before."""
    return tuple(
        work_out(
            one.name.replace("hydraulic", "stretch"),
            "T · L / (A · E), T = K · H · SG",
            STRETCH_SOURCE,
            lambda force, shaft_length_m, shaft_diameter_mm: shaft_stretch_mm(
                force, shaft_length_m, shaft_diameter_mm
            ),
            force=one,
            shaft_length_m=known.shaft_length_m,
            shaft_diameter_mm=known.shaft_diameter_mm,
        )
        for one in hydraulic
    )
