"""How two records of one job differ, in the words that stop a job."""

from __future__ import annotations

from typing import Any

import pytest

from repairs.work_orders.differing import differences
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.warning_words import called, difference_text
from tests.repairs.factories import bearing_item, make_job, make_stack_record, triple_items

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return make_job()


def two(
    job: Job, before: list[dict[str, Any]], after: list[dict[str, Any]], **more: Any
) -> list[dict[str, str]]:
    """Return the differences of a stack as built to the specified one."""
    guides = more.get("guides", ([], []))
    specified = make_stack_record(job, Stage.SPECIFIED, items=before, guides=guides[0])
    built = make_stack_record(job, more.get("stage", Stage.AS_BUILT), items=after, guides=guides[1])
    found = differences(specified, built)
    kept = ("code", "ref_before", "ref_after")
    return [{name: row[name] for name in kept} | {"text": difference_text(row, "si")} for row in found]


def like(faces: str) -> list[dict[str, Any]]:
    """Bearings that nothing tells apart."""
    found = [one for one in triple_items(faces) if one["data"]["kind"] == "bearing"]
    for one in found:
        del one["data"]["mark"]
    return found


def upside_down(items: list[dict[str, Any]]) -> list[dict[str, Any]]:
    other = {"up": "down", "down": "up"}
    return [
        {**one, "data": {**one["data"], "wide_face": other[one["data"]["wide_face"]]}}
        for one in reversed(items)
    ]


def test_one_bearing_turned_over_is_named_with_both_faces(job):
    assert two(job, triple_items("ddu"), triple_items("duu")) == [
        {
            "code": "turned-over",
            "ref_before": "2",
            "ref_after": "2",
            "text": ("Bearing 2 is upside down. Specified: wide face down. As built: wide face up."),
        }
    ]


def test_a_whole_stack_upside_down_is_said_once_and_of_each_bearing(job):
    marked = [bearing_item(f"b{n}", face, str(40 + n)) for n, face in enumerate(("down", "down", "up"), 1)]
    first, *rows = two(job, marked, upside_down(marked))
    assert first == {
        "code": "turned-over",
        "ref_before": "",
        "ref_after": "",
        "text": "The whole stack is upside down. It now carries up what it carried down.",
    }
    assert {row["code"] for row in rows} == {"turned-over"}
    assert len(rows) == 3


def test_like_bearings_that_read_the_same_both_ways_are_named_with_the_doubt(job):
    (row,) = two(job, like("ddu"), like("duu"))
    assert row["text"].startswith("Bearing 2 is upside down.")
    assert row["text"].endswith(
        "Or the whole stack is upside down: identical bearings without a serial or mark look the same "
        "both ways. Check marks and photos."
    )
    assert "whole stack" not in two(make_job(), triple_items("ddu"), triple_items("duu"))[0]["text"]


def test_bearings_that_changed_places_that_are_missing_and_that_came_in(job):
    one, two_, three = (bearing_item(f"b{n}", "down", str(40 + n)) for n in (1, 2, 3))
    (moved,) = two(job, [one, two_, three], [two_, one, three])
    assert moved["code"] == "moved"
    assert "changed position. Specified: it was bearing" in moved["text"]
    (missing,) = two(make_job(), [one, two_, three], [one, three])
    assert (missing["code"], missing["ref_before"], missing["ref_after"]) == ("missing", "2", "")
    assert missing["text"] == "Bearing 2 (Specified) is missing."
    (added,) = two(make_job(), [one, three], [one, two_, three])
    assert (added["code"], added["ref_before"], added["ref_after"]) == ("added", "", "2")
    assert added["text"] == "Bearing 2 was added. Specified: not on the list."


def test_another_maker_is_named_with_both_values_and_one_left_open_is_not_known(job):
    first, _one, *rest = triple_items()
    other = bearing_item("b1", "down", "41", maker="Maker Z (invented)")
    (row,) = two(job, triple_items(), [first, other, *rest])
    assert row["code"] == "replaced"
    assert "was Maker A (invented), now Maker Z (invented)" in row["text"]
    other = bearing_item("b1", "down", "41", maker=None)
    (row,) = two(make_job(), triple_items(), [first, other, *rest])
    assert "was Maker A (invented), now not known" in row["text"]


LEFT_OPEN = {
    "dynamic_rating_n": None,
    "static_rating_n": None,
    "pair_preload_n": None,
    "limiting_speed_rpm": None,
}


def test_ratings_that_a_stack_as_built_leaves_open_are_no_difference_and_those_that_it_states_are(job):
    def first_with(**data: Any) -> list[dict[str, Any]]:
        return [triple_items()[0], bearing_item("b1", "down", "41", **data), *triple_items()[2:]]

    assert two(job, triple_items(), first_with(**LEFT_OPEN)) == []
    (row,) = two(make_job(), triple_items(), first_with(**LEFT_OPEN), stage=Stage.AS_FOUND)
    assert row["code"] == "not-shown"
    (row,) = two(make_job(), triple_items(), first_with(**{**LEFT_OPEN, "static_rating_n": 190_000}))
    assert row["code"] == "rating-changed"
    assert "190" in row["text"]


def test_a_guide_is_called_a_guide(job):
    def held(maker: str) -> list[dict[str, Any]]:
        data = {
            "kind": "bearing", "type": "deep_groove_ball", "designation": "6318", "carries": "up", "maker": maker,
            "bore_mm": 90, "outside_diameter_mm": 190, "height_mm": 43,
        }  # fmt: skip
        return [{"uid": "g", "rating_id": None, "data": data}]

    (row,) = two(
        job, triple_items(), triple_items(), guides=(held("Maker A (invented)"), held("Maker Z (invented)"))
    )
    assert row["text"].startswith("Guide 1 does not match guide 1 (Specified)")
    assert [called(ref) for ref in ("g2", "3", "a", None)] == ["guide 2", "bearing 3", "part a", "part "]


def test_what_lies_beside_the_list_of_a_job_without_a_plate_can_still_be_compared(job):
    motor = job.motor
    motor.nameplate = {}
    motor.save()
    specified = make_stack_record(job, Stage.SPECIFIED)
    built = StackRecord.objects.get(pk=make_stack_record(job, Stage.AS_BUILT, "duu").pk)
    assert [row["code"] for row in differences(specified, built)] == ["turned-over"]


def test_a_difference_is_kept_in_figures_and_said_in_the_units_of_whoever_reads_it(job):
    def with_spacer(height_mm: float) -> list[dict[str, Any]]:
        data = {"kind": "spacer", "ring": "inner", "height_mm": height_mm}
        return [*triple_items(), {"uid": "s", "rating_id": None, "data": data}]

    specified = make_stack_record(job, Stage.SPECIFIED, items=with_spacer(12.0))
    (row,) = differences(specified, make_stack_record(job, Stage.AS_BUILT, items=with_spacer(12.7)))
    assert "text" not in row
    assert "was 12 mm, now 12.7 mm" in difference_text(row, "si").replace("\u00a0", " ")
    assert "was 0.4724 in, now 0.5000 in" in difference_text(row, "us").replace("\u00a0", " ")


def test_what_the_rounding_for_the_eye_would_hide_is_told_in_full(job):
    def rated(static_rating_n: float) -> list[dict[str, Any]]:
        data = {**triple_items()[1]["data"], "static_rating_n": static_rating_n}
        return [triple_items()[0], {"uid": "b1", "rating_id": None, "data": data}, *triple_items()[2:]]

    specified = make_stack_record(job, Stage.SPECIFIED, items=rated(190_000.1))
    (row,) = differences(specified, make_stack_record(job, Stage.AS_BUILT, items=rated(190_000.4)))
    assert "was 190000.1, now 190000.4" in difference_text(row, "us")


def test_a_row_of_a_former_version_is_read_as_it_was_written():
    row = {"code": "moved", "ref_before": "1", "ref_after": "2", "text": "Bearing 2 changed position."}
    assert difference_text(row, "us") == "Bearing 2 changed position."
