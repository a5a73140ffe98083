"""The commissioning sheet on paper: what is asked of which motor, beside the limits and the shop's own values."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.utils import timezone

from repairs.documents.content.reader import Reader
from repairs.documents.content.start_up import start_up
from repairs.documents.models import IssuedDocument
from repairs.documents.services import issue_document
from repairs.documents.serving import standing
from repairs.documents.site_fields import FIELDS, asked_of
from repairs.measurements.models import TestSetting
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.motors.models import Motor
from repairs.work_orders.models import Job, StepKind
from tests.repairs.documents.reading import pages_of, stored
from tests.repairs.documents.scenes import job_with_found_stack, specify
from tests.repairs.factories import actor_for, make_motor, make_user
from tests.repairs.measurements.gate_readings import plain_job, plate, step_of

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def content(job: Job, units: str = "si") -> dict[str, Any]:
    told = start_up(Job.objects.with_motor().get(pk=job.pk), Reader("en", "us" if units == "us" else "si"))
    return json.loads(json.dumps(told, ensure_ascii=False).replace("\u00a0", " "))


def rows_of(job: Job, units: str = "si") -> dict[str, dict[str, Any]]:
    return {row["code"]: row for section in content(job, units)["sections"] for row in section["rows"]}


def codes_of(build: str = Motor.Build.VERTICAL_HOLLOW, **fields: tuple[str, str, Any]) -> set[str]:
    motor = make_motor(build=build, nameplate=plate(**fields))
    return {field.code for field in asked_of(motor)}


def test_what_the_plate_does_not_rule_out_is_asked():
    assert {"ratchet", "coupling", "rotation", "ir", "oil_top_standing", "oil_top_running"} <= codes_of()
    assert "oil_low_running" not in codes_of()
    assert "oil_low_running" in codes_of(oil_capacity_bottom_l=("2", "l", 2.0))
    assert "ratchet" not in codes_of(non_reverse=("no", "", "no"))
    assert not {"ratchet", "coupling"} & codes_of(Motor.Build.HORIZONTAL)


def test_codes_fit_and_are_unique():
    assert len({field.code for field in FIELDS}) == len(FIELDS)


def test_limits_plate_and_the_shops_values_stand_beside_the_blanks():
    job = plain_job(voltage_v=("460", "V", 460), rotation=("ccw", "", "ccw"))
    TestSetting.objects.create(key="insulation.method", value="ten_degree", entered_name="shop")
    entry = TestEntry(test="insulation", values={"r_1min": 500, "winding_c": 40})
    record_test(actor=actor_for(make_user()), job=job, step=step_of(job, StepKind.FINAL_TEST), entry=entry)
    rows = rows_of(job)
    assert (rows["ir"]["known"], rows["ir"]["left"], rows["ir"]["unit"]) == ("at least 5 MΩ", "500 MΩ", "MΩ")
    assert "IEEE 43-2013" in rows["ir"]["source"]
    assert (rows["rotation"]["known"], rows["rotation"]["source"]) == (
        "counterclockwise (CCW)",
        "nameplate",
    )
    assert rows["oil_top_standing"]["boxes"] == ["below mark", "at mark", "above mark"]
    assert rows_of(job, "us")["site_top_c"]["unit"] == "°F"


def test_a_limit_that_nobody_knows_is_said_to_be_unknown():
    row = rows_of(plain_job())["site_vib_top_0"]
    assert (row["known"], row["unknown"]) == ("", True)
    assert not rows_of(plain_job())["site_ambient"]["unknown"]


def test_frequencies_come_from_the_stored_answer_at_the_plates_speed():
    """A 7320 with 13 balls: 5.396 x 1780 / 60 = 160.1 Hz by the stored order of the outer ring."""
    job = job_with_found_stack()
    assert content(job)["frequencies"] == []
    record = specify(job)
    lines = [one for one in record.assessment.answer["working"] if one["topic"] == "passing"]
    rows = content(job)["frequencies"]
    assert [row["bearing"][:2] for row in rows] == list(dict.fromkeys(f"{one['ref']}:" for one in lines))
    outer = next(one["value"] for one in lines if one["symbol"] == "outer")
    assert float(rows[0]["outer"]) == pytest.approx(outer * 1780 / 60, rel=5e-4)


def test_unknown_frequencies_are_said_and_cautions_never_promise_safety():
    job = job_with_found_stack()
    document = issue_document(
        actor=actor_for(make_user("office")), job=Job.objects.with_motor().get(pk=job.pk), kind="start_up",
        paper="letter", language="en", units="us", now=timezone.now(),
    )  # fmt: skip
    words = " ".join(pages_of(stored(document))).replace("\xa0", " ")
    for text in (
        "Commissioning sheet", "DANGER", "Lock out", "qualified-person rules", "does not say that a motor may be",
        "Rotation, as seen from the top", "Coupling bolted for upthrust", "Not known: the balls",
    ):  # fmt: skip
        assert text in words
    assert " safe" not in words.lower()
    assert standing(IssuedDocument.objects.with_job().get(pk=document.pk))["state"] == "current"
