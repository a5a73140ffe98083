"""Warm overlaps, end play and least loads against figures worked out apart from this program.

The expected loads come from a bisection of the same equilibrium (Hertzian F = K d^1.5, Lame's ring on a hollow mount,
expansion of steel) written without sight of the program; lives and least loads from one script: regression only. The
bearing is the invented one of triple.json; a second solver stands below.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin, tan
from pathlib import Path
from typing import Any

import pytest

from bearings.engineering.assessment import Assessment, check_stack
from bearings.engineering.least_load import estimated_factor_n, least_load
from bearings.engineering.mounted import raceway_share
from bearings.engineering.quantities import Bearing, Part, Stack
from bearings.stack_file import parse_stack

TRIPLE = Path(__file__).parent / "triple.json"


def triple(
    *, warmer_k: float, interference_um: float, thrust_n: float = 30_000, taller_um: float = 0, **more: Any
) -> Stack:
    """Return the triple with measured fits; ``taller_um`` puts a thin spacer with a taller outer part below 2."""
    stack = parse_stack(TRIPLE.read_bytes())
    fits: dict[str, Any] = {
        "pairing": "universal",
        "stand_out_um": 0.0,
        "fit_interference_um": interference_um,
        **more.pop("bearing", {}),
    }
    items: list[Bearing | Part] = []
    for item in stack.items:
        items.append(replace(item, **fits) if isinstance(item, Bearing) else item)
        if taller_um and isinstance(item, Bearing) and item.mark == "42":
            items.append(
                Part(
                    kind="shim", ring="both", inner_height_mm=0.001, outer_height_mm=0.001 + taller_um / 1000
                )
            )
    motor = {"mount_bore_mm": 0.0, "fixed_speed": True, **more}
    if motor.get("maximum_speed_rpm"):
        motor["fixed_speed"] = None
    return replace(
        stack,
        motor=replace(stack.motor, shaft_warmer_k=warmer_k, down_thrust_n=thrust_n, **motor),
        items=tuple(items),
    )


def warm_loads(assessment: Assessment, name: str = "running") -> list[float]:
    """Return the warm loads of a case in N, from the top."""
    case = next(one for one in assessment.judged_cases if one.name == name)
    assert case.warm is not None
    return [row.axial_n or 0.0 for row in case.warm.bearings]


@pytest.mark.parametrize(
    ("stack", "loads"),
    [
        (triple(warmer_k=10, interference_um=20), (15_573.0, 19_758.8, 3_131.8)),
        (triple(warmer_k=10, interference_um=20, thrust_n=0), (5_556.4, 8_637.2, 11_993.5)),
        (triple(warmer_k=10, interference_um=20, mount_bore_mm=60.0), (15_040.3, 19_181.6, 2_021.8)),
        (triple(warmer_k=10, interference_um=20, taller_um=4), (16_261.5, 20_503.4, 4_565.0)),
        (triple(warmer_k=15, interference_um=20), (15_715.7, 22_132.9, 5_648.6)),
    ],
    ids=["solid", "rotor alone", "bore 60", "outer spacer 4 um taller", "15 K"],
)
def test_warm_loads_are_those_of_the_bisection(stack: Stack, loads: tuple[float, ...]) -> None:
    """0.1 N is the agreement of the two solvers; the spacer's 1 um of height moves a load by less than 0.5 N."""
    spacers = sum(isinstance(item, Part) and item.kind == "shim" for item in stack.items)
    assert warm_loads(check_stack(stack)) == pytest.approx(loads, abs=1.0 if spacers else 0.1)


def test_cold_loads_stay_as_they_were() -> None:
    """Heat and fits change nothing of the cold loads."""
    cold = check_stack(triple(warmer_k=10, interference_um=20)).judged_cases[0]
    assert [row.axial_n for row in cold.bearings] == pytest.approx([16_100, 16_100, 0], abs=0.1)
    assert cold.stack_l10h == pytest.approx(62_522, abs=1)


@pytest.mark.parametrize(("warmer_k", "hours"), [(10, 45_891), (15, 35_468)])
def test_warm_lives(warmer_k: float, hours: float) -> None:
    """800 N of radial load over the three bearings."""
    case = check_stack(triple(warmer_k=warmer_k, interference_um=20)).judged_cases[0]
    assert case.warm is not None
    assert case.warm.stack_l10h == pytest.approx(hours, abs=1)


def test_a_warm_life_below_the_shop_s_limit_warns_where_the_cold_one_passes() -> None:
    """35 468 h of 40 000 h."""
    codes = {
        (one.code, one.severity) for one in check_stack(triple(warmer_k=15, interference_um=20)).findings
    }
    assert ("life-warm", "warn") in codes
    assert not any(code == "life" for code, _ in codes)


def test_a_drive_s_highest_speed_presses_by_the_square() -> None:
    """72 of 60 Hz: 30 000 N x 1.44 and the rotor."""
    stack = triple(warmer_k=10, interference_um=20, maximum_speed_rpm=2_136.0)
    case = next(one for one in check_stack(stack).judged_cases if one.name == "maximum_speed")
    assert (case.speed_rpm, case.net_axial_n) == pytest.approx((2_136, 45_400))
    assert case.stack_l10h == pytest.approx(18_835, abs=1)


def test_end_play_as_mounted_and_what_the_gauge_reads() -> None:
    """Preload 0, face offset -30 um each, 20 um of interference, not warm."""
    stack = triple(warmer_k=0, interference_um=20, bearing={"pair_preload_n": 0.0, "stand_out_um": -30.0})
    play = check_stack(stack).end_play_mounted
    assert play is not None
    assert play.expected_um == pytest.approx(41.8, abs=0.05)
    assert play.gauge_um == pytest.approx(46.9, abs=0.05)
    assert play.basis == "entered"


def test_share_of_interference_that_reaches_the_raceway() -> None:
    """Lame, solid mount and one with a bore of 60 mm."""
    one = next(item for item in triple(warmer_k=0, interference_um=0).items if isinstance(item, Bearing))
    assert raceway_share(one, 0.0) == pytest.approx(0.76484, abs=1e-5)
    assert raceway_share(one, 60.0) == pytest.approx(0.62009, abs=1e-5)


def test_least_load_of_a_bearing_without_a_maker_s_factor() -> None:
    """A handbook's ka of series 03 (from memory): 1.8 x 208 x 1.575^2, and at 1 780 rpm."""
    one = next(item for item in triple(warmer_k=0, interference_um=0).items if isinstance(item, Bearing))
    assert estimated_factor_n(one) == pytest.approx(928.7, abs=0.05)
    least = least_load(one, 0.0, None)
    assert least is not None
    assert least.at(1_780) == pytest.approx(2_942.6, abs=0.05)


# ------------------------------------------------------------------ a second solver
EXPANSION = 11.5e-6
PALMGREN = 4.36e-4


def _bisected(
    faces: str,
    net_n: float,
    *,
    warmer_k: float,
    interference_um: float,
    distances_mm: list[float],
    bore_mm: float,
) -> list[float]:
    """Loads by bisection on the shaft's displacement, from the geometry of the invented bearing alone."""
    balls, ball, pitch, angle, bore = 13, 34.925, 157.5, radians(40), 100.0
    compliance = PALMGREN / (ball ** (1 / 3) * sin(angle) * (balls * sin(angle)) ** (2 / 3))
    raceway = pitch - ball * cos(angle)
    share = bore / raceway * (1 - (bore_mm / bore) ** 2) / (1 - (bore_mm / raceway) ** 2)
    overlaps, depth = [], 0.0
    for number, face in enumerate(faces):
        depth += distances_mm[number - 1] if number else 0.0
        sign = 1 if face == "d" else -1
        overlap = compliance * 1_500 ** (2 / 3)
        overlap += EXPANSION * warmer_k * (pitch / 2 / tan(angle) + sign * depth)
        overlap += share * interference_um / 1000 / (2 * tan(angle))
        overlaps.append((sign, overlap))

    def forces(x: float) -> list[float]:
        return [(max(0.0, sign * x + overlap) / compliance) ** 1.5 for sign, overlap in overlaps]

    low, high = -1.0, 1.0
    for _ in range(200):
        middle = (low + high) / 2
        total = sum(sign * force for (sign, _), force in zip(overlaps, forces(middle), strict=True))
        low, high = (middle, high) if total < net_n else (low, middle)
    return forces((low + high) / 2)


@pytest.mark.parametrize("faces", ["du", "ud", "ddu", "duu", "dd"])
@pytest.mark.parametrize("bore_mm", [0.0, 60.0])
@pytest.mark.parametrize("spacer_mm", [0.0, 12.0])
def test_warm_loads_against_a_second_solver(faces: str, bore_mm: float, spacer_mm: float) -> None:
    """Back to back, face to face, sets of three and a tandem; solid and hollow mount; with a spacer and without."""
    base = triple(warmer_k=12, interference_um=25, mount_bore_mm=bore_mm)
    one = next(item for item in base.items if isinstance(item, Bearing))
    items: list[Bearing | Part] = []
    for number, face in enumerate(faces):
        if number == 1 and spacer_mm:
            items.append(
                Part(kind="spacer", ring="both", inner_height_mm=spacer_mm, outer_height_mm=spacer_mm)
            )
        items.append(replace(one, wide_face="down" if face == "d" else "up", mark=None))
    distances = [47.0 + (spacer_mm if number == 0 else 0.0) for number in range(len(faces) - 1)]
    expected = _bisected(
        faces, 32_200, warmer_k=12, interference_um=25, distances_mm=distances, bore_mm=bore_mm
    )
    assert warm_loads(check_stack(replace(base, items=tuple(items)))) == pytest.approx(expected, abs=0.5)
