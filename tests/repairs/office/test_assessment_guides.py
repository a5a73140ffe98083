"""Guides and grease on the page of an assessment."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.urls import reverse

from tests.repairs.factories import make_stack_record, make_user

pytestmark = pytest.mark.django_db

GUIDE = {
    "type": "deep_groove_ball", "designation": "6318", "carries": "both", "end_play_um": 300, "bore_mm": 90,
    "outside_diameter_mm": 190, "height_mm": 43, "dynamic_rating_n": 143_000, "static_rating_n": 107_000,
    "limiting_speed_rpm": 5_000, "radial_load_n": 800,
}  # fmt: skip
GREASED = {"lubricant": "grease", "guide_temperature_c": 85, "grease_speed_rpm": 4_000}


def page(client, **own) -> str:
    client.force_login(make_user("technician", units="si"))
    record = make_stack_record(guides=[{"uid": "g", "rating_id": None, "data": {**GUIDE, **own}}])
    answer = client.get(reverse("office:assessment", args=[record.job.number, record.pk]))
    text = unescape(
        re.sub(r"<[^>]+>", " ", re.sub(r"<svg.*?</svg>", " ", answer.content.decode(), flags=re.DOTALL))
    )
    return re.sub(r"\s+", " ", text)


def test_a_guide_is_told_with_what_it_takes_its_speed_and_its_life(client):
    text = page(client)
    assert "g1 6318 floats nothing within end play nothing within end play not checked" in text
    # (143 000 / 800)^3 x 10^6 / (60 x 1 780) h is more than a million
    assert "5,000 rpm 0 N 800 N 800 N over 100,000 h" in text
    assert "Grease life" not in text


def test_grease_life_stands_with_its_factors_and_where_the_rule_comes_from(client):
    text = page(client, **GREASED)
    # 4 690.6 h at 70 degC, a quarter of it at 85 degC on a vertical shaft
    assert "g1 6318 249,000 mm/min 4,690 h 85 °C 0.500 0.500 1,170 h" in text
    assert "from memory, not verified" in text
    assert "Guide g1: grease lasts about 1,170 h" in text
