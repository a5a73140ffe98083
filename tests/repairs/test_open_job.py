"""The guard of an ended job: every service is walked, and refuses unless it is listed as what an ended job takes."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from types import ModuleType
from typing import Any, Final

import pytest
from django.utils import timezone

from repairs.documents import reports
from repairs.documents import services as documents
from repairs.documents.content.reader import CANONICAL
from repairs.documents.models import DocumentKind, IssuedDocument
from repairs.documents.reports import read_report
from repairs.ledger.models import Event
from repairs.ledger.services import Actor
from repairs.measurements import limit_services, seat_services
from repairs.measurements import services as readings
from repairs.measurements.models import Observation, RunRow, StandingLimit, TestRecord
from repairs.measurements.observations import services as observations
from repairs.measurements.shop_tests import run_services, shop_services
from repairs.measurements.shop_tests import services as shop_tests
from repairs.photos.models import Mark, Photo
from repairs.work_orders.models import (
    HandOver,
    Job,
    JobPhoto,
    OutsideService,
    Override,
    StackRecord,
    Stage,
    Step,
    StrippedPart,
    UsedPart,
    WorkPeriod,
)
from repairs.work_orders.open_job import JobEndedError
from repairs.work_orders.services import (
    holds,
    job_motor,
    laying_out,
    opening,
    overrides,
    pictures,
    route,
    second_looks,
    stack_answering,
    stack_approving,
    stack_changes,
    stack_editing,
    stack_matching,
    stack_signing,
    taking_back,
    work,
)
from repairs.work_orders.services.question_answers import answer_question as answer
from tests.repairs.factories import (
    TODAY,
    actor_for,
    bearing_item,
    make_job,
    make_rating,
    make_stack_record,
    make_user,
    picture_file,
)
from tests.repairs.measurements.seats import LOW, entry
from tests.repairs.signed_stacks import with_photo
from tests.repairs.walked_services import INSIDE, MODULES, OF_NO_JOB, TAKEN

pytestmark = pytest.mark.django_db

TESTED: Final = shop_tests.TestEntry(test="insulation", values={"r_1min": 300.0, "winding_c": 40.0})
READ: Final = run_services.RowEntry(time="0", values={"run_top": 22.0})

SEEN: Final = observations.ObservationEntry(part_name="fan", mode="5.2.2", confidence="likely")


@dataclass
class Scene:
    """A job with a row of everything that a service can change."""

    job: Job
    actor: Actor
    other: Actor
    step: Step
    signed: Step
    found: StackRecord
    specified: StackRecord
    photo: JobPhoto
    mark: Mark
    note: HandOver
    part: StrippedPart
    used: UsedPart
    outside: OutsideService
    period: WorkPeriod
    reading: Any
    test: TestRecord
    observation: Observation
    row: RunRow
    seat: Any
    failed_seat: Any


def scene() -> Scene:
    job, actor, other = make_job(), actor_for(make_user("lead")), actor_for(make_user("lead"))
    signed, step = job.steps.order_by("position")[:2]
    route.sign_off(actor=actor, step=signed)
    found = with_photo(make_stack_record(job, Stage.AS_FOUND))
    photo = pictures.add_photos(actor=actor, job=job, files=[picture_file()])[0]
    seat = seat_services.record_seat(actor=actor, job=job, entry=entry())
    failed = seat_services.record_seat(
        actor=actor, job=job, entry=entry(LOW, name="other", confirmed=True), sign=True
    )
    return Scene(
        job=job,
        actor=actor,
        other=other,
        step=step,
        signed=signed,
        found=found,
        specified=make_stack_record(job, Stage.SPECIFIED),
        photo=photo,
        mark=pictures.place_mark(actor=actor, job_photo=photo, x=0.5, y=0.5, label="crack"),
        note=holds.write_hand_over(actor=other, job=job, done="stripped"),
        part=work.list_part(actor=actor, job=job, name="fan"),
        used=work.use_part(actor=actor, job=job, name="oil", quantity=Decimal(1)),
        outside=work.send_out(actor=actor, job=job, what="balance", sent_to="B", sent_on=TODAY),
        period=work.start_work(actor=other, step=step),
        reading=readings.record_reading(
            actor=actor, job=job, quantity="end play", value=Decimal(1), unit="mm"
        ),
        test=shop_tests.record_test(actor=actor, job=job, step=step, entry=TESTED),
        observation=observations.record_observation(actor=actor, job=job, entry=SEEN),
        row=run_services.add_row(actor=actor, job=job, step=step, run=1, entry=READ),
        seat=seat,
        failed_seat=failed,
    )


def _record(one: Scene, which: str = "found", **more: Any) -> dict[str, Any]:
    record = getattr(one, which)
    return {"actor": one.actor, "record": record, "version": record.version, **more}


Call = Callable[[Scene], Any]
CALLS: Final[dict[str, Call]] = {
    "holds.hold_job": lambda s: holds.hold_job(actor=s.actor, job=s.job, waits_for="parts", reason="x"),
    "holds.release_job": lambda s: holds.release_job(actor=s.actor, job=s.job),
    "holds.write_hand_over": lambda s: holds.write_hand_over(actor=s.actor, job=s.job, done="x"),
    "holds.accept_hand_over": lambda s: holds.accept_hand_over(actor=s.actor, hand_over=s.note),
    "laying_out.check_lay_out": lambda s: laying_out.check_lay_out(
        actor=s.actor, job=s.job, seen_revision=1, seen={}
    ),
    "opening.change_job": lambda s: opening.change_job(
        actor=s.actor, job=s.job, version=s.job.version, complaint="x"
    ),
    "job_motor.change_job_motor": lambda s: job_motor.change_job_motor(
        actor=s.actor, job=s.job, version=s.job.version, motor=s.job.motor, reason="x"
    ),
    "opening.close_job": lambda s: opening.close_job(
        actor=s.actor, job=s.job, cancelled=True, reason="scrapped"
    ),
    "pictures.add_photos": lambda s: pictures.add_photos(actor=s.actor, job=s.job, files=[picture_file()]),
    "pictures.place_photos": lambda s: pictures.place_photos(actor=s.actor, job=s.job, photos=[Photo()]),
    "pictures.withdraw_photo": lambda s: pictures.withdraw_photo(
        actor=s.actor, job_photo=s.photo, reason="x"
    ),
    "pictures.place_mark": lambda s: pictures.place_mark(
        actor=s.actor, job_photo=s.photo, x=0.1, y=0.1, label="x"
    ),
    "pictures.remove_mark": lambda s: pictures.remove_mark(actor=s.actor, job_photo=s.photo, mark=s.mark),
    "route.sign_off": lambda s: route.sign_off(actor=s.actor, step=s.step),
    "overrides.ask_override": lambda s: overrides.ask_override(
        actor=s.actor, step=s.step, act="skip", reason="the pump stands still and waits"
    ),
    "overrides.confirm_override": lambda s: overrides.confirm_override(actor=s.actor, override=_asked(s)),
    "overrides.withdraw_override": lambda s: overrides.withdraw_override(actor=s.actor, override=_asked(s)),
    "second_looks.answer_look": lambda s: second_looks.answer_look(
        actor=s.actor, record=s.specified, uid="b1", face="down"
    ),
    "route.skip_step": lambda s: route.skip_step(actor=s.actor, step=s.step, reason="x"),
    "route.add_step": lambda s: route.add_step(actor=s.actor, job=s.job, after=None, kind="other", title="x"),
    "route.repeat_step": lambda s: route.repeat_step(actor=s.actor, step=s.signed, reason="x"),
    "route.override_gate": lambda s: route.override_gate(
        actor=s.actor, step=s.job.steps.get(kind="ship"), reason="x"
    ),
    "question_answers.answer_question": lambda s: answer(**_record(s), field="pairing", value="single"),
    "stack_answering.say_absent": lambda s: stack_answering.say_absent(
        **_record(s), asked="spacer", absent=True
    ),
    "stack_approving.submit_specified": lambda s: stack_approving.submit_specified(**_record(s, "specified")),
    "stack_approving.approve_specified": lambda s: stack_approving.approve_specified(
        **_record(s, "specified")
    ),
    "stack_approving.specify_as_proposed": lambda s: stack_approving.specify_as_proposed(
        actor=s.actor, proposal=_proposal(s)
    ),
    "stack_approving.accept_finding": lambda s: stack_approving.accept_finding(
        **_record(s, "specified"), code="x", ref="", reason="x"
    ),
    "stack_approving.confirm_finding": lambda s: stack_approving.confirm_finding(
        **_record(s, "specified"), code="x", ref=""
    ),
    "stack_changes.undo_change": lambda s: stack_changes.undo_change(**_record(s)),
    "stack_editing.start_record": lambda s: stack_editing.start_record(
        actor=s.actor, job=s.job, stage=Stage.AS_BUILT
    ),
    "stack_editing.add_item": lambda s: stack_editing.add_item(
        **_record(s), data=bearing_item("n", "up", "9")["data"]
    ),
    "stack_editing.turn_over": lambda s: stack_editing.turn_over(**_record(s), uid="b1"),
    "stack_editing.move_item": lambda s: stack_editing.move_item(**_record(s), uid="b1", place=2),
    "stack_editing.edit_item": lambda s: stack_editing.edit_item(
        **_record(s), uid="b1", data=bearing_item("b1", "up", "9")["data"]
    ),
    "stack_editing.copy_rating": lambda s: stack_editing.copy_rating(
        **_record(s), uid="b1", rating=make_rating()
    ),
    "stack_editing.remove_item": lambda s: stack_editing.remove_item(**_record(s), uid="b1"),
    "stack_editing.save_guide": lambda s: stack_editing.save_guide(
        **_record(s), data=bearing_item("g", "up", "9")["data"]
    ),
    "stack_editing.describe_record": lambda s: stack_editing.describe_record(
        **_record(s), top_identified=False, note="x"
    ),
    "stack_editing.replace_items": lambda s: stack_editing.replace_items(**_record(s), items=[], guides=[]),
    "stack_matching.use_candidate": lambda s: stack_matching.use_candidate(
        actor=s.actor,
        pattern=s.found,
        rating=make_rating(),
        seen=stack_matching.seen_mark(s.specified),
    ),
    "stack_signing.sign_record": lambda s: stack_signing.sign_record(**_record(s)),
    "stack_signing.submit_built": lambda s: stack_signing.submit_built(**_record(s)),
    "taking_back.take_back": lambda s: taking_back.take_back(actor=s.actor, step=s.signed),
    "work.start_work": lambda s: work.start_work(actor=s.actor, step=s.step),
    "work.stop_work": lambda s: work.stop_work(actor=s.other, period=s.period),
    "work.list_part": lambda s: work.list_part(actor=s.actor, job=s.job, name="x"),
    "work.change_part": lambda s: work.change_part(actor=s.actor, part=s.part, version=1, name="x"),
    "work.use_part": lambda s: work.use_part(actor=s.actor, job=s.job, name="x", quantity=Decimal(1)),
    "work.take_back_part": lambda s: work.take_back_part(actor=s.actor, part=s.used),
    "work.send_out": lambda s: work.send_out(actor=s.actor, job=s.job, what="x", sent_to="x", sent_on=TODAY),
    "work.came_back": lambda s: work.came_back(actor=s.actor, service=s.outside, version=1, back_on=TODAY),
    "work.read_cautions": lambda s: work.read_cautions(actor=s.actor, job=s.job, kind="mount"),
    "services.record_reading": lambda s: readings.record_reading(
        actor=s.actor, job=s.job, quantity="x", value=Decimal(1), unit="mm"
    ),
    "services.record_test": lambda s: shop_tests.record_test(
        actor=s.actor, job=s.job, step=s.step, entry=TESTED
    ),
    "services.correct_test": lambda s: shop_tests.correct_test(
        actor=s.actor, record=s.test, entry=TESTED, reason="x"
    ),
    "run_services.add_row": lambda s: run_services.add_row(
        actor=s.actor, job=s.job, step=s.step, run=1, entry=READ
    ),
    "run_services.strike_row": lambda s: run_services.strike_row(actor=s.actor, row=s.row),
    "run_services.finish_run": lambda s: run_services.finish_run(
        actor=s.actor, job=s.job, step=s.step, run=1, entry=TESTED
    ),
    "shop_services.enter_setting": lambda s: shop_services.enter_setting(
        actor=s.actor, job=s.job, key="winding", value="form"
    ),
    "shop_services.enter_settings": lambda s: shop_services.enter_settings(
        actor=s.actor, job=s.job, values={"winding": "form"}
    ),
    "services.record_observation": lambda s: observations.record_observation(
        actor=s.actor, job=s.job, entry=SEEN
    ),
    "services.correct_observation": lambda s: observations.correct_observation(
        actor=s.actor, observation=s.observation, entry=SEEN, reason="x"
    ),
    "services.withdraw_observation": lambda s: observations.withdraw_observation(
        actor=s.actor, observation=s.observation, reason="x"
    ),
    "limit_services.enter_limit": lambda s: limit_services.enter_limit(
        actor=s.actor, job=s.job, asked="end_play", unit="mm", source="x", high=Decimal(1)
    ),
    "limit_services.withdraw_limit": lambda s: limit_services.withdraw_limit(actor=s.actor, limit=_limit(s)),
    "limit_services.judge_reading": lambda s: limit_services.judge_reading(
        actor=s.actor, reading=s.reading, reason="x"
    ),
    "limit_services.concede_run": lambda s: limit_services.concede_run(
        actor=s.actor, step=s.step, reason="x", agreed_by="x", agreed_on=TODAY, agreed_how="x"
    ),
    "services.correct_reading": lambda s: readings.correct_reading(
        actor=s.actor, reading=s.reading, value=Decimal(2), reason="x"
    ),
    "seat_services.record_seat": lambda s: seat_services.record_seat(
        actor=s.actor, job=s.job, entry=entry(name="third")
    ),
    "seat_services.change_seat": lambda s: seat_services.change_seat(
        actor=s.actor, seat=s.seat, version=1, entry=entry()
    ),
    "seat_services.correct_seat": lambda s: seat_services.correct_seat(
        actor=s.actor, seat=s.failed_seat, entry=entry(name="other"), reason="x"
    ),
    "seat_services.accept_seat": lambda s: seat_services.accept_seat(
        actor=s.actor, seat=s.failed_seat, reason="x"
    ),
    "reports.issue_report": lambda s: reports.issue_report(**_order(s)),
    "reports.review_report": lambda s: reports.review_report(digest="", **_of(s)),
    "services.put_out": lambda s: documents.put_out(_draft(s), actor=s.actor, now=timezone.now()),
}


def _of(one: Scene) -> dict[str, Any]:
    return {"actor": one.actor, "job": one.job, "now": timezone.now()}


def _order(one: Scene) -> dict[str, Any]:
    return {**_of(one), "paper": "a4", "language": "en", "units": "us", "reason": ""}


def _limit(one: Scene) -> StandingLimit:
    return StandingLimit.objects.create(
        job=one.job, asked="end_play", unit="mm", high=Decimal(1), source="x",
        entered_by_id=one.actor.person_id, entered_name="L",
    )  # fmt: skip


def _asked(one: Scene) -> Override:
    return Override.objects.create(
        job=one.job, step=one.step, act="skip", lead_id=one.actor.person_id, lead_name="L", lead_session="s"
    )


def _draft(one: Scene) -> IssuedDocument:
    """A report that was made while the job was open: what its row, loaded then, still says."""
    content = {**read_report(one.job.pk, CANONICAL).content, "issue": {}}
    return IssuedDocument(job=one.job, kind=DocumentKind.REPORT, paper="a4", content=content, revision=1)


def _proposal(one: Scene) -> StackRecord:
    StackRecord.objects.filter(pk=one.specified.pk).update(is_proposal=True)
    one.job.steps.filter(kind__in=("estimate", "approval")).update(state=Step.State.DONE)
    StackRecord.objects.filter(pk=one.specified.pk).update(
        state="signed", signed_at=timezone.now(), signed_by_id=one.actor.person_id
    )
    return StackRecord.objects.get(pk=one.specified.pk)


def writing(modules: tuple[ModuleType, ...]) -> Iterator[str]:
    """Names of all public functions of the modules that act for somebody."""
    for module in modules:
        for name, function in inspect.getmembers(module, inspect.isfunction):
            own = inspect.unwrap(function).__module__ == module.__name__
            if own and not name.startswith("_") and "actor" in inspect.signature(function).parameters:
                yield f"{module.__name__.rsplit('.', 1)[-1]}.{name}"


def test_every_service_is_walked_or_on_a_list():
    found = set(writing(MODULES))
    listed = OF_NO_JOB | TAKEN | INSIDE | set(CALLS)
    assert found - listed == set(), "a new service: call lock_open_job() in it and walk it here"
    assert listed - found == set(), "a service that is gone"
    assert not (OF_NO_JOB | TAKEN | INSIDE) & set(CALLS)


@pytest.mark.parametrize("name", sorted(CALLS))
def test_an_ended_job_refuses(name, monkeypatch):
    one = scene()
    # The clock is left running, as one of a job that ended under older rules.
    monkeypatch.setattr(opening, "stop_clocks_of_job", lambda **_more: None)
    opening.close_job(actor=one.actor, job=one.job, cancelled=True, reason="not worth it")
    events = Event.objects.count()
    with pytest.raises(JobEndedError, match=f"{one.job.number} has ended"):
        CALLS[name](one)
    assert Event.objects.count() == events


def test_ending_stops_the_clocks_and_keeps_the_reason():
    one = scene()
    job = opening.close_job(actor=one.actor, job=one.job, cancelled=True, reason=" not worth it ")
    one.period.refresh_from_db()
    assert one.period.ended_at is not None
    assert (job.state, job.end_reason) == ("cancelled", "not worth it")
