"""A hurried lead and one technician try everything, at tablets and desk, to ship a motor with a flipped bearing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from repairs.bench.outbox import AUTHOR_HEADER, HEADER
from repairs.measurements.models import Reading, StandingLimit
from repairs.people.middleware import MADE_AT_HEADER
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Override, Pickup, SignOff, StackRecord, Stage, Step, StepKind
from repairs.work_orders.services.overrides import ask_override
from tests.browser.conftest import TABLET
from tests.repairs.factories import actor_for, make_job, make_user
from tests.repairs.people.tablets import OTHER_PIN, PIN, make_person_with_pin, make_tablet
from tests.repairs.signed_stacks import approved, built, limits_of_the_shop, with_photo

pytestmark = pytest.mark.django_db(transaction=True)
# What the motor ships by, after it is mounted; nothing of it may come to be signed.
KEPT = (StepKind.MOUNT, StepKind.SECOND_PERSON, StepKind.END_PLAY, StepKind.FINAL_TEST, StepKind.SHIP)
SEND = """async ([path, fields, headers]) => {
  const token = document.querySelector('[name=csrfmiddlewaretoken]').value;
  const body = new URLSearchParams({csrfmiddlewaretoken: token, form_key: crypto.randomUUID(), ...fields});
  const answer = await fetch(path, {method: 'POST', body, headers});
  const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
  return page.body.textContent.replace(/\\s+/g, ' ');
}"""


class Hand:
    """One person at one screen, who fills in forms and forges them."""

    def __init__(self, page: Any, job: Job) -> None:
        self.page, self.number = page, job.number

    def send(self, name: str, *args: Any, headers: dict[str, str] | None = None, **fields: Any) -> str:
        """Send a form of this session, whatever the page shows; return the words of the answer."""
        path, typed = reverse(name, args=[self.number, *args]), {key: str(one) for key, one in fields.items()}
        words: str = self.page.evaluate(SEND, [path, typed, headers or {}])
        return words

    def step(self, step: Step, do: str, **fields: Any) -> str:
        typed = {"cautions": "read", "note": "they want it today, really", "seen": 999_999, **fields}
        return self.send("bench:step", step.pk, do=do, **typed)


def at_a_tablet(window: Callable[..., Any], person: Any, pin: str, job: Job) -> Hand:
    reader = window(size=TABLET)
    _device, token = make_tablet()
    reader.page.context.add_cookies([{"name": settings.DEVICE_COOKIE, "value": token, "url": reader.base}])
    page = reader.open(reverse("bench:job", args=[job.number]))
    page.get_by_role("link", name=str(person)).tap()
    page.wait_for_selector("[data-key]")
    for figure in pin:
        page.locator(f"[data-key='{figure}']").tap()
    page.locator(".pin [type=submit]").tap()
    page.wait_for_selector("#step-form")
    return Hand(page, job)


def at_the_desk(window: Callable[..., Any], person: Any, job: Job) -> Hand:
    reader = window(person)
    return Hand(reader.open(reverse("office:job", args=[job.number])), job)


def held(job: Job, hint: str) -> None:
    """The motor is still kept, and no two people let anything pass."""
    job.refresh_from_db()
    states = set(job.steps.filter(kind__in=KEPT).values_list("state", flat=True))
    assert states == {Step.State.WAITING}, hint
    assert not SignOff.objects.filter(step__job=job, step__kind__in=KEPT).exists(), hint
    assert not Override.objects.in_force().filter(job=job).exists(), hint
    assert not Pickup.objects.filter(job=job).exists(), hint
    assert job.state != Job.State.CLOSED, hint


def flipped_job(builder: Any) -> tuple[Job, dict[str, Step]]:
    """A job that is done up to its mounting, where the builder wrote down bearing 3 the wrong way up."""
    limits_of_the_shop()
    job = make_job()
    approved(job, "ddu")
    mount = job.steps.get(kind=StepKind.MOUNT)
    earlier = job.steps.filter(position__lt=mount.position)
    earlier.update(state=Step.State.DONE)
    other = make_user()
    SignOff.objects.bulk_create(
        SignOff(step=one, person=other, person_name=str(other), rules=1) for one in earlier
    )
    built(job, "ddd", by=builder)
    return job, {kind: job.steps.get(kind=kind) for kind in KEPT}


def sign_everything(hand: Hand, steps: dict[str, Step], job: Job) -> None:
    """Sign, skip and let pass each step alone, in whatever order."""
    for kind, step in steps.items():
        for do in ("sign", "skip", "override"):
            hand.step(step, do)
            held(job, f"{do} {kind}")
        for act in ("skip", "pass"):
            hand.send("bench:override", step.pk, do="ask", act=act, reason=f"{kind} {act}: the crane waits")
        asked = Override.objects.asked_for().filter(step=step).first()
        hand.send("bench:override", step.pk, do="confirm", override=asked.pk if asked else 1)
        held(job, f"override {kind}")


def answer_all(hand: Hand, job: Job, faces: str) -> str:
    record = job.stack_records.filter(stage=Stage.AS_BUILT).order_by("-revision").first()
    assert record is not None
    photo = record.photos.first()
    said = ""
    bearings = [entry["uid"] for entry in record.items if entry["data"]["kind"] == "bearing"]
    for uid, face in zip(bearings, faces, strict=False):
        words = {"d": "down", "u": "up"}[face]
        fields = {"record": record.pk, "answer": f"{uid}:{words}", f"photo-{uid}": photo.pk if photo else ""}
        said += hand.send("bench:second_look", **fields)
    return said


def test_nobody_in_a_hurry_ships_a_flipped_bearing(window):
    technician = make_person_with_pin(first_name="Nell", last_name="Turner")
    lead = make_person_with_pin("lead", pin=OTHER_PIN, first_name="Lee", last_name="Mast")
    job, steps = flipped_job(technician)
    nell, lee = at_a_tablet(window, technician, PIN, job), at_a_tablet(window, lead, OTHER_PIN, job)
    desk = at_the_desk(window, lead, job)

    assert "STOP" in lee.page.locator("main").inner_text()
    sign_everything(nell, steps, job)
    sign_everything(lee, steps, job)

    # Sign from a tablet that was without network before the stack was recorded, twice by one form, and go back.
    yesterday = (timezone.now() - timedelta(days=1)).isoformat()
    for hand, person in ((nell, technician), (lee, lead)):
        offline = {HEADER: "1", AUTHOR_HEADER: str(person.pk), MADE_AT_HEADER: yesterday}
        for kind in (StepKind.MOUNT, StepKind.SECOND_PERSON, StepKind.SHIP):
            for _twice in range(2):
                hand.step(steps[kind], "sign", headers=offline, form_key=f"{kind}{person.pk}")
        hand.page.goto(hand.page.url)
        hand.page.go_back()
        hand.step(steps[StepKind.MOUNT], "sign")
    held(job, "offline, resent, gone back")

    # Look as the second person: the builder; the lead, who says what is specified and not what the record says.
    assert "You built" in answer_all(nell, job, "ddu")
    answer_all(lee, job, "ddu")
    lee.step(steps[StepKind.SECOND_PERSON], "sign")
    held(job, "second look that disagrees with the record")

    # Change what is signed: turn the bearing on the frozen record, take it off, type another serial, hide its photo.
    record = job.stack_records.get(stage=Stage.AS_BUILT)
    third, place = record.items[3]["uid"], record.photos.get()
    for act in (f"turn:{third}", f"remove:{third}", "undo", "sign"):
        nell.send("bench:stack_act", Stage.AS_BUILT, version=record.version, do=act)
    nell.send("bench:stack_item", Stage.AS_BUILT, third, version=record.version, serial="Z 9", wide_face="up")
    nell.send("bench:photo", place.pk, do="withdraw", reason="blurred")
    before, (record, place) = record.items, (StackRecord.objects.get(pk=record.pk), place)
    place.refresh_from_db()
    assert (record.items, place.withdrawn_at) == (before, None)
    held(job, "a signed record that is changed")

    # Type the evidence: ahead of its step, then over again, then by a looser limit.
    end_play = steps[StepKind.END_PLAY]
    for value in ("0.9", "-0.1", "0.1"):
        nell.send("bench:shop_test", end_play.pk, "end_play", down_1="0 mm", up_1=f"{value} mm")
    wrong = Reading.objects.filter(job=job, verdict="fail").first()
    assert wrong is not None
    lee.send("bench:reading_correct", wrong.pk, value="0.8", note="slipped")
    lee.send("bench:limits", do="enter", asked="end_play", high="9", unit="mm", source="the phone")
    assert not StandingLimit.objects.filter(job=job).exists()
    held(job, "evidence typed")

    # Change the route, at the desk: leave out, put a second shipping in, do one again.
    for kind, step in steps.items():
        desk.send("office:job_route", do="skip", step=step.pk, reason="they want it today")
        held(job, f"route without {kind}")
    desk.send("office:job_sign", do="sign", step=steps[StepKind.SHIP].pk, seen=999_999)
    held(job, "shipping signed at the desk")

    # End the job, let the motor be picked up, reopen, close.
    gone = {"do": "pickup", "left_on": timezone.localdate(), "signed_by": "R. Oduya"}
    desk.send("office:job_leaves", **gone)
    desk.send("office:job_end", do="close")
    held(job, "closed with open steps")
    desk.send("office:job_end", do="cancel", reason="they want it today")
    assert "STOP" in desk.send("office:job_leaves", **gone)
    sign_everything(lee, steps, job)
    desk.send("office:job_reopen", do="reopen", reason="once more")
    held(job, "cancelled, picked up, reopened")

    # Hide the stack under an empty record, alone; then fill it with what should be there.
    assert "second person must record" in nell.send(
        "bench:stack_start", Stage.AS_BUILT, seen=1, reason="again"
    )
    lee.send("bench:stack_start", Stage.AS_BUILT, seen=1, reason="again")
    empty = job.stack_records.get(stage=Stage.AS_BUILT, revision=2)
    sign_everything(desk, steps, job)
    desk.send("office:job_end", do="cancel", reason="it goes back in parts")
    assert "STOP" in desk.send("office:job_leaves", **gone)
    desk.send("office:job_reopen", do="reopen", reason="once more")
    held(job, "hidden under an empty record")

    # The lead's own record says what should be there: both are builders now, so nobody is left to look.
    empty.items = job.stack_records.get(stage=Stage.SPECIFIED).items
    with_photo(empty)
    lee.send("bench:stack_act", Stage.AS_BUILT, do="sign", version=empty.version)
    assert StackRecord.objects.get(pk=empty.pk).is_frozen
    later = {kind: step for kind, step in steps.items() if kind != StepKind.MOUNT}
    lee.step(steps[StepKind.MOUNT], "sign")
    for hand in (nell, lee):
        assert "You built or recorded this stack" in answer_all(hand, job, "ddu")
    for hand in (nell, lee):
        for step in later.values():
            for do in ("sign", "skip", "override"):
                hand.step(step, do)
    for kind, step in later.items():
        act = "pass" if kind == StepKind.SHIP else "skip"
        words = lee.send("bench:override", step.pk, do="ask", act=act, reason=f"{kind}: the crane waits")
        assert "You built or recorded this stack" in words
    waiting = job.steps.filter(pk__in=[step.pk for step in later.values()], state=Step.State.WAITING)
    assert waiting.count() == len(later)

    # An honest third person looks: the bearing lies the wrong way up, and no two people let that pass.
    third_person = make_person_with_pin(first_name="Ada", last_name="Quill")
    ada = at_a_tablet(window, third_person, PIN, job)
    assert "the record says up" in answer_all(ada, job, "ddd")
    ada.step(later[StepKind.SECOND_PERSON], "sign")
    with pytest.raises(WorkOrderError, match="cannot be overridden"):
        ask_override(
            actor=actor_for(make_user("lead")), step=later[StepKind.SECOND_PERSON], act="skip",
            reason="the two of them are sure", consent_by="R. Oduya", consent_on=timezone.localdate(),
            consent_how="phone",
        )  # fmt: skip
    assert waiting.count() == len(later)
    assert not Override.objects.in_force().filter(job=job).exists()
    assert not Pickup.objects.filter(job=job).exists()
