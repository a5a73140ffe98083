"""Load sharing, springs and duty on the page of an assessment: shown where they were asked, and only there."""

from __future__ import annotations

import json

import pytest

from bearings.models import StoredAssessment
from tests.repairs.factories import make_stack_record, make_user, triple_items
from tests.repairs.office.test_assessments import address, sign, stack_file, upload, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def reader(client):
    client.force_login(make_user("technician", units="si"))
    return client


def sharing_file(**motor) -> dict:
    """The triple with balls counted, preload and stand-outs known."""
    balls = {"ball_count": 13, "ball_diameter_mm": 34.925, "pair_preload_n": 6_000, "contact_angle_deg": 25}
    entries = [dict(entry["data"]) for entry in triple_items()]
    bearings = [one for one in entries if one["kind"] == "bearing"]
    for one, stand_out in zip(bearings, (0, 14, 0), strict=True):
        one |= {**balls, "stand_out_um": stand_out, "height_mm": 47}
    duty = {"rated_speed_rpm": 1780, "down_thrust_n": 30000, "rotor_weight_n": 2200, "radial_load_n": 0}
    return stack_file(motor=duty | motor, items=entries)


def shown(client, data: dict) -> str:
    return words(upload(client, json.dumps(data).encode()))


def test_two_models_stand_side_by_side_where_they_differ(reader):
    text = shown(reader, sharing_file())
    assert "The two load-sharing models differ by more than 5%" in text
    assert "constant contact angle rising contact angle difference" in text
    assert "Groove radii are assumed" in text
    assert "one carries all at" in text
    assert "ring overlap" in text


def test_growth_and_duty_are_shown_when_they_are_asked(reader):
    parts = [
        {"share": 0.75, "speed_rpm": 1780, "down_thrust_n": 30000},
        {"share": 0.25, "speed_rpm": 1200, "down_thrust_n": 12000},
    ]
    text = shown(reader, sharing_file(shaft_warmer_k=12, duty=parts))
    assert "Preload change with the shaft +12 K vs. housing" in text
    assert "Life over the duty" in text
    # 0.75 x 1 780 + 0.25 x 1 200 = 1,635 rpm
    assert "mean speed 1,635 rpm" in text
    assert "2 parts, see Duty" in text


def test_nothing_is_headed_that_was_not_asked(reader):
    data = stack_file()
    for one in data["items"]:
        one.pop("ball_count", None)
        one.pop("pair_preload_n", None)
    text = shown(reader, data)
    for heading in (
        "Load sharing",
        "Mismatch in tandem:",
        "Thermal growth and fit",
        "Springs and guide",
        "Life over",
    ):
        assert heading not in text.partition("Working")[0].replace("Load sharing:", "")


def test_springs_and_guide_are_shown_case_by_case(reader):
    roller = {
        "kind": "bearing",
        "type": "spherical_roller_thrust",
        "wide_face": "down",
        "spring_force_n": 8000,
        "spring_rate_n_per_mm": 2000,
        "spring_travel_mm": 1.5,
    }
    guide = {"type": "deep_groove_ball", "carries": "up", "end_play_um": 0, "limiting_speed_rpm": 5000}
    text = shown(reader, stack_file(items=[roller], guides=[guide]))
    # Solid from 8 000 + 2 000 x 1.5 N; under the rotor's 2,200 N the guide holds 5,800 N (statics).
    assert "solid at a thrust of 11,000 N" in text
    assert "uncoupled 8,000 N 5,800 N 0 mm not solid" in text
    assert "Guide g1 carries at most 5,800 N" in text


def test_an_answer_kept_before_there_was_load_sharing_is_still_shown(reader):
    record = sign(make_stack_record())
    answer = dict(record.assessment.answer)
    del answer["sharing"]
    StoredAssessment.objects.filter(pk=record.assessment.pk).update(answer=answer)
    assert reader.get(address(record)).status_code == 200
