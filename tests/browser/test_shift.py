"""A job walked through the shop on the tablet by one technician and gone on with by another."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from repairs.measurements.asked_readings import BY_CODE
from repairs.measurements.models import Reading
from repairs.work_orders.looks import asked_of
from repairs.work_orders.models import (
    HandOver,
    Job,
    LayOut,
    SignOff,
    StackRecord,
    Stage,
    Step,
    StepKind,
    WorkPeriod,
)
from repairs.work_orders.page_state import ONE_TAP
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.services.route import sign_off
from tests.browser.conftest import TABLET, Reader
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file
from tests.repairs.measurements.one_figure import take_figure
from tests.repairs.signed_stacks import (
    approved,
    built,
    limits_of_the_shop,
    measured,
    seats_measured,
    with_photo,
)

pytestmark = [pytest.mark.django_db(transaction=True)]
UPRIGHT = {"viewport": {"width": 820, "height": 1180}, "has_touch": True}


def at(page: Any, base: str, job: Job, name: str = "job") -> None:
    page.goto(base + reverse(f"bench:{name}", args=[job.number]))


def sign(page: Any, base: str, job: Job, kind: str) -> None:
    """Read the cautions where the step has some, and sign it off."""
    at(page, base, job)
    title = job.steps.get(kind=kind).title
    assert page.locator("h2").first.inner_text() == title
    cautions = page.get_by_label("I have read these cautions")
    if cautions.count():
        cautions.check()
    # A second tap within this time signs nothing, and a hand in a test is quicker than that.
    page.wait_for_timeout(ONE_TAP.total_seconds() * 1000)
    page.locator("button[value='sign']").tap()
    page.locator("h2").first.filter(has_not_text=title).or_(
        page.get_by_text("All steps of this job are done.")
    ).first.wait_for()


def take_photo(page: Any, base: str, job: Job) -> None:
    at(page, base, job, "photos")
    before = page.locator("#photos img").count()
    picture = {"name": "laid.jpg", "mimeType": "image/jpeg", "buffer": picture_file().read()}
    page.locator("#files").set_input_files(picture)
    page.get_by_role("button", name="Upload photos").tap()
    page.locator("#photos img").nth(before).wait_for()


def answer_each(
    reader: Reader, job: Job, record: StackRecord, faces: tuple[str, ...] = ("down", "down", "up")
) -> None:
    """Answer each bearing as the second person: the top one by eye, the hidden ones from the photo of the build."""
    at(reader.page, reader.base, job, "second_look")
    for (_ref, uid), face in zip(asked_of(record), faces, strict=True):
        button = f"button[value='{uid}:{face}']"
        reader.page.locator(button).tap()
        answered = reader.page.locator(f"{button}[aria-pressed='true']")
        answered.or_(reader.page.get_by_role("link", name="Open comparison")).first.wait_for()


def take(job: Job, asked: str, value: str, by: Any) -> None:
    step = job.steps.get(kind=BY_CODE[asked].kind)
    take_figure(
        actor=actor_for(by),
        job=job,
        step=step,
        asked=asked,
        value=Decimal(value),
        unit=BY_CODE[asked].units[0],
    )


def test_a_route_is_walked_by_one_technician_and_gone_on_with_by_another(window):
    first = make_user(first_name="Ines", last_name="Marl")
    second = make_user(first_name="Jory", last_name="Pell")
    lead, job = make_user("lead"), make_job()

    # The first one: found by its number, received, stripped, handed over.
    one = window(first, size=TABLET)
    page = one.open(reverse("bench:scan"))
    page.get_by_label("Or type the job number").fill(job.number)
    page.get_by_role("button", name="Open job").tap()
    page.get_by_label("I have read these cautions").check()
    page.get_by_role("button", name="Clock in").tap()
    page.get_by_text("clocked in since").wait_for()
    assert one.violations() == []
    sign(page, one.base, job, StepKind.RECEIVE)
    assert WorkPeriod.objects.get().ended_at is not None
    found = with_photo(make_stack_record(job, started_by=first))
    signing.sign_record(actor=actor_for(first), record=found, version=found.version)
    for kind in (StepKind.STRIP_RECORD, StepKind.OBSERVE):
        sign(page, one.base, job, kind)
    sign_off(
        actor=actor_for(make_user("office")), step=job.steps.get(kind=StepKind.APPROVAL), note="by phone"
    )
    sign(page, one.base, job, StepKind.WINDING)
    page.get_by_text("Hand off this job").tap()
    page.get_by_label("Hand off to").select_option(label="Jory Pell")
    page.get_by_label("Done / not done").fill("Wound and varnished; seats not cleaned.")
    page.get_by_label("Whose lock").fill("lock 12, Ines Marl")
    page.get_by_role("button", name="Save handoff").tap()
    page.get_by_text("Handoff waiting").wait_for()

    # The second one: finds it handed over, takes it, lays out, builds.
    two = window(second, size=UPRIGHT)
    page = two.open(reverse("bench:home"))
    page.get_by_role("heading", name="Handoffs waiting").wait_for()
    page.get_by_role("link", name=job.number).first.tap()
    assert "lock 12, Ines Marl" in page.locator(".finding--warn").inner_text()
    page.get_by_role("button", name="Accept handoff").tap()
    page.get_by_role("button", name="Accept handoff").wait_for(state="detached")
    assert HandOver.objects.get().accepted_by == second
    specified = approved(job)
    sign_off(actor=actor_for(lead), step=job.steps.get(kind=StepKind.SPECIFY))
    at(page, two.base, job, "stack_wall")
    assert page.locator(".wall__name").first.evaluate("e => parseFloat(getComputedStyle(e).fontSize)") >= 40
    assert two.violations() == []
    at(page, two.base, job, "lay_out")
    for entry in specified.items:
        uid, data = entry["uid"], entry["data"]
        page.locator(f"[name='lies-{uid}']").check()
        if data["kind"] == "bearing":
            face = "up" if uid == "b2" else data["wide_face"]  # the second one laid the wrong way round
            page.locator(f"[name='face-{uid}'][value='{face}']").check()
            page.locator(f"[name='mark-{uid}']").fill(data["mark"])
    page.get_by_role("button", name="Save check").tap()
    page.get_by_text("Bearing 2 is upside down.").wait_for()
    assert two.violations() == []
    page.locator("[name='face-b2'][value='down']").check()
    page.get_by_role("button", name="Save check").tap()
    page.get_by_text("All parts as specified").wait_for()
    assert LayOut.objects.count() == 2
    take_photo(page, two.base, job)
    sign(page, two.base, job, StepKind.LAY_OUT)
    seats_measured(job)
    limits_of_the_shop()
    record = built(job, "ddu", by=second)
    sign(page, two.base, job, StepKind.MOUNT)
    assert "You built or recorded this stack" in page.locator("main").inner_text()
    assert page.locator("button[value='sign']").is_disabled()

    # The first one again, as the second-person check, cap off.
    page = one.open(reverse("bench:home"))
    page.get_by_role("heading", name="Stacks waiting for second person").wait_for()
    answer_each(one, job, record)
    assert one.violations() == []
    sign(page, one.base, job, StepKind.SECOND_PERSON)
    assert SignOff.objects.get(step__kind=StepKind.SECOND_PERSON).signed_as == SignOff.As.SECOND

    # End play with its limit, told at once; then to the end.
    page = two.page
    at(page, two.base, job, "reading")
    assert two.violations() == []
    page.locator("a[href$='/tests/end_play/']").tap()
    page.get_by_text("at most 0.009843\u00a0in").wait_for()
    page.get_by_text("shop policy: shop sheet 4").wait_for()
    assert two.violations() == []
    page.locator("[name=down_1]").fill("0.02 mm")
    page.locator("[name=up_1]").fill("0.20 mm")
    page.get_by_role("button", name="Save and next").tap()
    page.get_by_text("Test saved. Pass").wait_for()
    assert Reading.objects.get(asked="end_play").verdict == "pass"
    take(job, "runout", "0.03", second)
    sign(page, two.base, job, StepKind.END_PLAY)

    # Signed a step too early: taken back under the thumb, and signed again when it is so.
    page.get_by_role("button", name="Undo sign-off").tap()
    page.locator("h2").first.filter(has_text=job.steps.get(kind=StepKind.END_PLAY).title).wait_for()
    assert not SignOff.objects.filter(step__kind=StepKind.END_PLAY).exists()
    sign(page, two.base, job, StepKind.END_PLAY)
    assert "not measured yet" in page.locator("main").inner_text()
    measured(job, StepKind.FINAL_TEST, by=second)
    for kind in (StepKind.FINAL_TEST, StepKind.SHIP):
        sign(page, two.base, job, kind)
    assert "All steps of this job are done." in page.locator("main").inner_text()
    assert not job.steps.exclude(state=Step.State.DONE).exists()
    assert job.stack_records.filter(stage=Stage.AS_BUILT).get().differences == []
    for reader in (one, two):
        assert (reader.problems, reader.foreign) == ([], [])
