"""The second person answers for each bearing as seen, blind, before the comparison opens and the gate does."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from repairs.documents.content.stacks import built_differs
from repairs.people.permissions import Role
from repairs.people.pin_services import give_one_time_pin
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.looks import asked_of
from repairs.work_orders.models import BearingLook, SignOff, StackRecord, Stage, Step, StepKind
from repairs.work_orders.services.overrides import ask_override
from repairs.work_orders.services.route import sign_off
from repairs.work_orders.services.second_looks import answer_look
from repairs.work_orders.services.stack_editing import add_item, remove_item, start_record
from repairs.work_orders.services.stack_signing import submit_built
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.signed_stacks import approved, built, looked_at, with_photo

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def built_job(faces: str = "ddu", by: Any = None) -> StackRecord:
    job = make_job()
    approved(job)
    return built(job, faces, by)


def reasons(record: StackRecord, person: Any, kind: str = StepKind.SECOND_PERSON) -> str:
    return " ".join(blocking_reasons(record.job.steps.get(kind=kind), actor=actor_for(person)))


def signed_in(user: Any) -> Client:
    client = Client()
    client.force_login(user)
    return client


def test_the_gate_opens_when_every_bearing_is_answered_and_agrees():
    record, second = built_job(), make_user()
    assert "bearing 1, 2, 3" in reasons(record, second)
    looked_at(record, second, "dd?")
    assert "bearing 3" in reasons(record, second)
    looked_at(record, second, "ddu")
    assert reasons(record, second) == ""


def test_the_answers_of_another_person_are_not_ones_own():
    record = built_job()
    looked_at(record, make_user())
    assert "bearing 1, 2, 3" in reasons(record, make_user())


def test_a_face_that_the_second_person_saw_otherwise_keeps_the_gate_shut_and_asks_for_a_new_record():
    record, second = built_job(), make_user()
    looked_at(record, second, "duu")
    text = reasons(record, second)
    assert "Bearing 2: the second person saw the wide face up; the record says down" in text
    with pytest.raises(WorkOrderError, match="answers are final"):
        looked_at(record, second, "ddu")
    with pytest.raises(WorkOrderError, match="second person must record"):
        start_record(
            actor=actor_for(record.started_by), job=record.job, stage=Stage.AS_BUILT, reason="looked again"
        )


def test_a_hidden_bearing_is_answered_from_this_builds_photo_or_before_it_was_hidden():
    record, second = built_job(), make_user()
    first, hidden = (uid for _ref, uid in asked_of(record)[:2])
    actor = actor_for(second)
    answer_look(actor=actor, record=record, uid=first, face="down")
    with pytest.raises(WorkOrderError, match="hide this bearing"):
        answer_look(actor=actor, record=record, uid=hidden, face="down")
    answer_look(actor=actor, record=record, uid=hidden, face="cannot_see")
    assert "bearing 2" in reasons(record, second)
    foreign = with_photo(make_stack_record()).photos.get()
    with pytest.raises(WorkOrderError, match="photo taken for this build"):
        answer_look(actor=actor, record=record, uid=hidden, face="down", photo=foreign)
    photo = record.photos.get()
    answer_look(actor=actor, record=record, uid=hidden, face="down", photo=photo)
    with pytest.raises(WorkOrderError, match="Choose up, down"):
        answer_look(actor=actor, record=record, uid=hidden, face="sideways")


def test_a_bearing_is_answered_while_the_stack_is_still_being_recorded():
    job, builder, helper = make_job(), make_user(), make_user()
    approved(job)
    draft = with_photo(make_stack_record(job, Stage.AS_BUILT, "ddu", started_by=builder))
    for (_ref, uid), face in zip(asked_of(draft), ("down", "down", "up"), strict=True):
        answer_look(actor=actor_for(helper), record=draft, uid=uid, face=face)

    record = submit_built(actor=actor_for(builder), record=draft, version=draft.version)
    assert reasons(record, helper) == ""


def test_a_withdrawn_photo_answers_for_nothing():
    record, second = built_job(), make_user()
    looked_at(record, second)
    assert reasons(record, second) == ""
    record.photos.update(withdrawn_at=timezone.now())
    assert "bearing 1, 2, 3" in reasons(record, second)
    uid = asked_of(record)[1][1]
    with pytest.raises(WorkOrderError, match="photo taken for this build"):
        answer_look(actor=actor_for(second), record=record, uid=uid, face="down", photo=record.photos.get())


@pytest.mark.parametrize("how", ["began", "entered", "signed the mounting"])
def test_whoever_had_a_hand_in_the_build_is_not_the_second_person_and_a_helper_without_entries_is(how):
    job, builder, other, helper = make_job(), make_user(), make_user(), make_user()
    approved(job)
    began = other if how == "began" else builder
    draft = make_stack_record(job, Stage.AS_BUILT, "ddu", started_by=began)
    if how == "entered":
        data = {"kind": "shim", "ring": "outer", "height_mm": 0.2}
        draft = add_item(actor=actor_for(other), record=draft, version=draft.version, data=data)
        uid = draft.items[-1]["uid"]

        draft = remove_item(actor=actor_for(builder), record=draft, version=draft.version, uid=uid)

    draft = with_photo(draft)
    record = submit_built(actor=actor_for(builder), record=draft, version=draft.version)
    if how == "signed the mounting":
        mount = job.steps.get(kind=StepKind.MOUNT)
        SignOff.objects.create(step=mount, person=other, person_name=str(other))
    other.role = "lead"
    other.save()
    with pytest.raises(WorkOrderError, match="You built or recorded"):
        looked_at(record, other)
    assert "You built or recorded" in reasons(record, other)
    looked_at(record, helper)
    assert reasons(record, helper) == ""


def test_a_signature_of_the_first_gates_stays_and_a_new_one_without_answers_does_not_count():
    record, second = built_job(), make_user()
    step = record.job.steps.get(kind=StepKind.SECOND_PERSON)
    Step.objects.filter(pk=step.pk).update(state=Step.State.DONE)
    signature = SignOff.objects.create(step=step, person=second, person_name=str(second), signed_as="second")
    assert "recorded again" in reasons(record, second, StepKind.END_PLAY)
    SignOff.objects.filter(pk=signature.pk).update(rules=1)
    assert "second person" not in reasons(record, second, StepKind.END_PLAY)


@pytest.mark.parametrize(("who", "queries"), [("office", 10), ("builder", 10), ("second", 14)])
def test_what_is_kept_from_whom_is_seen_from_the_rows_at_hand_before_anything_is_asked(
    django_assert_num_queries, who, queries
):
    builder = make_user()
    record = built_job(by=builder)
    readers = {"office": make_user(role=Role.OFFICE), "builder": builder, "second": make_user()}
    client, desk = signed_in(readers[who]), reverse("office:job", args=[record.job.number])
    client.get(desk)
    with django_assert_num_queries(queries):
        page = client.get(desk).content.decode()
    assert ("Hidden until you answer" in page) == (who == "second")


def test_the_comparison_and_both_records_open_for_the_second_person_after_the_answers():
    record, second = built_job(), make_user()
    client, number = signed_in(second), record.job.number
    pages = [
        reverse("bench:compare", args=[number]),
        reverse("bench:stack", args=[number, "as_built"]),
        reverse("bench:stack", args=[number, "specified"]),
        reverse("bench:stack_wall", args=[number]),
    ]
    for page in pages:
        assert "Answer for each bearing first" in client.get(page).content.decode(), page
    desk = reverse("office:job", args=[number])
    kept = client.get(desk).content.decode()
    assert kept.count("Hidden until you answer for each bearing") == 2
    assert "drawing-frame" not in kept
    assert "photo-strip" not in kept
    papers = [reverse("office:document", args=[number, kind]) for kind in ("traveler", "stack_card")]
    for paper in papers:
        assert client.get(paper).status_code == 403, paper
        assert signed_in(make_user(role=Role.OFFICE)).get(paper).status_code == 200, paper
    lead = signed_in(make_user(role=Role.LEAD))
    assert lead.get(reverse("office:report_preview", args=[number])).status_code == 403
    assert lead.get(desk).content.decode().count("Hidden until you answer for each bearing") == 1
    looks = reverse("bench:second_look", args=[number])
    html = client.get(looks).content.decode()
    assert "Open comparison" not in html
    assert "drawing-frame" not in html
    photo = record.photos.get()
    for n, ((_ref, uid), face) in enumerate(zip(asked_of(record), ("down", "down", "up"), strict=True)):
        body = {"record": str(record.pk), "answer": f"{uid}:{face}", "form_key": f"k{n}"}
        body |= {f"photo-{uid}": str(photo.pk)}
        for _twice in range(2):
            assert client.post(looks, body).status_code == 302
    assert BearingLook.objects.count() == 3
    assert "Open comparison" in client.get(looks).content.decode()
    for page in pages:
        assert "Answer for each bearing first" not in client.get(page).content.decode(), page
    assert client.get(desk).content.decode().count("drawing-frame") == 2
    for paper in papers:
        assert client.get(paper).status_code == 200, paper
    assert "Answer for each bearing first" not in signed_in(record.started_by).get(pages[0]).content.decode()


def test_an_answer_to_an_older_record_or_without_a_bearing_is_refused_in_words():
    record, second = built_job("duu"), make_user()
    looks = reverse("bench:second_look", args=[record.job.number])
    newer = start_record(actor=actor_for(make_user()), job=record.job, stage=Stage.AS_BUILT, reason="again")
    body = {"record": str(record.pk), "answer": "b1:down", "form_key": "a"}
    stale = signed_in(second).post(looks, body)
    assert stale.status_code == 422
    assert "recorded again" in stale.content.decode()
    none = signed_in(second).post(looks, {**body, "record": str(newer.pk), "form_key": "b"})
    assert "no longer on the list" in none.content.decode()
    with pytest.raises(WorkOrderError, match="newest record"):
        answer_look(actor=actor_for(second), record=record, uid="b1", face="down")


def test_the_record_after_a_difference_is_blind():
    record = built_job("duu")
    job, again = record.job, make_user()
    stopped = signed_in(again).get(reverse("bench:stack", args=[job.number, "as_built"])).content.decode()
    assert "upside down" in stopped
    assert 'value="Bearing 2' not in stopped
    newer = start_record(
        actor=actor_for(again), job=job, stage=Stage.AS_BUILT, reason="Bearing 2 is upside down, look at it"
    )
    assert newer.items == []
    client = signed_in(again)
    for page in ("stack", "job"):
        args = [job.number, "as_built"] if page == "stack" else [job.number]
        html = client.get(reverse(f"bench:{page}", args=args)).content.decode()
        assert "Bearing 2 is upside down" not in html, page
    assert "hidden" in client.get(reverse("bench:compare", args=[job.number])).content.decode()


def test_a_signature_of_the_second_person_is_only_given_after_the_answers():
    record, second = built_job(), make_user()
    step = record.job.steps.get(kind=StepKind.SECOND_PERSON)
    with pytest.raises(WorkOrderError, match="enter which way"):
        sign_off(actor=actor_for(second), step=step, signed_as=SignOff.As.SECOND)
    looked_at(record, second)
    assert sign_off(actor=actor_for(second), step=step, signed_as=SignOff.As.SECOND).rules == 2


def test_a_pin_that_a_builder_gave_today_answers_for_no_bearing_and_a_password_does():
    builder, second = make_user("administrator"), make_user()
    give_one_time_pin(actor=actor_for(builder), person=second)
    record = built_job(by=builder)
    (_ref, uid), photo = asked_of(record)[0], record.photos.get()
    with pytest.raises(WorkOrderError, match="set your PIN today"):
        answer_look(actor=actor_for(second, by_pin=True), record=record, uid=uid, face="down", photo=photo)
    answer_look(actor=actor_for(second), record=record, uid=uid, face="down", photo=photo)
    other = make_user()
    give_one_time_pin(actor=actor_for(make_user("administrator")), person=other)
    answer_look(actor=actor_for(other, by_pin=True), record=record, uid=uid, face="down", photo=photo)


def test_one_who_saw_a_face_otherwise_is_not_outvoted_by_the_next_nor_overridden():
    record, lead = built_job(), make_user("lead")
    looked_at(record, make_user(), "duu")
    yes = make_user()
    looked_at(record, yes)
    for kind in (StepKind.SECOND_PERSON, StepKind.END_PLAY, StepKind.FINAL_TEST, StepKind.SHIP):
        assert "saw a bearing facing the other way" in reasons(record, yes, kind)
        assert "Bearing 2" not in reasons(record, yes, kind)
    step = record.job.steps.get(kind=StepKind.SECOND_PERSON)
    consent = {"consent_by": "R. Haas", "consent_on": timezone.localdate(), "consent_how": "letter"}
    with pytest.raises(WorkOrderError, match="cannot be overridden"):
        ask_override(
            actor=actor_for(lead), step=step, act="skip", reason="two saw it, one is right", **consent
        )
    other = make_user()
    newer = built(record.job, "ddu", other)
    looked_at(newer, yes)
    assert reasons(newer, yes) == ""


def test_papers_keep_their_stop_while_the_stack_is_recorded_again_and_do_not_say_what_differed():
    record = built_job("duu")
    (told,) = built_differs(record.job, "si")
    assert "Bearing 2" in told
    start_record(actor=actor_for(make_user()), job=record.job, stage=Stage.AS_BUILT, reason="again")
    assert built_differs(record.job, "si") == [
        "The last recorded stack did not match. It is being recorded again."
    ]
    other = built_job("ddu").job
    start_record(actor=actor_for(make_user()), job=other, stage=Stage.AS_BUILT, reason="a new seal")
    assert built_differs(other, "si") == []
