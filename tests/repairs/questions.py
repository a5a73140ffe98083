"""Questions put to the match, for the tests of its pages. All ratings are invented."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import parse_qs, urlsplit

from django.urls import reverse

from repairs.motors.models import Motor
from repairs.work_orders.models import StackRecord
from tests.repairs.factories import make_job, make_motor, make_rating

FAST = {
    "contact_angle_deg": 40.0,
    "dynamic_rating_n": 216_000.0,
    "static_rating_n": 208_000.0,
    "limiting_speed_rpm": 3_200.0,
}
ASKED = {
    "bore_mm": "100",
    "outside_diameter_mm": "215",
    "height_mm": "47",
    "tolerance_mm": "0",
    "type": "angular_contact_ball",
    "contact_angle_deg": "40",
    "p1": "d",
    "p2": "d",
    "p3": "u",
    "mounting": "vertical",
    "rated_speed_rpm": "1780",
    "down_thrust_n": "30 kN",
    "rotor_weight_n": "2200",
    "radial_load_n": "0",
    "method": "oil_bath",
    "iso_vg": "68",
    "temperature_c": "70",
    "contamination": "slight_contamination",
    "sort": "margin",
}


def rated(designation: str, *, source=None, height: float = 47, variant: str = "", **figures: Any):
    kept = {name: value for name, value in {**FAST, **figures}.items() if value is not None}
    return make_rating(source, designation=designation, variant=variant, height_mm=height, figures=kept)


def words(answer) -> str:
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    text = text.replace("&amp;", "&").replace("&#x27;", "'")
    return re.sub(r"[\s\u00a0\u202f]+", " ", text)


def ask(client, **more: Any):
    typed = {name: value for name, value in {**ASKED, **more}.items() if value is not None}
    return client.get(reverse("office:match"), typed)


def of_record(client, record: StackRecord, **more: Any):
    """Follow the record's own question, and ask it with changes."""
    answer = client.get(reverse("office:match_record", args=[record.job.number, record.pk]))
    typed = {name: values[0] for name, values in parse_qs(urlsplit(answer.url).query).items()}
    return client.get(reverse("office:match"), {**typed, **more})


def complete_job(**plate: Any):
    """Return a job whose motor's oil is known as well."""
    motor = make_motor()
    for key, si in {
        "lubrication": "oil_bath",
        "oil_temperature_c": 70.0,
        "cleanliness": "slight_contamination",
        **plate,
    }.items():
        motor.nameplate[key] = {"state": "read", "typed": str(si), "unit": "", "si": si}
    motor.save()
    return make_job(Motor.objects.get(pk=motor.pk))
