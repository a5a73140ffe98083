"""Time on a step, parts, outside services, cautions that are read once."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError
from django.utils import timezone

from repairs.ledger.models import Event
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import CautionRead, StepKind, StrippedPart, WorkPeriod
from repairs.work_orders.services import work
from repairs.work_orders.services.route import sign_off
from tests.repairs.factories import actor_for, make_job, make_user

pytestmark = pytest.mark.django_db


def start(step, actor, ago: timedelta = timedelta()):
    """Start a clock as if it had been started a while ago."""
    period = work.start_work(actor=actor, step=step)
    WorkPeriod.objects.filter(pk=period.pk).update(started_at=timezone.now() - ago)
    period.refresh_from_db()
    return period


def test_time_is_counted_from_a_start_to_a_stop_and_by_step():
    job, actor = make_job(), actor_for(make_user())
    first = job.steps.first()
    work.stop_work(actor=actor, period=start(first, actor, timedelta(minutes=30)))
    work.stop_work(actor=actor, period=start(first, actor, timedelta(minutes=15)))
    ((title, worked),) = WorkPeriod.objects.all().by_step(job)
    assert title == first.title
    assert worked.total_seconds() == pytest.approx(45 * 60, abs=5)
    first.refresh_from_db()
    assert first.started_at is not None


def test_a_person_works_on_one_step_at_a_time():
    actor = actor_for(make_user())
    here, there = make_job().steps.first(), make_job().steps.first()
    first = start(here, actor)
    second = work.start_work(actor=actor, step=there)
    assert work.start_work(actor=actor, step=there).pk == second.pk
    first.refresh_from_db()
    assert first.ended_at is not None
    with pytest.raises(IntegrityError):
        WorkPeriod.objects.create(
            step=here, person_id=actor.user_id, person_name="x", started_at=timezone.now()
        )


def test_a_clock_that_was_forgotten_counts_nothing_and_says_so():
    actor = actor_for(make_user())
    period = work.stop_work(actor=actor, period=start(make_job().steps.first(), actor, timedelta(hours=15)))
    assert period.ended_at == period.started_at
    assert "forgot" in period.note


def test_only_its_owner_stops_a_clock_and_signing_the_step_stops_all_of_them():
    job, one, other = make_job(), actor_for(make_user()), actor_for(make_user())
    step = job.steps.first()
    period = start(step, one)
    with pytest.raises(WorkOrderError, match="Only the person"):
        work.stop_work(actor=other, period=period)
    start(step, other)
    sign_off(actor=other, step=step)
    assert not WorkPeriod.objects.all().running().exists()
    with pytest.raises(WorkOrderError, match="already signed"):
        work.start_work(actor=one, step=step)


def test_a_part_is_listed_and_what_becomes_of_it_is_decided_with_a_version():
    job, actor = make_job(), actor_for(make_user())
    part = work.list_part(actor=actor, job=job, name="Lower guide bearing", tag="26-B", place="shelf 4")
    decided = work.change_part(actor=actor, part=part, version=1, disposition="replace")
    assert (decided.disposition, decided.version, decided.place) == ("replace", 2, "shelf 4")
    with pytest.raises(StaleVersionError):
        work.change_part(actor=actor, part=part, version=1, disposition="scrap")
    assert StrippedPart.objects.get().disposition == "replace"
    assert list(Event.objects.filter(verb__startswith="part.").values_list("verb", flat=True)) == [
        "part.listed",
        "part.changed",
    ]


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"name": " "}, "name"),
        ({"name": "x" * 121}, "name"),
        ({"name": "nut", "disposition": "sell"}, "disposition"),
    ],
)
def test_a_wrong_part_is_refused_with_its_field(fields, field):
    with pytest.raises(WorkOrderError) as caught:
        work.list_part(actor=actor_for(make_user()), job=make_job(), **fields)
    assert caught.value.field == field
    assert not StrippedPart.objects.exists()


@pytest.mark.parametrize("quantity", [Decimal(0), Decimal("-1"), Decimal("0.0001"), Decimal("1e9")])
def test_an_impossible_quantity_is_refused(quantity):
    with pytest.raises(WorkOrderError) as caught:
        work.use_part(actor=actor_for(make_user()), job=make_job(), name="grease", quantity=quantity)
    assert caught.value.field == "quantity"


def test_a_used_part_is_taken_back_once_and_stays_readable():
    job, actor = make_job(), actor_for(make_user())
    part = work.use_part(actor=actor, job=job, name="7320", quantity=Decimal(3), designation="set S-118")
    work.take_back_part(actor=actor, part=part)
    work.take_back_part(actor=actor, part=part)
    part.refresh_from_db()
    assert part.withdrawn_at is not None
    assert Event.objects.filter(verb="part.taken_back").count() == 1


def test_outside_work_comes_back_after_it_was_sent():
    job, actor = make_job(), actor_for(make_user())
    with pytest.raises(WorkOrderError, match="due date is before"):
        work.send_out(
            actor=actor, job=job, what="metal spray", sent_to="Shop B (invented)", sent_on=date(2026, 11, 20),
            due_on=date(2026, 11, 19),
        )  # fmt: skip
    service = work.send_out(
        actor=actor, job=job, what="metal spray", sent_to="Shop B (invented)", sent_on=date(2026, 11, 20)
    )
    with pytest.raises(WorkOrderError, match="return date is before"):
        work.came_back(actor=actor, service=service, version=1, back_on=date(2026, 11, 1))
    back = work.came_back(
        actor=actor, service=service, version=1, back_on=date(2026, 11, 24), result="seat 100 k5"
    )
    assert (back.back_on, back.version) == (date(2026, 11, 24), 2)
    with pytest.raises(StaleVersionError):
        work.came_back(actor=actor, service=service, version=1, back_on=date(2026, 11, 25))


def test_an_ended_job_takes_no_more_work():
    job, actor = make_job(), actor_for(make_user())
    step = job.steps.first()
    type(job).objects.filter(pk=job.pk).update(state="closed", closed_at=timezone.now())
    for act in (
        lambda: work.start_work(actor=actor, step=step),
        lambda: work.list_part(actor=actor, job=job, name="fan"),
        lambda: work.use_part(actor=actor, job=job, name="oil", quantity=Decimal(1)),
        lambda: work.send_out(actor=actor, job=job, what="a", sent_to="b", sent_on=date(2026, 11, 1)),
    ):
        with pytest.raises(WorkOrderError, match="has ended"):
            act()


def test_cautions_are_read_once_for_a_person_and_a_job():
    job, one, other = make_job(), make_user(), make_user()
    kind = StepKind.MOUNT
    assert work.cautions_to_read(job=job, kind=kind, person_id=one.pk)
    for _twice in range(2):
        work.read_cautions(actor=actor_for(one), job=job, kind=kind)
    assert not work.cautions_to_read(job=job, kind=kind, person_id=one.pk)
    assert work.cautions_to_read(job=job, kind=kind, person_id=other.pk)
    assert work.cautions_to_read(job=make_job(), kind=kind, person_id=one.pk)
    assert Event.objects.filter(verb="cautions.read").count() == 1


def test_cautions_with_other_words_are_read_again():
    job, person = make_job(), make_user()
    work.read_cautions(actor=actor_for(person), job=job, kind=StepKind.MOUNT)
    CautionRead.objects.update(wording="older")
    assert work.cautions_to_read(job=job, kind=StepKind.MOUNT, person_id=person.pk)


def test_a_step_whose_cautions_only_inform_asks_for_nothing():
    assert not work.cautions_to_read(job=make_job(), kind=StepKind.OTHER, person_id=make_user().pk)
