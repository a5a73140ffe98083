"""One final row of every table that has some."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db import models
from django.utils import timezone

from bearings.public import StoredAssessment
from repairs.documents.models import IssuedDocument, PaperRevision, PrivateLink, ReportReview, StartUpRecord
from repairs.ledger.models import Event
from repairs.measurements.models import Observation, Reading, RunFactor, RunRow, SeatRecord, TestRecord
from repairs.motors.models import ThrustSheet
from repairs.work_orders.models import AcceptedFinding, BearingLook, Override, Pickup, SignOff
from tests.repairs.factories import make_job, make_motor, make_stack_record, make_user


def event() -> models.Model:
    return Event.objects.get(verb="job.opened", job_number=make_job().number)


def document(**fields: Any) -> models.Model:
    texts = {"kind": "traveler", "paper": "letter", "language": "en", "units": "us", "content_hash": "0" * 64}
    rest = {
        "revision": 1,
        "content": {},
        "file": "papers/1.pdf",
        "code": "CODE1",
        "issued_at": timezone.now(),
    }
    return IssuedDocument.objects.create(job=make_job(), issued_by=make_user(), **{**texts, **rest, **fields})


def revision() -> models.Model:
    return PaperRevision.objects.create(job=make_job(), kind="traveler", content_hash="d", revision=1)


def review() -> models.Model:
    by = make_user("lead")
    return ReportReview.objects.create(
        job=make_job(), facts_hash="d", reviewed_by=by, reviewer_name=str(by), reviewed_at=timezone.now()
    )


def start_up() -> models.Model:
    job = make_job()
    link = PrivateLink.objects.create(
        job=job, token_hash="t" * 64, made_by=make_user(), expires_at=timezone.now()
    )
    return StartUpRecord.objects.create(
        job=job, link=link, key="k", body_hash="b", name="R. Haas", done_on=timezone.localdate(),
        entries={"rotation": {"choice": "ccw"}}, at=timezone.now(),
    )  # fmt: skip


def assessment() -> models.Model:
    return StoredAssessment.objects.create(engine_version="1", stack={}, answer={})


def signed_record() -> models.Model:
    by = make_user()
    return make_stack_record(state="signed", signed_at=timezone.now(), signed_by=by)


def accepted() -> models.Model:
    by = make_user("lead")
    return AcceptedFinding.objects.create(
        record=make_stack_record(), code="margin", reason="seen", person=by, person_name=str(by)
    )


def sign_off() -> models.Model:
    by = make_user()
    return SignOff.objects.create(step=make_job().steps.first(), person=by, person_name=str(by))


def thrust_sheet() -> models.Model:
    by = make_user("engineer")
    return ThrustSheet.objects.create(
        motor=make_motor(), saved_by=str(by), signed_at=timezone.now(), signed_by=by, signed_name=str(by)
    )


def reading() -> models.Model:
    by = make_user()
    return Reading.objects.create(
        job=make_job(),
        quantity="end play",
        value=1,
        unit="mm",
        verdict="pass",
        person=by,
        person_name=str(by),
    )


def shop_test() -> models.Model:
    by = make_user()
    return TestRecord.objects.create(
        job=make_job(), moment="as_found", test="insulation", verdict="pass", person=by, person_name=str(by)
    )


def observation() -> models.Model:
    by = make_user()
    return Observation.objects.create(
        job=make_job(), part_name="fan", mode="none", confidence="certain", person=by, person_name=str(by)
    )


def run_row() -> models.Model:
    by, job = make_user(), make_job()
    return RunRow.objects.create(
        job=job, step=job.steps.first(), minute=0, values={}, person=by, person_name=str(by)
    )


def run_factor() -> models.Model:
    by = make_user("engineer")
    return RunFactor.objects.create(
        family="angular_contact_ball/oil_bath", median=1, low=1, high=1, accepted_by=by, accepted_name=str(by)
    )


def seat(**fields: Any) -> models.Model:
    by = make_user()
    texts = {"moment": "as_found", "place": "mount", "limits_from": "none", "unit": "mm", "verdict": "fail"}
    signed = {"signed_at": timezone.now(), "signed_name": str(by), "nominal_mm": 100}
    job = fields.pop("job", None) or make_job()
    return SeatRecord.objects.create(job=job, person=by, person_name=str(by), **{**texts, **signed, **fields})


def look() -> models.Model:
    by = make_user()
    return BearingLook.objects.create(
        record=make_stack_record(), uid="b1", face="down", person=by, person_name=str(by)
    )


def override() -> models.Model:
    lead, second, job = make_user("lead"), make_user("lead"), make_job()
    return Override.objects.create(
        job=job, step=job.steps.first(), act="skip", reason="said in own words", lead=lead, lead_name=str(lead),
        lead_session="s", second=second, second_name=str(second), confirmed_at=timezone.now(),
    )  # fmt: skip


def pickup() -> models.Model:
    by = make_user("office")
    return Pickup.objects.create(
        job=make_job(), left_on=timezone.now().date(), signed_by="J. Doe", person=by, person_name=str(by)
    )


ROWS: dict[str, Callable[[], models.Model]] = {
    "ledger.Event": event,
    "documents.IssuedDocument": document,
    "documents.PaperRevision": revision,
    "documents.ReportReview": review,
    "documents.StartUpRecord": start_up,
    "bearings.StoredAssessment": assessment,
    "work_orders.StackRecord": signed_record,
    "work_orders.AcceptedFinding": accepted,
    "work_orders.SignOff": sign_off,
    "work_orders.BearingLook": look,
    "work_orders.Override": override,
    "work_orders.Pickup": pickup,
    "motors.ThrustSheet": thrust_sheet,
    "measurements.Reading": reading,
    "measurements.SeatRecord": seat,
    "measurements.TestRecord": shop_test,
    "measurements.Observation": observation,
    "measurements.RunRow": run_row,
    "measurements.RunFactor": run_factor,
}
