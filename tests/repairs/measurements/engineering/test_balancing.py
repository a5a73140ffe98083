"""Influence coefficients and the residual test against numpy and scipy: a rotor is made up, and found again."""

from __future__ import annotations

from cmath import rect
from math import degrees, pi, radians

import numpy as np
import pytest
from scipy.optimize import least_squares

from repairs.measurements.engineering.balancing import (
    Influence,
    amount_and_angle,
    one_plane,
    residual,
    two_planes,
    vector,
)
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Row, Value
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

MOTOR = Machine(speed_rpm=1800, rotor_mass_kg=1000)
SET: dict[str, Value] = {
    "method": "grade",
    "grade_mm_s": 2.5,
    "planes": "two",
    "half_key": "yes",
    "to_a_mm": 500.0,
    "to_b_mm": 500.0,
}
# mm/s at each sensor for one g mm in each plane.
ACTS = np.array([[rect(4e-4, 0.6), rect(1.5e-4, 1.1)], [rect(1.2e-4, 0.4), rect(3.5e-4, 0.9)]])
REST = np.array([vector(9000, 40), vector(12_000, 250)])
LEFT = np.array([vector(1500, 100), vector(2500, 10)])
TRIALS = (vector(8000, 30), vector(10_000, 200))


def run(plane: int, trial: complex, rotor: np.ndarray) -> Row:
    held = rotor + np.array([trial if plane == 1 else 0, trial if plane == 2 else 0])
    first, second = (amount_and_angle(complex(one)) for one in ACTS @ held)
    weight = amount_and_angle(trial) if plane else (None, None)
    return (float(plane), *weight, *first, *second)


def runs(*, left: bool = True, scale: float = 1.0) -> tuple[Row, ...]:
    last = (run(0, 0j, LEFT),) if left else ()
    return (run(0, 0j, REST), run(1, TRIALS[0] * scale, REST), run(2, TRIALS[1], REST), *last)


def look(entries: dict[str, Value]) -> Answer:
    answer = check_test("balance", entries, MOTOR)
    said("balance", answer)
    return answer


def test_two_planes_against_a_linear_solver() -> None:
    rng = np.random.default_rng(7)
    for _ in range(50):
        acts = rng.normal(size=(2, 2)) + 1j * rng.normal(size=(2, 2)) + 3 * np.eye(2)
        rest, trials = rng.normal(size=2) + 1j * rng.normal(size=2), rng.normal(size=2) + 2j
        before = acts @ rest
        with_a, with_b = acts @ (rest + np.array([trials[0], 0])), acts @ (rest + np.array([0, trials[1]]))
        found = two_planes(tuple(before), tuple(with_a), tuple(with_b), tuple(trials))
        seen = rng.normal(size=2) + 1j * rng.normal(size=2)
        assert found.unbalance(*seen) == pytest.approx(tuple(np.linalg.solve(acts, seen)))
        assert found.unbalance(*before) == pytest.approx(tuple(rest))


def test_one_plane_by_hand() -> None:
    """5 at 0° becomes 5 at 90° with 10 at 0°: the change is 7.07 at 135°, so 7.07 at 225° was there."""
    found = one_plane(vector(5, 0), vector(5, 90), vector(10, 0))
    unbalance = found.unbalance(vector(5, 0))
    assert unbalance is not None
    assert amount_and_angle(unbalance[0]) == pytest.approx((10 / 2**0.5, 225))


def test_planes_that_act_alike_give_nothing() -> None:
    assert Influence(1 + 0j, 2 + 0j, 2 + 0j, 4 + 0j).unbalance(1 + 0j, 1 + 0j) is None
    assert Influence(0j).unbalance(1 + 0j) is None
    alike = (run(0, 0j, REST), run(1, TRIALS[0], REST), (2.0, *run(1, TRIALS[0], REST)[1:]))
    answer = look({**SET, "runs": alike})
    assert severities(answer)["planes_alike"] == "warn"
    assert answer.verdict == "not_checked"


def test_runs_give_the_correction_and_the_residual() -> None:
    answer = look({**SET, "runs": runs()})
    assert [one.value for one in answer.results] == pytest.approx([1500, 2500])
    assert answer.verdict == "pass"
    told = [one.params for one in answer.notes if one.code == "correction"]
    assert [one["angle"] for one in told] == pytest.approx([280, 190])
    first = look({**SET, "runs": runs(left=False)})
    assert first.verdict == "not_checked"
    told = [one.params for one in first.notes if one.code == "correction"]
    assert [(one["value"], one["angle"]) for one in told] == [
        (pytest.approx(9000), pytest.approx(220)),
        (pytest.approx(12_000), pytest.approx(70)),
    ]
    shown = {(one.symbol, one.unit): one.value for one in answer.working}
    assert shown["alpha A1", "mm/s per g mm"] == pytest.approx(4e-4)
    assert shown["alpha B2", "°"] == pytest.approx(degrees(0.9))
    assert shown["U A before", "g mm"] == pytest.approx(9000)


def test_one_plane_runs() -> None:
    rows = tuple((*row[:5], None, None) for row in (runs()[0], runs()[1], runs()[3]))
    answer = look({**SET, "planes": "one", "runs": rows})
    assert answer.result("balance_a").value is not None
    assert answer.result("balance_b").verdict == "noted"


def test_incomplete_runs_are_named_and_nothing_follows() -> None:
    rows = (*runs()[:2], (2.0, 8000.0, None, 1.0, 2.0, 1.0, 2.0))
    answer = look({**SET, "runs": rows})
    assert "Run 3" in said("balance", answer)["row_incomplete"]
    assert "runs_missing" in severities(answer)
    assert answer.verdict == "not_checked"
    assert look({**SET, "runs": ((0.0,),)}).verdict == "not_checked"


def test_a_weak_trial_weight_is_told() -> None:
    assert severities(look({**SET, "runs": runs(scale=0.1)}))["trial_weak"] == "warn"
    assert "trial_weak" not in severities(look({**SET, "runs": runs()}))


def readings(rest: complex, weight: float, count: int = 6, noise: float = 0.0) -> list[tuple[float, float]]:
    rng = np.random.default_rng(3)
    at = [360 * i / count for i in range(count)]
    return [(one, abs(rest + vector(weight, one)) * 2.5 * (1 + noise * rng.normal())) for one in at]


@pytest.mark.parametrize(("rest", "weight"), [(900, 5000), (3000, 5000), (7000, 5000), (1, 5000)])
def test_residual_test_finds_what_was_there(rest: float, weight: float) -> None:
    """A residual above the weight too: its reflection would be the smaller one, and the bare reading tells."""
    held = vector(rest, 75)
    found = residual(weight, 2.5 * rest, readings(held, weight))
    assert found == (pytest.approx(rest), pytest.approx(75))


def test_residual_test_against_scipy() -> None:
    """With 1 % noise, against a fit of amplitude by scipy; both within a few percent."""
    data = readings(vector(900, 75), 5000, 12, 0.01)

    def off(x: np.ndarray) -> list[float]:
        return [x[2] * abs(rect(x[0], x[1]) + vector(5000, at)) - read for at, read in data]

    fit = least_squares(off, [500, 1, 2]).x
    found = residual(5000, 2250, data)
    assert found is not None
    assert found[0] == pytest.approx(fit[0], rel=0.02)
    assert radians(found[1]) == pytest.approx(fit[1] % (2 * pi), abs=0.02)
    # Half the difference over the mean of the extremes, as it is done on paper with few positions.
    most, least = max(one for _, one in data), min(one for _, one in data)
    assert found[0] == pytest.approx(5000 * (most - least) / (most + least), rel=0.1)


def test_residual_test_needs_three_angles_and_a_weight() -> None:
    assert residual(5000, 1, [(0, 1), (120, 2), (360, 1)]) is None
    assert residual(0, 1, readings(900 + 0j, 5000)) is None
    assert residual(5000, 1, [(0, 0), (120, 0), (240, 0)]) is None
    assert residual(5000, 100, [(0, 1), (120, 1), (240, 1)]) is None


def test_the_greater_of_several_residuals_counts() -> None:
    tested: dict[str, Value] = {
        "test_a": tuple(readings(vector(6000, 75), 40_000)),
        "test_a_weight": 40_000.0,
        "test_a_bare": 15_000.0,
    }
    answer = look({**SET, **tested, "residual_a": 1000.0, "residual_b": 1000.0})
    assert answer.result("balance_a").value == pytest.approx(6000)
    assert severities(answer)["residuals_differ"] == "warn"
    without = {code: value for code, value in tested.items() if code != "test_a_bare"}
    assert ("test_a_bare", "balance_a") in look({**SET, **without}).missing


def test_few_positions_and_a_light_weight_are_told() -> None:
    tested: dict[str, Value] = {
        "test_a": tuple(readings(vector(6000, 75), 8000, 4)),
        "test_a_weight": 8000.0,
        "test_a_bare": 15_000.0,
    }
    told = severities(look({**SET, **tested}))
    assert {"few_positions", "weight_light"} <= set(told)
    flat = look({**SET, **tested, "test_a": ((0.0, 1.0), (0.0, 2.0))})
    assert severities(flat)["test_unclear"] == "warn"
