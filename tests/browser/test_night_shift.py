"""Three people in the night, no lead: an honest shift waits by a hold; the wrong stack does not ship."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from repairs.measurements.limit_services import withdraw_limit
from repairs.measurements.models import StandingLimit
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.models import Hold, Job, Override, SignOff, Stage, Step, StepKind
from repairs.work_orders.services.holds import hold_job
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.route import sign_off
from tests.browser.conftest import TABLET
from tests.browser.test_shift import answer_each, at, sign
from tests.repairs.factories import actor_for, make_job, make_user, picture_file
from tests.repairs.signed_stacks import (
    approved,
    built,
    laid_out,
    limits_of_the_shop,
    measured,
    seats_measured,
)

pytestmark = [pytest.mark.django_db(transaction=True)]


def at_the_mount(builder: Any) -> Job:
    """A job as the day shift left it: specified, laid out, measured, limits entered."""
    job = make_job()
    approved(job)
    limits_of_the_shop()
    seats_measured(job)
    lay_out = job.steps.get(kind=StepKind.LAY_OUT)
    job.steps.filter(position__lt=lay_out.position).update(state=Step.State.DONE)
    laid_out(job, builder)
    add_photos(actor=actor_for(builder), job=job, files=[picture_file()], step=lay_out)
    sign_off(actor=actor_for(builder), step=lay_out)
    return job


def test_an_honest_night_shift_gets_as_far_as_it_may_and_waits_for_the_lead(window):
    builder, helper, tester = (make_user(first_name=name) for name in ("Ines", "Jory", "Noor"))
    job = at_the_mount(builder)
    record = built(job, "ddu", by=builder)
    point = StandingLimit.objects.current().get(asked="vib_low_90")
    withdraw_limit(actor=actor_for(make_user("engineer")), limit=point)
    one, two, three = (window(person, size=TABLET) for person in (builder, helper, tester))
    one.open(reverse("bench:home"))
    sign(one.page, one.base, job, StepKind.MOUNT)
    assert one.page.locator("button[value='sign']").is_disabled()
    two.open(reverse("bench:home"))
    at(two.page, two.base, job, "compare")
    two.page.get_by_role("heading", name="Answer for each bearing first").wait_for()
    answer_each(two, job, record)
    two.page.get_by_role("link", name="Open comparison").tap()
    two.page.get_by_text("No differences.").first.wait_for()
    sign(two.page, two.base, job, StepKind.SECOND_PERSON)
    measured(job, StepKind.END_PLAY, by=tester)
    three.open(reverse("bench:home"))
    sign(three.page, three.base, job, StepKind.END_PLAY)
    measured(job, StepKind.FINAL_TEST, by=tester)
    # One point has no limit: nobody of the three may judge it, type one, or let it pass.
    at(three.page, three.base, job, "reading")
    three.page.get_by_text("no limit set: a lead judges the value").wait_for()
    assert three.page.get_by_role("button", name="Accept value").count() == 0
    at(three.page, three.base, job)
    assert three.page.locator("button[value='sign']").is_disabled()
    for words in ("Override this step", "Skip step", "Override (reason above)"):
        assert three.page.get_by_text(words).count() == 0
    assert three.violations() == []
    hold_job(
        actor=actor_for(tester), job=job, waits_for=Hold.WaitsFor.values[-1], reason="bottom 90 has no limit"
    )
    at(three.page, three.base, job)
    three.page.get_by_text("bottom 90 has no limit").first.wait_for()
    assert job.steps.get(kind=StepKind.FINAL_TEST).state == Step.State.WAITING
    assert [reader.problems for reader in (one, two, three)] == [[], [], []]


def test_the_wrong_stack_does_not_ship_however_the_night_shift_turns_it(window):
    builder, helper, tester = (make_user(first_name=name) for name in ("Ines", "Jory", "Noor"))
    job = at_the_mount(builder)
    # Recorded as specified by the builder, but bearing 2 lies upside down on the mount: the helper sees it.
    record = built(job, "ddu", by=builder)
    one, two, three = (window(person, size=TABLET) for person in (builder, helper, tester))
    one.open(reverse("bench:home"))
    sign(one.page, one.base, job, StepKind.MOUNT)
    two.open(reverse("bench:home"))
    answer_each(two, job, record, ("down", "up", "up"))
    two.page.get_by_text("Bearing 2: the second person saw the wide face up").wait_for()
    for reader in (one, two, three):
        at(reader.page, reader.base, job)
        assert reader.page.locator("button[value='sign']").is_disabled()
        ship = job.steps.get(kind=StepKind.SHIP)
        answer = reader.page.request.post(
            reader.base + reverse("bench:step", args=[job.number, ship.pk]),
            form={"do": "sign", "form_key": "x"},
        )
        assert answer.status in {403, 422}
    # The tester records it anew, as it lies: it differs, and stays shut.
    again = built(job, "duu", by=tester)
    assert [row["code"] for row in again.differences] == ["turned-over"]
    at(two.page, two.base, job)
    assert two.page.locator("button[value='sign']").is_disabled()
    assert job.steps.get(kind=StepKind.SHIP).state == Step.State.WAITING
    assert not SignOff.objects.filter(step__kind__in=(StepKind.SECOND_PERSON, StepKind.SHIP)).exists()
    assert not Override.objects.exists()
    assert blocking_reasons(job.steps.get(kind=StepKind.SHIP), actor=actor_for(tester)) != []
    assert job.stack_records.filter(stage=Stage.AS_BUILT).count() == 2
