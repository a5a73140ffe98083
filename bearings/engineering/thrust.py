"""The thrust sheet of a vertical pump motor: what the pump asks of its thrust bearing, from the pump's own data.

Nothing about the pump is ever assumed. A figure whose data is missing is unknown and says what is missing.
SI throughout; a thrust factor is in newtons for each metre of head at a specific gravity of one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Final

from bearings.engineering.thrust_figures import (
    COMMON_PRACTICE,
    MAKER_SOURCE,
    STATIC,
    Figure,
    Verdict,
    work_out,
)
from bearings.engineering.thrust_inputs import ThrustInputs
from bearings.engineering.thrust_shaft import circle_m2, reversal, stretch, weight_of
from bearings.engineering.thrust_verdicts import judge_thrust

FALLBACK_SHARE: Final = 0.30

FACTOR_SOURCE: Final = "pump makers' data sheets: thrust factor at the head in question; " + STATIC
FALLBACK_SOURCE: Final = "fallback, " + COMMON_PRACTICE
PLATE_SOURCE: Final = "motor nameplate"


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
        *reversal(known, weights[1]),
        *stretch(known, hydraulic),
    )
    by_name = {one.name: one for one in rows}
    return ThrustResult(rows, judge_thrust(by_name, known.pump_up_thrust_n))


def _weights(known: ThrustInputs) -> tuple[Figure, ...]:
    """Return shaft, rotating weight and the lift of a pressurised suction."""
    shaft = weight_of(known)
    rotating = work_out(
        "rotating_weight",
        "W = shaft + impellers and couplings; buoyancy not subtracted",
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
    worst = work_out("down_worst", "the greater of the two", STATIC, lambda duty, shut_off: max(duty, shut_off),
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
    fallback = work_out("up_fallback", "0.30 × rated downthrust", FALLBACK_SOURCE,
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
        up = Figure("up_thrust", None, "nameplate, else pump maker", PLATE_SOURCE, {}, missing)
    if known.plate_up_thrust_n is None and known.up_fallback_asked:
        limit = Figure("up_limit", fallback.value, fallback.formula, fallback.source, fallback.inputs,
                       fallback.missing, fallback=True)  # fmt: skip
    net = work_out("net_on_guide", "upthrust − weight of the motor's rotor", STATIC,
                   lambda up, rotor_weight_n: up - rotor_weight_n, up=up,
                   rotor_weight_n=known.rotor_weight_n)  # fmt: skip
    return (up, limit, net)
