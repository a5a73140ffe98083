"""End play: no standard limits it. Typical figures: trade texts and common practice, told as a note only."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.limits import Limit, Source
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

THREE: dict[str, float | str] = {
    "down_1": 0.0, "up_1": 0.18, "down_2": 0.01, "up_2": 0.20, "down_3": 0.0, "up_3": 0.185,
    "load_down_n": 500.0, "load_up_n": 500.0, "rotor_weight_apart": "yes",
}  # fmt: skip
MAKER = Limit(0.127, 0.254, Source("manual", sureness="entered"), "maker")


def look(entries: dict[str, float | str], *limits: Limit) -> Answer:
    answer = check_test("end_play", entries, Machine(), {"end_play": limits})
    said("end_play", answer)
    return answer


def test_mean_and_spread_of_three() -> None:
    """0.18, 0.19, 0.185: mean 0.185, spread 0.01."""
    answer = look(THREE, MAKER)
    assert answer.result("end_play").value == pytest.approx(0.185)
    assert answer.result("end_play_spread").value == pytest.approx(0.01)
    assert answer.verdict == "pass"
    assert answer.notes == ()


def test_no_standard_limit_is_invented() -> None:
    answer = look({**THREE, "thrust_bearing": "angular_contact"})
    assert answer.result("end_play").limit is None
    assert answer.verdict == "not_checked"
    (typical,) = [one for one in answer.notes if one.code == "typical"]
    assert (typical.params["low"], typical.params["high"]) == pytest.approx((0.127, 0.254))
    assert typical.source is not None
    assert typical.source.sureness == "secondary"


def test_a_dial_that_runs_the_other_way_reads_the_same() -> None:
    turned = {
        code: -value if isinstance(value, float) and code[-1] in "123" else value
        for code, value in THREE.items()
    }
    assert look(turned).result("end_play").value == pytest.approx(0.185)


def test_up_and_down_swapped_in_one_repeat_are_asked() -> None:
    answer = look({**THREE, "down_2": 0.20, "up_2": 0.01}, MAKER)
    assert severities(answer)["turned_around"] == "doubt"
    assert answer.verdict == "not_checked"


def test_repeats_that_differ_are_told() -> None:
    assert severities(look({**THREE, "up_3": 0.25}))["repeats_differ"] == "warn"
    assert "repeats_differ" not in severities(look({**THREE, "up_3": 0.21}))
    small = {**THREE, "up_1": 0.012, "up_2": 0.022, "up_3": 0.02}
    assert "repeats_differ" not in severities(look(small))


def test_one_repeat_is_told() -> None:
    answer = look({"down_2": 0.0, "up_2": 0.2, "down_1": 0.0}, MAKER)
    assert {"few_repeats", "not_comparable"} == set(severities(answer))
    assert answer.result("end_play").verdict == "pass"
    assert answer.result("end_play_spread").value is None


def test_without_loads_nothing_is_compared_with_the_prediction() -> None:
    for field in ("load_down_n", "load_up_n", "rotor_weight_apart"):
        assert "not_comparable" in severities(
            look({code: one for code, one in THREE.items() if code != field})
        )


def test_half_a_repeat_is_none() -> None:
    answer = look({"up_1": 0.2}, MAKER)
    assert answer.verdict == "not_checked"
    assert [one.field for one in answer.missing] == ["down_1"]


def test_thousandths_are_asked_and_lift_is_noted() -> None:
    answer = look({**THREE, "up_1": 8.0, "up_2": 8.0, "up_3": 8.0, "lift_mm": 1.2})
    assert severities(answer)["mils_typed"] == "doubt"
    assert answer.result("rotor_lift").verdict == "noted"
    assert answer.result("end_play").value == pytest.approx(8, abs=0.01)
