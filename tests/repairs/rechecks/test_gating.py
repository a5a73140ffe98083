"""A stack that became STOP since its approval keeps it from being built until somebody has looked at it."""

from __future__ import annotations

import pytest

from repairs.ledger.services import SYSTEM
from repairs.rechecks.gating import GUARDED
from repairs.rechecks.models import Change, Recheck
from repairs.rechecks.running import run_recheck
from repairs.rechecks.services import begin_recheck, mark_seen
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.models import Job, Stage, StepKind
from repairs.work_orders.reasons import key_of
from tests.repairs.factories import actor_for, make_job, make_user
from tests.repairs.rechecks.stacks import edition, printed, signed

pytestmark = pytest.mark.django_db
BUILDING = (
    StepKind.LAY_OUT,
    StepKind.MOUNT,
    StepKind.SECOND_PERSON,
    StepKind.END_PLAY,
    StepKind.FINAL_TEST,
)
WORDS = "is now STOP:"


def stopped_job() -> Job:
    """Return a job whose specified stack a newer edition of the book turns to STOP."""
    job = make_job()
    signed(job, Stage.SPECIFIED, printed(edition(2019)))
    printed(edition(2024), 2300.0)
    run_recheck(begin_recheck(actor=SYSTEM, why=Recheck.Why.EDITION))
    return job


def reasons(job: Job, kind: str) -> str:
    return " ".join(blocking_reasons(job.steps.get(kind=kind), actor=actor_for(make_user())))


@pytest.mark.parametrize("kind", BUILDING)
def test_nothing_is_built_or_run_on_a_stack_that_became_stop_until_it_is_seen(kind):
    job = stopped_job()
    assert WORDS in reasons(job, kind)
    mark_seen(actor=actor_for(make_user("lead")), change=Change.objects.get(), note="customer told")
    assert WORDS not in reasons(job, kind)


def test_a_stack_that_is_specified_anew_is_no_longer_kept_back():
    job = stopped_job()
    signed(job, Stage.SPECIFIED, revision=2)
    assert WORDS not in reasons(job, StepKind.LAY_OUT)


def test_no_other_kind_of_step_is_guarded():
    assert GUARDED == BUILDING


def test_other_steps_and_other_jobs_go_on():
    other = make_job()
    signed(other, Stage.SPECIFIED)
    job = stopped_job()
    assert WORDS not in reasons(job, StepKind.WINDING)
    assert WORDS not in reasons(make_job(), StepKind.LAY_OUT)
    for kind in (StepKind.LAY_OUT, StepKind.SHIP):
        assert WORDS in reasons(job, kind)
        assert WORDS not in reasons(other, kind)


def test_a_change_that_is_no_stop_keeps_nothing_back():
    job = stopped_job()
    Change.objects.update(became_stop=False)
    assert WORDS not in reasons(job, StepKind.LAY_OUT)
    assert WORDS not in reasons(job, StepKind.SHIP)


def test_what_a_later_run_found_takes_the_place_of_what_an_earlier_one_did():
    job = stopped_job()
    Change.objects.update(replaced_by=begin_recheck(actor=SYSTEM, why=Recheck.Why.POLICY))
    assert WORDS not in reasons(job, StepKind.LAY_OUT)
    assert WORDS not in reasons(job, StepKind.SHIP)


def test_what_became_stop_does_not_ship_seen_or_not_and_is_a_fact_that_two_people_can_open():
    job = stopped_job()
    step, lead = job.steps.get(kind=StepKind.SHIP), actor_for(make_user("lead"))
    change = Change.objects.get()
    for _seen_or_not in range(2):
        found = [one for one in blocking_reasons(step, actor=lead) if WORDS in one]
        assert [key_of(one) for one in found] == [f"recheck:{change.pk}"]
        assert "Specify a new stack, or ask for an override" in found[0]
        mark_seen(actor=lead, change=Change.objects.get(), note="customer told")
    signed(job, Stage.SPECIFIED, revision=2)
    assert WORDS not in reasons(job, StepKind.SHIP)
