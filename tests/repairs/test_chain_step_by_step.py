"""A job walked through the chain of its stack; then one thing is taken away, and every step that needs it is shut."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any, NamedTuple

import pytest
from django.db import models
from django.utils import timezone

from repairs.ledger.models import Event
from repairs.people.models import User
from repairs.work_orders.builders import builders
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import blocking_reasons, chain_of, has_stack
from repairs.work_orders.models import (
    AcceptedFinding,
    BearingLook,
    Job,
    LayOut,
    SignOff,
    StackRecord,
    Stage,
    Step,
    StepKind,
)
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.route import sign_off, skip_step
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file
from tests.repairs.signed_stacks import (
    approved,
    built,
    laid_out,
    limits_of_the_shop,
    looked_at,
    measured,
    seats_measured,
)

pytestmark = [pytest.mark.django_db, pytest.mark.data]
LINKS = ("lay_out", "mount", "second_person", "end_play", "final_test", "ship")


class Shop(NamedTuple):
    """A job whose stack is built, seen and tested, and who did what."""

    job: Job
    builder: User
    second: User

    def step(self, kind: str) -> Step:
        return self.job.steps.get(kind=kind)

    def reasons(self, kind: str, by: User | None = None) -> str:
        step = Step.objects.select_related("job").get(job=self.job, kind=kind)
        return " ".join(blocking_reasons(step, actor=actor_for(by or self.second)))

    def newest(self, stage: str) -> StackRecord:
        return self.job.stack_records.filter(stage=stage).order_by("-revision")[0]


@pytest.fixture
def shop() -> Shop:
    """Return a job that has every link of the chain, each signed by today's rules."""
    found = Shop(make_job(), make_user(), make_user())
    job, hands = found.job, actor_for(found.builder)
    limits_of_the_shop()
    approved(job)
    add_photos(actor=hands, job=job, files=[picture_file()], step=found.step("lay_out"))
    laid_out(job, found.builder)
    sign_off(actor=hands, step=found.step("lay_out"))
    seats_measured(job, found.builder)
    record = built(job, "ddu", found.builder)
    sign_off(actor=hands, step=found.step("mount"))
    looked_at(record, found.second)
    sign_off(actor=actor_for(found.second), step=found.step("second_person"), signed_as=SignOff.As.SECOND)
    for kind in ("end_play", "final_test"):
        measured(job, kind, found.builder)
        sign_off(actor=hands, step=found.step(kind))
    return found


def test_a_whole_chain_ships_and_each_step_could_be_signed_again(shop):
    for kind in LINKS:
        assert shop.reasons(kind) == "", kind


def change(record: StackRecord, **values: Any) -> None:
    """Change a signed row past the guard of its manager."""
    models.QuerySet(StackRecord).filter(pk=record.pk).update(**values)


def no_approval(shop: Shop) -> None:
    change(shop.newest(Stage.SPECIFIED), state="draft", signed_at=None, signed_by=None)


def a_proposal_only(shop: Shop) -> None:
    change(shop.newest(Stage.SPECIFIED), is_proposal=True)


def a_revision_in_the_making(shop: Shop) -> None:
    make_stack_record(shop.job, Stage.SPECIFIED, revision=2)


def a_stop(shop: Shop) -> None:
    record = shop.newest(Stage.SPECIFIED)
    answer = {"findings": [{"code": "speed", "ref": "1", "severity": "stop"}]}
    record.assessment.answer = {**record.assessment.answer, **answer}
    type(record.assessment).objects.filter(pk=record.assessment_id).update(answer=record.assessment.answer)


def nothing_built(shop: Shop) -> None:
    BearingLook.objects.all().delete()
    change(shop.newest(Stage.AS_BUILT), state="draft", signed_at=None, signed_by=None)


def a_newer_record(shop: Shop) -> None:
    make_stack_record(shop.job, Stage.AS_BUILT, revision=2)


def turned_over(shop: Shop) -> None:
    record = shop.newest(Stage.AS_BUILT)
    row = {"code": "turned-over", "ref_before": "2", "ref_after": "2", "text": "Bearing 2 is upside down."}
    items = record.items
    items[2]["data"]["wide_face"] = "up"
    change(record, differences=[row], items=items)


def nobody_looked(shop: Shop) -> None:
    BearingLook.objects.all().delete()


def one_bearing_not_seen(shop: Shop) -> None:
    BearingLook.objects.filter(uid="b2").update(face="cannot_see")


def one_seen_otherwise(shop: Shop) -> None:
    BearingLook.objects.filter(uid="b2").update(face="up")


def no_signature_of_the_second(shop: Shop) -> None:
    Step.objects.filter(kind=StepKind.SECOND_PERSON).update(state=Step.State.WAITING)
    SignOff.objects.filter(step__kind=StepKind.SECOND_PERSON).delete()


def signed_before_the_record(shop: Shop) -> None:
    SignOff.objects.filter(step__kind=StepKind.SECOND_PERSON).update(at=timezone.now() - timedelta(days=9))


def signed_by_the_builder(shop: Shop) -> None:
    SignOff.objects.filter(step__kind=StepKind.SECOND_PERSON).update(person=shop.builder)


def let_pass_only(shop: Shop) -> None:
    SignOff.objects.filter(step__kind=StepKind.SECOND_PERSON).update(signed_as=SignOff.As.OVERRIDE)


def end_play_not_signed(shop: Shop) -> None:
    Step.objects.filter(kind=StepKind.END_PLAY).update(state=Step.State.WAITING)


def end_play_left_out(shop: Shop) -> None:
    Step.objects.filter(kind=StepKind.END_PLAY).update(state=Step.State.SKIPPED)


def no_photo(shop: Shop) -> None:
    shop.step("lay_out").photos.update(withdrawn_at=timezone.now())


def not_laid_out(shop: Shop) -> None:
    LayOut.objects.all().delete()


def laid_out_otherwise(shop: Shop) -> None:
    LayOut.objects.update(differences=[{"ref": "2", "code": "face"}])


def lay_out_not_signed(shop: Shop) -> None:
    Step.objects.filter(kind=StepKind.LAY_OUT).update(state=Step.State.WAITING)


def final_test_not_signed(shop: Shop) -> None:
    Step.objects.filter(kind=StepKind.FINAL_TEST).update(state=Step.State.WAITING)


BUILT_ON = ("lay_out", "mount", "second_person", "end_play", "final_test", "ship")
AFTER_MOUNT = ("mount", "second_person", "end_play", "final_test", "ship")
TAKEN_AWAY: tuple[tuple[Callable[[Shop], None], str, tuple[str, ...]], ...] = (
    (no_approval, "No lead has approved a specified stack", ("specify", *BUILT_ON)),
    (a_proposal_only, "only proposed", ("specify", *BUILT_ON)),
    (a_revision_in_the_making, "Revision 2 of the specified stack is not approved", ("specify", *BUILT_ON)),
    (a_stop, "open STOP finding", ("specify", *BUILT_ON)),
    (nothing_built, "as built is not recorded and submitted", AFTER_MOUNT),
    (a_newer_record, "as built is not recorded and submitted", AFTER_MOUNT),
    (turned_over, "differs from the specified stack", AFTER_MOUNT),
    (nobody_looked, "wide face of bearing 1, 2, 3", ("second_person",)),
    (nobody_looked, "Repeat that step with another person", ("end_play", "final_test", "ship")),
    (one_bearing_not_seen, "wide face of bearing 2", ("second_person",)),
    (one_bearing_not_seen, "Repeat that step with another person", ("end_play", "final_test", "ship")),
    (one_seen_otherwise, "saw the wide face up; the record says down", ("second_person",)),
    (
        one_seen_otherwise,
        "saw a bearing facing the other way than recorded",
        ("end_play", "final_test", "ship"),
    ),
    (no_signature_of_the_second, "has not verified the stack", ("end_play", "final_test", "ship")),
    (signed_before_the_record, "Repeat that step", ("end_play", "final_test", "ship")),
    (signed_by_the_builder, "Repeat that step", ("end_play", "final_test", "ship")),
    (let_pass_only, "Repeat that step", ("end_play", "final_test", "ship")),
    (end_play_not_signed, "“Set end play” is not signed off yet", ("final_test", "ship")),
    (end_play_left_out, "“Set end play” was skipped", ("final_test", "ship")),
    (final_test_not_signed, "“Final test” is not signed off yet", ("ship",)),
    (no_photo, "Take a photo of the stack", ("lay_out", "ship")),
    (not_laid_out, "not checked against the specified stack", ("lay_out", "ship")),
    (laid_out_otherwise, "is upside down", ("lay_out", "ship")),
    (lay_out_not_signed, "dry layout is not signed off yet", ("mount", "ship")),
)


@pytest.mark.parametrize(("take_away", "words", "shut"), TAKEN_AWAY)
def test_what_is_taken_away_shuts_every_step_that_stands_on_it_and_no_other(shop, take_away, words, shut):
    take_away(shop)
    saying = [kind for kind in ("specify", *LINKS) if words in shop.reasons(kind)]
    assert saying == [kind for kind in ("specify", *LINKS) if kind in shut]


def test_a_lay_out_older_than_the_specification_is_repeated_before_anything_is_heated(shop):
    job = shop.job
    again = make_stack_record(job, Stage.SPECIFIED, revision=2)
    lead = make_user("lead")
    change(again, state="signed", signed_at=timezone.now(), signed_by=lead)
    # What already stands on the mount as specified anew is not laid out once more.
    assert "Repeat the dry layout" not in shop.reasons("mount")
    change(shop.newest(Stage.AS_BUILT), stage=Stage.AS_FOUND)
    assert "Revision 2 of the specified stack is newer" in shop.reasons("mount")
    assert "not checked against the specified stack" in shop.reasons("lay_out")
    # Another step that was signed since says nothing of the lay-out.
    SignOff.objects.exclude(step__kind=StepKind.LAY_OUT).update(at=timezone.now() + timedelta(hours=1))
    assert "Revision 2 of the specified stack is newer" in shop.reasons("mount")
    # A lay-out signed at the moment of the specification or later is none of an older one.
    at = StackRecord.objects.get(pk=again.pk).signed_at
    layouts = SignOff.objects.filter(step__kind=StepKind.LAY_OUT)
    # Nor does the layout of another job, and of this one's the newest counts.
    other = make_job().steps.get(kind=StepKind.LAY_OUT)
    elsewhere = copied(layouts.get(), step=other, at=at + timedelta(hours=1))
    assert "Revision 2 of the specified stack is newer" in shop.reasons("mount")
    layouts.exclude(pk=elsewhere.pk).update(at=at)
    assert "Repeat the dry layout" not in shop.reasons("mount")
    copied(layouts.exclude(pk=elsewhere.pk).get(), at=at - timedelta(days=1))
    assert "Repeat the dry layout" not in shop.reasons("mount")


def copied(row: SignOff, **changed: Any) -> SignOff:
    """Write a signature once more, with something changed."""
    row.pk, row._state.adding = None, True
    for name, value in changed.items():
        setattr(row, name, value)
    row.save()
    SignOff.objects.filter(pk=row.pk).update(at=changed.get("at", row.at))
    return row


@pytest.mark.parametrize("role", ["technician", "lead", "administrator"])
@pytest.mark.parametrize("kind", ["lay_out", "mount", "second_person", "end_play", "final_test", "ship"])
def test_nobody_alone_leaves_out_a_link_of_the_chain(role, kind):
    job = make_job()
    with pytest.raises(WorkOrderError, match="Skipping it takes two people"):
        skip_step(actor=actor_for(make_user(role)), step=job.steps.get(kind=kind), reason="no time today")
    assert job.steps.get(kind=kind).state == Step.State.WAITING


@pytest.mark.parametrize("kind", ["approval", "specify"])
def test_a_technician_leaves_out_nothing_that_later_steps_stand_on_and_a_lead_may(kind):
    job = make_job()
    with pytest.raises(WorkOrderError, match="Only a lead can skip"):
        skip_step(actor=actor_for(make_user()), step=job.steps.get(kind=kind), reason="no time today")
    left = skip_step(actor=actor_for(make_user("lead")), step=job.steps.get(kind=kind), reason="goodwill")
    assert left.state == Step.State.SKIPPED


def test_whatever_else_a_technician_may_leave_out_with_a_reason():
    job, worker = make_job(), actor_for(make_user())
    step = job.steps.get(kind="winding")
    with pytest.raises(WorkOrderError, match="Enter the reason"):
        skip_step(actor=worker, step=step, reason="   ")
    assert skip_step(actor=worker, step=step, reason="not agreed").skip_reason == "not agreed"
    with pytest.raises(WorkOrderError, match="already signed off or skipped"):
        skip_step(actor=worker, step=step, reason="not agreed")


def by_beginning(record: StackRecord, person: User) -> None:
    change(record, started_by=person)


def by_submitting(record: StackRecord, person: User) -> None:
    change(record, submitted_by=person)


def by_signing(record: StackRecord, person: User) -> None:
    change(record, signed_by=person)


def by_signing_the_mounting(record: StackRecord, person: User) -> None:
    SignOff.objects.filter(step__kind=StepKind.MOUNT).update(person=person)


@pytest.mark.parametrize("how", [by_beginning, by_submitting, by_signing, by_signing_the_mounting])
def test_each_hand_in_the_build_is_kept_from_being_the_second_person(shop, how: Any):
    other = make_user()
    record = shop.newest(Stage.AS_BUILT)
    looked_at(record, other)
    assert "You built or recorded" not in shop.reasons("second_person", other)
    assert other.pk not in builders(shop.job)
    how(record, other)
    assert "You built or recorded this stack" in shop.reasons("second_person", other)
    assert other.pk in builders(shop.job)


def test_the_hands_of_another_job_of_the_stack_as_found_and_of_the_second_person_are_none_of_this_build(shop):
    elsewhere = make_job()
    stranger, finder = make_user(), make_user()
    make_stack_record(elsewhere, Stage.AS_BUILT, started_by=stranger)
    make_stack_record(shop.job, Stage.AS_FOUND, started_by=finder)
    SignOff.objects.create(step=elsewhere.steps.get(kind="mount"), person=stranger, person_name="stranger")
    SignOff.objects.create(
        step=shop.step("mount"), person=finder, person_name="finder", signed_as=SignOff.As.OVERRIDE
    )
    # What the ledger tells of another thing is not told of the record that happens to have its number.
    Event.objects.create(
        actor=stranger, actor_name="stranger", verb="photo.added", subject_type="jobphoto",
        subject_id=str(shop.newest(Stage.AS_BUILT).pk), job_number=shop.job.number,
    )  # fmt: skip
    # An entry of the program itself has no hands.
    Event.objects.create(
        actor_name="Mountside", verb="stack.judged", subject_type="stackrecord",
        subject_id=str(shop.newest(Stage.AS_BUILT).pk), job_number=shop.job.number,
    )  # fmt: skip
    assert builders(shop.job) == {shop.builder.pk}


def test_a_stop_that_a_lead_and_a_second_person_accepted_no_longer_stands(shop):
    a_stop(shop)
    record = shop.newest(Stage.SPECIFIED)
    lead, second = make_user("lead"), make_user("engineer")
    rows = {"record": record, "code": "speed", "ref": "1", "reason": "The pump runs at half its speed."}
    AcceptedFinding.objects.create(
        **rows, person=lead, person_name=str(lead), needs_second=True, second=second, second_name=str(second),
        second_at=timezone.now(),
    )  # fmt: skip
    assert "open STOP finding" not in shop.reasons("mount")


def test_a_job_hangs_on_a_stack_by_its_route_or_by_a_record():
    job = make_job()
    assert has_stack(job)
    assert chain_of(job) == LINKS
    job.steps.filter(kind__in=("specify", "lay_out", "mount", "second_person")).delete()
    assert not has_stack(job)
    assert chain_of(job) == ("final_test", "ship")
    make_stack_record(job)
    assert has_stack(job)
    assert chain_of(job) == LINKS


@pytest.mark.parametrize("kind", ["specify", "lay_out", "mount", "second_person"])
def test_one_step_of_the_stack_is_enough(kind):
    job = make_job()
    job.steps.exclude(kind=kind).delete()
    assert has_stack(job)


def test_a_route_without_any_link_gets_the_whole_chain_behind_its_last_step():
    job = make_job()
    job.steps.filter(kind__in=LINKS).delete()
    last = job.steps.order_by("position").last().position
    approved(job)
    added = list(job.steps.filter(position__gt=last).order_by("position").values_list("kind", "position"))
    assert [kind for kind, _position in added] == list(LINKS)
    assert added[0][1] == last + 10
    bare = make_job()
    bare.steps.all().delete()
    approved(bare)
    assert bare.steps.order_by("position").first().position == 10


def test_a_link_that_the_route_lacks_comes_before_the_one_after_where_none_is_before():
    job = make_job()
    job.steps.filter(kind="lay_out").delete()
    approved(job)
    kinds = list(job.steps.order_by("position").values_list("kind", flat=True))
    assert kinds[kinds.index("lay_out") + 1] == "mount"
    assert kinds[kinds.index("lay_out") - 1] == "specify"
    assert len(set(job.steps.values_list("position", flat=True))) == len(kinds)
    assert job.steps.get(kind="lay_out").title == "Dry layout: order, faces, marks, photo"
    job.refresh_from_db()
    assert job.steps_total == len(kinds)
