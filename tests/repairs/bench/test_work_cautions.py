"""Cautions stand where the work happens: teardown, recorder, dry layout, heating; all of them defer to local codes."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.documents.content.papers import job_tag
from repairs.documents.content.reader import CANONICAL
from repairs.motors.thrust_words import CAUTIONS as THRUST_CAUTIONS
from repairs.work_orders.cautions import CAUTIONS, GOVERNS, cautions_at_stage, cautions_for
from repairs.work_orders.models import Stage, StepKind
from tests.repairs.factories import make_job, make_user

pytestmark = pytest.mark.django_db
TEARDOWN = {
    "de-energized before leads come off",
    "Rig motor and rotor",
    "Oil stays trapped",
    "Heat burns skin",
    "Springs and snap rings can fly off",
}


def told(kind: str) -> dict[str, str]:
    return {str(one.text): one.signal for one in cautions_for(kind)}


@pytest.mark.parametrize("words", sorted(TEARDOWN))
def test_teardown_names_each_of_its_hazards_as_a_warning_or_worse(words):
    signals = [signal for text, signal in told(StepKind.STRIP_RECORD).items() if words in text]
    assert signals
    assert set(signals) <= {"danger", "warning"}


@pytest.mark.parametrize("kind", [StepKind.STRIP_RECORD, StepKind.LAY_OUT, StepKind.MOUNT])
def test_stored_spring_energy_is_a_warning_wherever_springs_are_handled(kind):
    assert any(one.signal == "warning" and "spring" in str(one.hazard) for one in CAUTIONS[kind])


def test_heating_names_burns_gloves_flame_and_the_pacemaker():
    text = " ".join(told(StepKind.MOUNT))
    for words in ("burns", "gloves", "never with a flame", "pacemaker", "common practice"):
        assert words in text


def test_the_recorder_shows_the_cautions_of_its_stage(client):
    client.force_login(make_user("technician"))
    job = make_job()
    page = client.get(reverse("bench:stack", args=[job.number, "as_found"])).content.decode()
    for words in TEARDOWN | {"ocal codes"}:
        assert words.replace("'", "&#x27;") in page, words
    client.post(reverse("bench:stack_start", args=[job.number, "as_found"]), {"seen": "0", "copy": ""})
    page = client.get(reverse("bench:stack", args=[job.number, "as_found"])).content.decode()
    for words in TEARDOWN | {"ocal codes"}:
        assert words in page, words
    assert cautions_at_stage(Stage.AS_BUILT) == CAUTIONS[StepKind.MOUNT]
    assert cautions_at_stage(Stage.SPECIFIED) == ()


def test_the_layout_shows_its_cautions(client):
    client.force_login(make_user("technician"))
    page = client.get(reverse("bench:lay_out", args=[make_job().number])).content.decode()
    assert "Springs and snap rings can fly off" in page
    assert "ocal codes" in page


def test_the_gravest_caution_comes_first():
    grave = ["danger", "warning", "caution", "notice"]
    for kind, rows in CAUTIONS.items():
        assert [one.signal for one in rows] == sorted((one.signal for one in rows), key=grave.index), kind


def test_tag_and_thrust_sheet_defer_to_local_codes_too():
    for text in (str(GOVERNS), job_tag(make_job(), CANONICAL)["governs"], str(THRUST_CAUTIONS[-1][1])):
        assert "ocal codes" in text
        assert "licensed p" in text
        assert "manufacturer" in text
