"""Damage on the report: what, where, how far, how sure; the cause apart with its evidence; nothing for the shop."""

from __future__ import annotations

import pytest
from django.utils import timezone

from repairs.documents.content.observations import observation_part
from repairs.documents.content.photos import photos_shown
from repairs.documents.content.reader import CANONICAL
from repairs.documents.content.report import report
from repairs.documents.issuing import digest_of
from repairs.documents.rendering import paper_page, render_pdf
from repairs.measurements.observations.services import (
    ObservationEntry,
    record_observation,
    withdraw_observation,
)
from repairs.work_orders.models import Job
from repairs.work_orders.services.pictures import add_photos, withdraw_photo
from tests.repairs.documents.reading import pages_of
from tests.repairs.documents.scenes import drawn_photo, first_photo, job_with_found_stack
from tests.repairs.factories import actor_for, make_user

pytestmark = pytest.mark.django_db
SEEN = {
    "part": "b1", "mode": "5.4.3", "element": "outer", "location": "load zone", "extent": "flutes all around",
    "confidence": "certain", "note": "ask the drive people again", "cause": "shaft current",
    "cause_evidence": "0.9 V across the bearing", "cause_confidence": "likely", "mounted_by_us": "yes",
}  # fmt: skip


def the_job() -> Job:
    return Job.objects.with_motor().get(pk=job_with_found_stack().pk)


def see(job: Job, **fields: object):
    entry = ObservationEntry(**{**SEEN, **fields})
    return record_observation(actor=actor_for(make_user()), job=job, entry=entry)


def test_a_report_without_observations_stays_as_it_was():
    job = the_job()
    assert observation_part(job) == {}
    before = digest_of(report(job, CANONICAL))
    row = see(job)
    assert digest_of(report(job, CANONICAL)) != before
    withdraw_observation(actor=actor_for(make_user()), observation=row, reason="another motor")
    assert digest_of(report(job, CANONICAL)) == before


def test_the_customer_reads_damage_and_cause_apart_and_nothing_of_the_shops_own():
    job = the_job()
    see(job, photo=first_photo(job).pk)
    content = report(job, CANONICAL)
    (row,) = content["observations"]
    assert row["mode"] == "Current leakage erosion (5.4.3)"
    assert (row["place"], row["extent"]) == ("outer ring, load zone", "flutes all around")
    assert (row["cause"], row["evidence"]) == ("shaft current", "0.9 V across the bearing")
    page = paper_page("documents/report.html", {**content, "issued": timezone.now()})
    assert "Damage found" in page
    assert "Suspected cause (likely):" in page
    for word in ("ask the drive people again", "Mounted by this shop"):
        assert word not in page
    assert "mounted" not in row


def test_the_photo_of_an_observation_prints_beside_it_and_its_file_may_be_read():
    job, actor = the_job(), actor_for(make_user())
    (place,) = add_photos(actor=actor, job=job, files=[drawn_photo(30)])
    see(job, photo=place.pk)
    content = report(job, CANONICAL)
    (row,) = content["observations"]
    assert [one["id"] for one in row["photos"]] == [str(place.photo_id)]
    shown = [one["id"] for one in photos_shown({"observations": content["observations"]})]
    assert shown == [str(place.photo_id)]
    withdraw_photo(actor=actor, job_photo=place, reason="blurred")
    assert observation_part(job)["observations"][0]["photos"] == []


def test_the_block_prints(settings):
    job = the_job()
    see(job, photo=first_photo(job).pk)
    see(job, part="b2", mode="none", element="", extent="", cause="", cause_evidence="", cause_confidence="")
    content = report(job, CANONICAL)
    files = {one["file"] for one in photos_shown(content)}
    words = " ".join(pages_of(render_pdf(paper_page("documents/report.html", content), photos=files)))
    for wanted in ("Damage found", "No damage found", "Evidence: 0.9 V across the bearing", "ISO 15243:2017"):
        assert wanted in words
