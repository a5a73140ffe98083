"""What a record as built leaves open, and what of it is a difference to the specified stack all the same."""

from __future__ import annotations

from typing import Any

import pytest

from repairs.work_orders.differing import differences
from repairs.work_orders.models import Stage
from repairs.work_orders.warning_words import alert_text, difference_text
from tests.repairs.factories import make_job, make_stack_record, triple_items

pytestmark = pytest.mark.django_db


def codes(
    before: list[dict[str, Any]], after: list[dict[str, Any]], stage: str = Stage.AS_BUILT
) -> list[str]:
    job = make_job()
    specified = make_stack_record(job, Stage.SPECIFIED, items=before)
    return [row["code"] for row in differences(specified, make_stack_record(job, stage, items=after))]


def with_bearing(**values: Any) -> list[dict[str, Any]]:
    items = triple_items("ddu")
    items[2]["data"] |= values
    for name in [name for name, value in items[2]["data"].items() if value is None]:
        del items[2]["data"][name]
    return items


def with_part(kind: str, **values: Any) -> list[dict[str, Any]]:
    items = triple_items("ddu")
    items.insert(2, {"uid": "p", "rating_id": None, "data": {"kind": kind, "ring": "both", **values}})
    return items


SEEN = {"designation": "7320", "maker": "Maker A (invented)", "variant": "C3", "serial": "0417"}


@pytest.mark.parametrize("name", SEEN)
def test_what_is_seen_on_a_bearing_is_a_difference_when_left_open(name):
    assert codes(with_bearing(**SEEN), with_bearing(**{**SEEN, name: None})) != []


@pytest.mark.parametrize("name", ["ball_count", "pair_preload_n", "static_rating_n"])
def test_what_nobody_sees_at_the_mount_may_be_left_open_as_built_and_not_as_specified_anew(name):
    known, open_ = with_bearing(**{name: 13}), with_bearing(**{name: None})
    assert codes(known, open_) == []
    assert codes(known, open_, Stage.AS_FOUND) != []


def test_the_ring_of_a_part_is_a_difference_when_left_open():
    without = with_part("spacer", height_mm=12.0)
    del without[2]["data"]["ring"]
    assert codes(with_part("spacer", height_mm=12.0), without) != []


@pytest.mark.parametrize("kind", ["spacer", "shim"])
@pytest.mark.parametrize("name", ["height_mm", "inner_height_mm", "outer_height_mm"])
def test_a_spacer_or_shim_that_was_not_measured_is_not_the_specified_one(kind, name):
    assert codes(with_part(kind, **{name: 12.0}), with_part(kind)) != []
    assert codes(with_part(kind, **{name: 12.0}), with_part(kind, **{name: 12.0})) == []


def test_the_height_of_another_part_may_be_left_open():
    assert codes(with_part("snap_ring", height_mm=3.0), with_part("snap_ring")) == []


def test_a_value_that_is_no_size_is_told_with_its_sign():
    job = make_job()
    before = make_stack_record(job, Stage.SPECIFIED, items=with_bearing(contact_angle_deg=40.0))
    after = make_stack_record(job, Stage.AS_BUILT, items=with_bearing(contact_angle_deg=30.0))
    texts = [difference_text(row, "us") for row in differences(before, after)]
    assert any("40°" in text and "30°" in text for text in texts), texts


def test_an_alert_of_an_earlier_version_keeps_its_words():
    assert alert_text({"text": "Bearing 2 is upside down."}, "us") == "Bearing 2 is upside down."  # type: ignore[typeddict-item]
