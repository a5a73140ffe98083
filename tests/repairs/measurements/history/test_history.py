"""History of a motor: trends in one unit, what came back different, what failed again; a fixed number of queries."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from repairs.measurements.history.page import history_context
from repairs.measurements.history.reading import read_history
from repairs.measurements.history.repeats import bearing_rows, repeats_of
from repairs.measurements.history.trends import Trend, canonical, trends_of
from repairs.measurements.models import Observation
from repairs.motors.models import Motor
from repairs.work_orders.models import Job, Stage, UsedPart
from repairs.work_orders.services.work import list_part
from tests.repairs.factories import actor_for, bearing_item, make_job, make_motor, make_user
from tests.repairs.final_rows import seat
from tests.repairs.measurements.history.visits import end, read, reopen, see, signed, visits

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def trend(motor: Motor, key: str) -> Trend:
    return next(one for one in trends_of(read_history(motor)) if one.key == key)


def values(one: Trend) -> dict[str, list[float | None]]:
    return {str(row.name): [None if cell is None else cell.value for cell in row.cells] for row in one.series}


def test_insulation_is_drawn_as_found_and_as_left_over_the_visits():
    first, second, third = visits(3)
    read(first, "insulation", "400", limit_low="5")
    read(third, "insulation", "0.3", unit="GΩ", limit_low="0.1")
    read(third, "insulation", "12", moment="as_found", verdict="fail")
    found = trend(second.motor, "insulation")
    assert values(found) == {"as found": [None, None, 12.0], "as left": [400.0, None, 300.0]}
    assert (found.low, found.high, found.logarithmic) == (100.0, None, True)


def test_the_newest_standing_value_of_a_visit_counts():
    (job,) = visits(1)
    wrong = read(job, "end_play", "0.31", unit="mm", verdict="fail")
    read(job, "end_play", "0.21", unit="mm", replaces=wrong)
    assert values(trend(job.motor, "end_play")) == {"as left": [0.21]}
    assert repeats_of(read_history(job.motor)) == []


def test_vibration_has_a_line_a_point_and_both_systems_of_units_meet():
    """1 in/s peak of one sine is 25.4 / sqrt(2) mm/s rms."""
    first, second = visits(2)
    read(first, "vib_top_0", "0.1", unit="in/s pk")
    read(second, "vib_top_0", "1.8", unit="mm/s rms")
    read(second, "vib_low_90", "1.1", unit="mm/s")
    found = values(trend(first.motor, "vibration_as_left"))
    assert found["top, radial 0°"] == [pytest.approx(1.796, abs=0.001), 1.8]
    assert found["bottom, radial 90°"] == [None, 1.1]
    assert set(found) == {"top, radial 0°", "bottom, radial 90°"}


def test_a_unit_that_is_none_of_the_quantity_is_left_out_and_not_guessed():
    assert canonical(Decimal(3), "furlong", "small_length") is None
    (job,) = visits(1)
    read(job, "end_play", "3", unit="turns")
    assert trends_of(read_history(job.motor)) == []


def test_run_temperatures_and_fits_are_trends_too():
    first, second = visits(2)
    read(second, "temp_top", "140", unit="°F", limit_high="194")
    read(second, "rise_top", "54", unit="°F")
    seat(job=first, figures={"fits": {"measured": "12.5"}}, verdict="pass", moment="as_left")
    seat(job=second, figures={"fits": {"seat_measured": ["4", "10"]}}, verdict="pass")
    seat(job=second, figures={"fits": {"measured": "90"}}, signed_at=None, name="not signed")
    motor = first.motor
    assert values(trend(motor, "temperature")) == {"top bearing": [None, pytest.approx(60)]}
    assert trend(motor, "temperature").high == pytest.approx(90)
    assert values(trend(motor, "rise")) == {"top bearing": [None, pytest.approx(30)]}
    assert values(trend(motor, "fits")) == {"mount": [0.0125, 0.007]}


def test_two_sizes_at_one_place_are_two_lines():
    (job,) = visits(1)
    for size, fit in ((100, "12"), (90, "5")):
        seat(job=job, nominal_mm=size, figures={"fits": {"measured": fit}}, verdict="pass")
    found = values(trend(job.motor, "fits"))
    assert found == {"mount Ø\u00a0100": [0.012], "mount Ø\u00a090": [0.005]}


def test_a_result_that_failed_on_two_visits_is_told_and_on_one_not():
    first, second, third = visits(3)
    read(first, "insulation", "2", verdict="fail", quantity="Insulation, 1 min")
    read(first, "insulation", "3", verdict="fail", moment="as_found", quantity="Insulation, 1 min")
    assert repeats_of(read_history(first.motor)) == []
    read(third, "insulation", "1", verdict="fail", quantity="Insulation, 1 min")
    (told,) = repeats_of(read_history(first.motor))
    assert told == f"Insulation, 1 min: out of limits on 2 visits (jobs {first.number}, {third.number})."
    assert second.number not in told


def test_the_same_damage_on_two_visits_is_told_but_not_soundness_nor_what_nobody_could_tell():
    first, second = visits(2)
    for job in (first, second):
        see(job, "none", "b2")
        see(job, "undetermined", "b3")
    assert repeats_of(read_history(first.motor)) == []
    see(first, "5.4.3")
    see(second, "5.2.2")
    assert repeats_of(read_history(first.motor)) == []
    see(second, "5.4.3", "b2")
    (told,) = repeats_of(read_history(first.motor))
    assert told.startswith("Current leakage erosion (5.4.3): found on 2 visits")


def test_a_bearing_is_counted_across_the_motors_of_the_shop_by_designation_and_edition():
    mine, other = make_job(make_motor()), make_job(make_motor())
    see(mine)
    (row,) = bearing_rows(read_history(mine.motor))
    assert (row["designation"], row["jobs"], row["repeated"]) == ("7320", "1 job", False)
    assert row["edition"] == "edition not recorded"
    see(other)
    (row,) = bearing_rows(read_history(mine.motor))
    assert (row["jobs"], row["motors"], row["repeated"]) == ("2 jobs", "2 motors", True)


def test_a_sound_motor_hears_of_its_bearing_on_other_motors():
    mine = make_job(make_motor())
    signed(mine, Stage.AS_FOUND)
    see(make_job(make_motor()))
    assert [row["jobs"] for row in bearing_rows(read_history(mine.motor))] == ["1 job"]


def test_a_bearing_that_only_an_open_build_has_is_not_told():
    mine, other = make_job(make_motor()), make_job(make_motor())
    see(other)
    record = signed(mine, Stage.AS_BUILT)
    assert bearing_rows(read_history(mine.motor)) == []
    end(mine)
    assert len(bearing_rows(read_history(mine.motor))) == 1
    assert record.job_id == mine.pk


def came_back(job: Job) -> dict[str, object] | None:
    rows = history_context(job.motor, "si")["visits"]
    return next(row["came_back"] for row in rows if row["visit"].pk == job.pk)


def test_the_stack_as_found_is_held_against_the_one_built_on_the_visit_before():
    first, second = visits(2)
    assert came_back(second) is None
    signed(first, Stage.AS_BUILT, "ddu")
    signed(second, Stage.AS_FOUND, "ddu")
    told = came_back(second)
    assert (told["earlier"].number, told["rows"], told["problem"]) == (first.number, [], "")


def test_a_bearing_that_came_back_upside_down_is_told():
    first, second, third = visits(3)
    signed(first, Stage.AS_BUILT, "ddu")
    signed(third, Stage.AS_FOUND, "duu")
    assert "Bearing 2 is upside down" in " ".join(came_back(third)["rows"])
    assert came_back(second) is None


def test_what_the_record_as_found_leaves_open_is_no_difference():
    first, second = visits(2)
    signed(first, Stage.AS_BUILT, items=[bearing_item("b1", "down", "41")])
    plain = bearing_item("b1", "down", "41")
    for name in ("dynamic_rating_n", "ball_count", "pair_preload_n"):
        del plain["data"][name]
    signed(second, Stage.AS_FOUND, items=[plain])
    assert came_back(second)["rows"] == []


def test_a_stack_built_on_an_open_job_is_compared_with_nothing():
    first, second = visits(2)
    reopen(first)
    signed(first, Stage.AS_BUILT)
    signed(second, Stage.AS_FOUND)
    assert came_back(second) is None


def test_a_visit_names_what_was_replaced_and_used():
    (job,) = visits(1)
    actor = actor_for(make_user())
    list_part(actor=actor, job=job, name="Ratchet pins", disposition="replace")
    list_part(actor=actor, job=job, name="Fan", disposition="reuse")
    UsedPart.objects.create(
        job=job, name="7320", quantity=3, designation="set S-1", person_id=actor.person_id, person_name="x"
    )
    (row,) = history_context(job.motor, "si")["visits"]
    assert row["gone"] == ["Ratchet pins: replace"]
    assert row["used"] == ["3 pc 7320 · set S-1"]


def test_figures_are_read_in_the_readers_units_and_keep_their_side_of_the_limit():
    (job,) = visits(1)
    read(job, "end_play", "0.254", unit="mm", limit_high="0.254")
    for units, text, limit in (
        ("si", "0.254\u00a0mm", "max. 0.254\u00a0mm"),
        ("us", "0.01\u00a0in", "max. 0.01\u00a0in"),
    ):
        (row,) = history_context(job.motor, units)["trends"]
        assert row["rows"][0]["cells"][0]["text"] == text
        assert row["limit"] == limit
        assert row["chart"].startswith("<svg")


def test_the_history_costs_the_same_queries_however_many_visits_there_are():
    counts = []
    for many in (1, 6):
        jobs = visits(many)
        for job in jobs:
            read(job, "insulation", "40")
            see(job)
            signed(job, Stage.AS_BUILT)
        with CaptureQueriesContext(connection) as seen:
            history_context(jobs[0].motor, "si")
        counts.append(len(seen))
    # Visits, observations, stacks, readings, seats, used parts, parts replaced, bearings of the shop.
    assert counts == [8, 8]
    assert Observation.objects.count() == 7
