"""What waits for a person at the bench."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Stage, Step, StepKind
from repairs.work_orders.services.board_row import refresh_board
from repairs.work_orders.services.holds import accept_hand_over, write_hand_over
from repairs.work_orders.services.stack_approving import submit_specified
from repairs.work_orders.waiting import handed_to, to_approve, to_verify, waiting_for
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.signed_stacks import approved, built

pytestmark = pytest.mark.django_db


def test_a_job_handed_over_waits_for_whom_it_is_meant_first_and_for_nobody_else():
    writer, me, other = make_user(), make_user(), make_user()
    to_all, to_me, to_other = make_job(), make_job(), make_job()
    write_hand_over(actor=actor_for(writer), job=to_all, done="half done")
    note = write_hand_over(actor=actor_for(writer), job=to_me, done="half done", meant_for=me)
    write_hand_over(actor=actor_for(writer), job=to_other, done="half done", meant_for=other)
    assert list(handed_to(me)) == [to_me, to_all]
    assert list(handed_to(writer)) == []
    accept_hand_over(actor=actor_for(me), hand_over=note)
    assert list(handed_to(me)) == [to_all]


def test_nobody_hands_a_job_over_to_themselves_nor_accepts_what_they_handed_over():
    job, writer = make_job(), make_user()
    with pytest.raises(WorkOrderError, match="to someone else") as refusal:
        write_hand_over(actor=actor_for(writer), job=job, done="half done", meant_for=writer)
    assert refusal.value.field == "meant_for"
    note = write_hand_over(actor=actor_for(writer), job=job, done="half done")
    with pytest.raises(WorkOrderError, match="Someone else must accept"):
        accept_hand_over(actor=actor_for(writer), hand_over=note)
    note.refresh_from_db()
    job.refresh_from_db()
    assert (note.accepted_at, job.hand_over_open) == (None, True)


def test_a_built_stack_waits_for_a_second_person_who_did_not_build_it():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    built(job, "ddu", by=builder)
    step = job.steps.get(kind=StepKind.SECOND_PERSON)
    job.steps.filter(position__lt=step.position).update(state=Step.State.DONE)
    refresh_board(job)
    assert list(to_verify(other)) == [job]
    assert list(to_verify(builder)) == []


def test_a_stack_handed_to_the_lead_waits_for_a_lead():
    record = make_stack_record(stage=Stage.SPECIFIED)
    submit_specified(actor=actor_for(make_user("engineer")), record=record, version=1)
    assert list(to_approve(make_user("lead"))) == [record.job]
    assert list(to_approve(make_user())) == []


def test_the_bench_shows_each_of_them_and_asks_a_fixed_number_of_queries(
    client, django_assert_max_num_queries
):
    lead, writer = make_user("lead"), make_user()
    for _n in range(4):
        write_hand_over(actor=actor_for(writer), job=make_job(), done="half done", meant_for=lead)
        record = make_stack_record(stage=Stage.SPECIFIED)
        submit_specified(actor=actor_for(make_user("engineer")), record=record, version=1)
    assert {one.why for one in waiting_for(lead, 2)} == {"handed", "approval"}
    assert len(waiting_for(lead, 2)) == 4
    client.force_login(lead)
    with django_assert_max_num_queries(10):
        page = client.get(reverse("bench:home")).content.decode()
    assert "Handoffs waiting" in page
    assert "Stacks to specify or approve" in page
    assert "Scan" in page


def test_a_job_that_stands_at_specifying_waits_for_a_lead():
    job, lead = make_job(), make_user("lead")
    Job.objects.filter(pk=job.pk).update(step_kind=StepKind.SPECIFY)
    assert list(to_approve(lead)) == [job]
    assert list(to_approve(make_user())) == []
    Job.objects.filter(pk=job.pk).update(on_hold=True)
    assert list(to_approve(lead)) == []
