"""What to ask about a thrust sheet: figures that are possible but look as though something was misread.

A thrust factor in the wrong unit is the commonest: one pound-force for each foot is 14.6 newtons for each metre.
All bounds are common practice, no source; a person's word settles each of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, sqrt
from typing import Final

from bearings.engineering.thrust import ThrustResult
from bearings.engineering.thrust_figures import Question
from bearings.engineering.thrust_inputs import GRAVITY, WATER_KG_M3, ThrustInputs

LBF_PER_FT_N_PER_M: Final = 4.4482216152605 / 0.3048
LIKELY_FACTOR: Final = (10.0, 3000.0)
LIKELY_SHARE_OF_PLATE: Final = (0.10, 3.0)


def factor_circle_mm(thrust_factor_n_per_m: float) -> float:
    """Return the diameter of the circle on which a thrust factor lets the whole head press. [mm]"""
    area = thrust_factor_n_per_m / (WATER_KG_M3 * GRAVITY)
    return sqrt(4 * area / pi) * 1000


def questions_about(known: ThrustInputs, result: ThrustResult) -> tuple[Question, ...]:
    """Return what a person should confirm before these inputs are taken."""
    return (*_factor(known, result), *_heads(known), *_forces(known, result))


def _factor(known: ThrustInputs, result: ThrustResult) -> Iterator[Question]:
    factor = known.thrust_factor_n_per_m
    if factor is None:
        return
    low, high = LIKELY_FACTOR
    circle, shaft = factor_circle_mm(factor), known.shaft_diameter_mm
    thrust, plate = result.figure("hydraulic_duty").value, known.plate_down_thrust_n
    least, most = LIKELY_SHARE_OF_PLATE
    about = "thrust_factor_n_per_m"
    if shaft is not None and circle < shaft:
        yield Question("factor-small", about, circle, shaft, "shaft")
    elif factor < low:
        yield Question("factor-small", about, factor, low, "usual")
    elif thrust is not None and plate and thrust < least * plate:
        yield Question("factor-small", about, thrust, plate, "plate")
    elif factor > high:
        yield Question("factor-large", about, factor, high, "usual")
    elif thrust is not None and plate and thrust > most * plate:
        yield Question("factor-large", about, thrust, plate, "plate")


def _heads(known: ThrustInputs) -> Iterator[Question]:
    duty, shut_off, static = known.head_duty_m, known.head_shut_off_m, known.static_head_m
    if duty is not None and shut_off is not None and shut_off < duty:
        yield Question("shut-off-below-duty", "head_shut_off_m", shut_off, duty)
    highest = max((head for head in (duty, shut_off) if head is not None), default=None)
    if static is not None and highest is not None and static > highest:
        yield Question("static-above-pump", "static_head_m", static, highest)


def _forces(known: ThrustInputs, result: ThrustResult) -> Iterator[Question]:
    plate, plate_up = known.plate_down_thrust_n, known.plate_up_thrust_n
    if plate is not None and plate_up is not None and plate_up > plate:
        yield Question("plate-up-above-down", "plate_up_thrust_n", plate_up, plate)
    up, down = known.pump_up_thrust_n, result.figure("down_worst").value
    if up is not None and down is not None and up > max(0.0, down):
        yield Question("pump-up-above-down", "pump_up_thrust_n", up, down)
    elif up is not None and down is None and plate is not None and up > plate:
        yield Question("pump-up-above-down", "pump_up_thrust_n", up, plate)
    rotor = known.rotor_weight_n
    if rotor is not None and plate is not None and rotor > plate:
        yield Question("rotor-above-plate", "rotor_weight_n", rotor, plate)
