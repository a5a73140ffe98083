"""Run temperatures. Stable: at most 1 °C in 30 min (IEEE 112, from memory, unverified)."""

from __future__ import annotations

from math import exp

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Row, Value
from repairs.measurements.engineering.steadiness import out_of_order, stable_since, steps
from repairs.measurements.engineering.subjects import check_test
from tests.repairs.measurements.engineering.saying import said, severities

KINDS: dict[str, Value] = {
    "top_kind": "rolling",
    "bottom_kind": "rolling",
    "uncoupled": "yes",
    "no_thrust_most": 600.0,
    "stopped": "completed",
}


def warming(last: float = 240, every: float = 10, rise: float = 28.0) -> tuple[Row, ...]:
    """A first-order rise with 30 min: 1 °C in 30 min is reached where 28 (e - 1) exp(-t / 30) = 1."""
    at = [every * i for i in range(int(last / every) + 1)]
    return tuple(
        (t, 22.0, 22 + rise * (1 - exp(-t / 30)), 22 + 20 * (1 - exp(-t / 30)), None, None) for t in at
    )


def look(rows: tuple[Row, ...], machine: Machine = Machine(), **entries: Value) -> Answer:  # noqa: B008
    answer = check_test("run_temperatures", {**KINDS, **entries, "temperatures": rows}, machine)
    said("run_temperatures", answer)
    return answer


def test_stable_since_against_the_exact_curve() -> None:
    """28 exp(-t/30) (e - 1) = 1 at t = 116.2 min: the first reading after it is at 120; each minute, at 117."""
    assert look(warming()).result("stable_min").value == 120
    assert look(warming(every=1)).result("stable_min").value == 117


def test_a_stable_run_is_judged_by_its_last_rise() -> None:
    answer = look(warming())
    assert answer.result("rise_top").value == pytest.approx(28, abs=0.02)
    assert answer.result("temp_bottom").value == pytest.approx(42, abs=0.02)
    assert answer.verdict == "pass"
    assert answer.notes == ()


def test_a_run_that_is_not_stable_can_fail_and_never_passes() -> None:
    answer = look(warming(last=60))
    assert answer.verdict == "not_checked"
    assert answer.result("stable_min").verdict == "not_checked"
    assert "not_stable" in severities(answer)
    assert look(warming(last=60, rise=70)).result("rise_top").verdict == "fail"


def test_limits_stand_before_the_run() -> None:
    answer = look(())
    assert [one.limit and one.limit.high for one in answer.results] == [
        50,
        50,
        95,
        95,
        None,
        600,
    ]
    plate = look((), top_kind="plate")
    assert plate.result("temp_top").limit is not None
    assert plate.result("temp_top").limit.high == 93
    assert plate.result("rise_top").verdict == "noted"


def test_at_the_limit_passes() -> None:
    rows: tuple[Row, ...] = tuple((10.0 * i, 45.0, 95.0, 60.0, None, None) for i in range(5))
    assert look(rows).verdict == "pass"
    hotter: tuple[Row, ...] = tuple((10.0 * i, 45.0, 95.1, 60.0, None, None) for i in range(5))
    assert look(hotter).result("temp_top").verdict == "fail"
    assert look(hotter).result("rise_top").verdict == "fail"


def test_one_degree_in_thirty_minutes_is_stable_and_more_is_not() -> None:
    def drift(per_30: float) -> float | None:
        at = [10.0 * i for i in range(8)]
        return stable_since(at, [[40 + per_30 * t / 30 for t in at]], 30, 1)

    assert drift(1.0) == 30
    assert drift(1.01) is None


def test_a_gap_in_the_last_half_hour_is_not_stable() -> None:
    assert stable_since([0, 30, 60], [[40, 40, 40]], 30, 1) == 30
    assert stable_since([0, 31], [[40, 40]], 30, 1) is None
    assert stable_since([0, 10, 20, 30], [[40, None, 40, None]], 30, 1) is None
    assert stable_since([0, 10, 20], [[40, 40, 40]], 30, 1) is None
    assert stable_since([0, 30], [], 30, 1) is None
    answer = look((*warming(last=120), *warming(last=240)[-4:]))
    assert severities(answer)["gap"] == "note"


def test_back_in_time_is_named_and_nothing_is_computed() -> None:
    rows = (*warming(last=200), (150.0, 22.0, 50.0, 42.0, None, None))
    answer = look(rows)
    assert "Row 22" in said("run_temperatures", answer)["back_in_time"]
    assert answer.verdict == "not_checked"
    assert {one.value for one in answer.results} == {None}
    assert out_of_order([0, 10, 10]) == 3
    assert out_of_order([0, None, 10]) == 2
    assert out_of_order([]) is None


def test_oil_that_still_warms_is_not_stable() -> None:
    rows = tuple((*row[:5], 30 + (row[0] or 0) / 10) for row in warming())
    assert look(rows).verdict == "not_checked"


def test_a_step_is_told() -> None:
    rows = list(warming())
    rows[15:] = [(row[0], row[1], (row[2] or 0) + 6, *row[3:]) for row in rows[15:]]
    answer = look(tuple(rows))
    (step,) = [one for one in answer.notes if one.code == "step"]
    assert (step.params["minute"], step.params["field"]) == (150, "run_top")
    assert "step" not in severities(look(warming()))
    assert list(steps([0, 10, 20], [20, None, 40], 5, 2)) == []


def test_missing_ambient_leaves_the_rise_unchecked() -> None:
    rows = tuple((row[0], None, *row[2:]) for row in warming())
    answer = look(rows)
    assert answer.result("rise_top").verdict == "not_checked"
    assert answer.result("temp_top").verdict == "pass"
    assert ("run_ambient", "rise_top") in answer.missing


def test_missing_kind_and_bearing_are_named() -> None:
    rows = tuple((*row[:3], None, None, None) for row in warming())
    answer = check_test("run_temperatures", {"temperatures": rows, "top_kind": "rolling"}, Machine())
    assert answer.verdict == "not_checked"
    assert {"run_bottom", "bottom_kind"} <= {one.field for one in answer.missing}


def test_warm_for_no_load() -> None:
    """25 to 30 °C is usual without load: common practice."""
    assert severities(look(warming(rise=36)))["warm_for_no_load"] == "warn"
    assert "warm_for_no_load" not in severities(look(warming(rise=36), uncoupled="no"))


def test_fahrenheit_is_asked_and_kept() -> None:
    rows: tuple[Row, ...] = tuple((10.0 * i, 25.0, 140.0, 60.0, None, None) for i in range(5))
    answer = look(rows)
    assert severities(answer)["fahrenheit_typed"] == "doubt"
    assert answer.result("temp_top").value == 140


def test_a_run_that_was_stopped_says_why() -> None:
    assert "oil leak" in said("run_temperatures", look(warming(), stopped="leak"))["stopped_early"]


def test_short_rows_are_no_crash() -> None:
    assert look(((0.0,), (30.0, 22.0))).verdict == "not_checked"


def test_a_run_without_thrust_is_held_to_the_time_that_its_maker_allows() -> None:
    assert look(warming()).result("no_thrust_min").verdict == "pass"
    assert look(warming(), no_thrust_most=240.0).result("no_thrust_min").verdict == "pass"
    assert look(warming(), no_thrust_most=239.0).result("no_thrust_min").verdict == "fail"


def test_no_time_limit_is_made_up() -> None:
    entries: dict[str, Value] = {key: value for key, value in KINDS.items() if key != "no_thrust_most"}
    answer = check_test("run_temperatures", {**entries, "temperatures": warming()}, Machine())
    found = answer.result("no_thrust_min")
    assert (found.value, found.limit, found.verdict) == (240, None, "not_checked")
    assert "not set" in said("run_temperatures", answer)["no_thrust_not_set"]
    assert answer.verdict == "not_checked"
    coupled = check_test(
        "run_temperatures", {**entries, "uncoupled": "no", "temperatures": warming()}, Machine()
    )
    assert coupled.result("no_thrust_min").verdict == "noted"
    assert coupled.verdict == "pass"
    unsaid = {key: value for key, value in entries.items() if key != "uncoupled"}
    answer = check_test("run_temperatures", {**unsaid, "temperatures": warming()}, Machine())
    assert ("uncoupled", "no_thrust_min") in answer.missing
    assert answer.verdict == "not_checked"


def test_rotation_is_compared_with_the_plate_and_never_passed_unknown() -> None:
    right = look(warming(), Machine(rotation="ccw"), rotation_top="ccw")
    assert right.notes == ()
    wrong = look(warming(), Machine(rotation="cw"), rotation_top="ccw")
    assert severities(wrong)["rotation_wrong"] == "stop"
    assert wrong.verdict == "fail"
    assert severities(look(warming(), rotation_top="cw"))["rotation_unknown"] == "note"


def test_a_ratchet_that_slips_is_a_stop() -> None:
    assert look(warming(), ratchet="slipped").verdict == "fail"
    assert look(warming(), ratchet="held").verdict == "pass"
    assert look(warming(), ratchet="none").verdict == "pass"


def test_completed_means_stable() -> None:
    assert severities(look(warming(last=60)))["completed_not_stable"] == "doubt"
    assert "completed_not_stable" not in severities(look(warming()))
    assert severities(look(warming(last=60), stopped="time_up"))["time_used_up"] == "note"


def test_amps_and_vibration_do_not_decide_when_a_run_is_stable() -> None:
    rows = tuple((*row, 40.0 + 5 * (at % 2), 1.0 + at / 10) for at, row in enumerate(warming()))
    assert look(rows).result("stable_min").value == 120


def test_a_horizontal_motor_has_no_thrust_to_run_without() -> None:
    entries = {**{key: value for key, value in KINDS.items() if key != "no_thrust_most"}, "uncoupled": "yes"}
    for vertical, verdict in ((False, "noted"), (True, "not_checked"), (None, "not_checked")):
        answer = check_test(
            "run_temperatures", {**entries, "temperatures": warming()}, Machine(vertical=vertical)
        )
        assert answer.result("no_thrust_min").verdict == verdict
        assert ("no_thrust_not_set" in {one.code for one in answer.notes}) == (vertical is not False)
