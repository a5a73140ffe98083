"""The line shaft of a vertical pump: its weight, its stretch, and its speed backwards while the column drains."""

from __future__ import annotations

from math import pi, sqrt
from typing import Final

from bearings.engineering.thrust_figures import COMMON_PRACTICE, MAKER_SOURCE, STATIC, Figure, work_out
from bearings.engineering.thrust_inputs import GRAVITY, ThrustInputs

STEEL_KG_M3: Final = 7850.0
STEEL_PA: Final = 200e9
# How fast a pump turns backwards as a turbine, against its working speed, by its metric specific speed.
RADIAL_PUMP, AXIAL_PUMP = (40.0, 1.25), (100.0, 2.0)

STEEL_SOURCE: Final = "solid steel, 7850 kg/m³ (EN 1991-1-1, table A.4: from memory, unverified)"
STRETCH_SOURCE: Final = "Hooke's law; steel, E = 200 GPa (common practice, no source)"
RUNAWAY_SOURCE: Final = "common practice, no source"
BETWEEN_SOURCE: Final = RUNAWAY_SOURCE + "; between 40 and 100 interpolated: " + COMMON_PRACTICE
AFFINITY_SOURCE: Final = "affinity of speed and head"


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


def weight_of(known: ThrustInputs) -> Figure:
    """Return the weight of the line shaft: as the pump maker says, else that of solid steel."""
    if known.shaft_weight_n is not None:
        return work_out("shaft_weight", "as entered", MAKER_SOURCE, lambda shaft_weight_n: shaft_weight_n,
                         shaft_weight_n=known.shaft_weight_n)  # fmt: skip
    return work_out(
        "shaft_weight",
        "π/4 · d² · L · ρ · g",
        STEEL_SOURCE,
        lambda shaft_diameter_mm, shaft_length_m: shaft_weight_n(shaft_diameter_mm, shaft_length_m),
        shaft_diameter_mm=known.shaft_diameter_mm,
        shaft_length_m=known.shaft_length_m,
    )


def reversal(known: ThrustInputs, rotating: Figure) -> tuple[Figure, ...]:
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


def stretch(known: ThrustInputs, hydraulic: tuple[Figure, Figure]) -> tuple[Figure, ...]:
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
