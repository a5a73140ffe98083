"""Observations at the bench: reached from the step, entered by a form, refused beside the field, corrected."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from repairs.measurements.models import Observation
from repairs.measurements.observations.services import ObservationEntry, record_observation
from repairs.people.models import User
from repairs.work_orders.models import Job, Stage, StepKind
from repairs.work_orders.services.pictures import add_photos
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file
from tests.repairs.signed_stacks import with_photo

pytestmark = pytest.mark.django_db


@pytest.fixture
def worker() -> User:
    return make_user()


@pytest.fixture
def job() -> Job:
    found = make_job()
    make_stack_record(found, Stage.AS_FOUND)
    return found


@pytest.fixture
def shop(client: Client, worker: User) -> Client:
    client.force_login(worker)
    return client


def typed(**fields: str) -> dict[str, str]:
    return {
        "form_key": "k1", "do": "keep", "part": "b1", "mode": "5.1.2", "element": "outer", "confidence": "likely",
        "load_zone_deg": "150", "extent": "one flake, 6 mm", "photo": "", **fields,
    }  # fmt: skip


def new(job: Job) -> str:
    return reverse("bench:new_observation", args=[job.number])


def listing(job: Job) -> str:
    return reverse("bench:observations", args=[job.number])


def page_of(answer: Any) -> str:
    return answer.content.decode()


def test_the_step_of_observations_leads_to_them_and_says_how_far_they_are(shop, job):
    position = job.steps.get(kind=StepKind.OBSERVE).position
    job.steps.filter(position__lt=position).update(state="done")
    url = reverse("bench:job", args=[job.number])
    assert "none recorded" in page_of(shop.get(url))
    assert shop.post(new(job), typed()).status_code == 302
    page = page_of(shop.get(url))
    assert listing(job) in page
    assert "1 recorded" in page


def test_the_signed_stack_as_found_leads_to_them(shop, job, worker):
    from repairs.work_orders.services.stack_signing import sign_record

    record = with_photo(job.stack_records.get())
    sign_record(actor=actor_for(worker), record=record, version=record.version)
    page = page_of(shop.get(reverse("bench:stack", args=[job.number, "as_found"])))
    assert listing(job) in page


def test_the_list_names_the_parts_of_the_stack_and_the_form_begins_with_the_chosen_one(shop, job):
    page = page_of(shop.get(listing(job)))
    assert "Bearing 1, 7320 · 40°, mark 41" in page
    assert f"{new(job)}?part=b2" in page
    form = page_of(shop.get(new(job) + "?part=b2"))
    assert '<option value="b2" selected>' in form
    assert "They start under the surface." in form
    assert "from memory, unverified" in form
    assert '<option value="" selected>' in page_of(shop.get(new(job) + "?part=elsewhere"))


def test_an_observation_is_kept_once_at_the_step_of_its_page(shop, job):
    step = job.steps.get(kind=StepKind.OBSERVE)
    for _twice in range(2):
        answer = shop.post(new(job), typed(made_step=str(step.pk)))
        assert (answer.status_code, answer.url) == (302, listing(job))
    row = Observation.objects.get()
    assert (row.step, row.item_uid, row.load_zone_deg) == (step, "b1", 150)
    page = page_of(shop.get(listing(job)))
    assert "outer ring, load zone 150°" in page
    assert "pick--done" in page


def test_a_refusal_stands_beside_its_field_with_everything_that_was_typed(shop, job):
    answer = shop.post(new(job), typed(cause="overloaded"))
    page = page_of(answer)
    assert answer.status_code == 422
    assert "Enter the evidence for this cause" in page
    assert 'id="id_cause_evidence_error"' in page
    assert "one flake, 6 mm" in page
    assert not Observation.objects.exists()
    assert shop.post(new(job), typed(load_zone_deg="400")).status_code == 422
    assert shop.post(new(job), typed(mode="")).status_code == 422


def test_a_photo_is_chosen_from_those_of_the_job(shop, job, worker):
    assert "No photo to choose yet." in page_of(shop.get(new(job)))
    (place,) = add_photos(actor=actor_for(worker), job=job, files=[picture_file()], caption="flake")
    page = page_of(shop.get(new(job)))
    assert reverse("photo_file", args=[place.photo_id, "thumbnail"]) in page
    assert shop.post(new(job), typed(photo=str(place.pk))).status_code == 302
    assert Observation.objects.get().photo == place


def recorded(job: Job, worker: User, **fields: str) -> Observation:
    values = {"part": "b1", "mode": "5.1.2", "element": "outer", "confidence": "likely", **fields}
    return record_observation(actor=actor_for(worker), job=job, entry=ObservationEntry(**values))


def test_a_correction_is_typed_over_the_first_and_asks_for_its_reason(shop, job, worker):
    first = recorded(job, worker, extent="one flake")
    url = reverse("bench:correct_observation", args=[job.number, first.pk])
    assert "one flake" in page_of(shop.get(url))
    assert shop.post(url, typed(reason=" ")).status_code == 422
    assert shop.post(url, typed(reason="lens", mode="5.1.3", form_key="k2")).status_code == 302
    assert Observation.objects.standing().get().mode == "5.1.3"
    page = page_of(shop.get(url))
    assert "Open the newer observation" in page
    assert "Save correction" not in page


def test_an_observation_is_withdrawn_with_a_reason_alone(shop, job, worker):
    url = reverse("bench:correct_observation", args=[job.number, recorded(job, worker).pk])
    assert shop.post(url, {"form_key": "w", "do": "withdraw", "reason": ""}).status_code == 422
    answer = shop.post(url, {"form_key": "w2", "do": "withdraw", "reason": "bearing of another motor"})
    assert answer.status_code == 302
    assert not Observation.objects.standing().exists()


def test_an_observation_of_another_job_is_not_found(shop, job, worker):
    other = make_stack_record(make_job(), Stage.AS_FOUND).job
    row = recorded(other, worker)
    assert shop.get(reverse("bench:correct_observation", args=[job.number, row.pk])).status_code == 404


def test_an_entry_from_a_tablet_is_answered_and_sent_once(shop, job, worker):
    headers = {"HTTP_X_OUTBOX": "later", "HTTP_X_OUTBOX_PERSON": str(worker.pk)}
    for _twice in range(2):
        answer = shop.post(new(job), typed(), **headers)
        assert json.loads(answer.content)["state"] == "done"
    assert Observation.objects.count() == 1
    refused = shop.post(new(job), typed(mode="", form_key="k9"), **headers)
    assert json.loads(refused.content)["state"] == "refused"


def test_the_list_costs_the_same_however_long_it_is(shop, job, worker):
    counts = []
    for _more in range(2):
        for _n in range(3):
            recorded(job, worker)
        with CaptureQueriesContext(connection) as seen:
            shop.get(listing(job))
        counts.append(len(seen))
    assert counts[0] == counts[1] <= 6
