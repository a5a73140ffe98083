"""Ratings of the book copied onto bearings of a record: what stays the piece's own, and what they decide."""

from __future__ import annotations

import pytest

from repairs.work_orders.judging import judge
from repairs.work_orders.services.stack_editing import copy_rating
from tests.repairs.factories import actor_for, make_rating, make_stack_record, make_user

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_copying_a_rating_keeps_what_belongs_to_the_piece():
    record, actor = make_stack_record(), actor_for(make_user())
    rating = make_rating(designation="7322", bore_mm=110, outside_diameter_mm=240, height_mm=50)
    now = copy_rating(actor=actor, record=record, version=1, uid="b2", rating=rating)
    data = now.items[2]["data"]
    assert (data["designation"], data["wide_face"], data["mark"]) == ("7322", "down", "42")
    assert data["source"] == str(rating.source)
    assert now.items[2]["rating_id"] == rating.pk


def test_the_cage_that_the_book_prints_decides_whether_the_oil_is_too_hot():
    record, actor = make_stack_record(faces="d", lubrication={"temperature_c": 125}), actor_for(make_user())
    motor = record.job.motor
    assert "cage-temperature" not in {one.code for one in judge(record, motor, {}).findings}
    rating = make_rating(figures={"cage_material": "polyamide", "temperature_limit_c": 100.0})
    now = copy_rating(actor=actor, record=record, version=1, uid="b1", rating=rating)
    data = now.items[1]["data"]
    assert (data["cage_material"], data["temperature_limit_c"]) == ("polyamide", 100.0)
    (hot,) = [one for one in judge(now, motor, {}).findings if one.code == "cage-temperature"]
    assert (hot.severity, hot.value, hot.limit) == ("stop", 125.0, 100.0)
