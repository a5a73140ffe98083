"""A tablet whose network goes: what is entered stays on it, shows that it waits, and goes out once when it is back."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.measurements.models import Reading
from repairs.work_orders.models import HandOver, Job, JobPhoto, SignOff, Stage
from tests.browser.conftest import TABLET
from tests.repairs.factories import make_job, make_stack_record, make_user, picture_file

pytestmark = [pytest.mark.django_db(transaction=True)]
PATIENCE = 15


def until(true: Callable[[], Any], what: str = "") -> Any:
    """Ask again until it is so. A page's policy forbids the driver to wait inside it."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if answer := true():
            return answer
        time.sleep(0.05)
    raise AssertionError(f"not within {PATIENCE} s: {what or true}")


def kept(page: Any) -> list[dict[str, Any]]:
    """Return what waits on the device, without the photos' bytes."""
    rows: list[dict[str, Any]] = page.evaluate(
        "async () => (await outbox.store.all()).map(one => ({...one, files: one.files.map(f => f.blob.size)}))"
    )
    return rows


def ready(page: Any, *addresses: str) -> None:
    """Wait until the worker keeps these pages."""
    asked = "async (wanted) => (await Promise.all(wanted.map(one => caches.match(one)))).every(Boolean)"
    until(lambda: page.evaluate(asked, list(addresses)), "pages kept")


def bar(page: Any) -> str:
    text: str = page.locator("#outbox").inner_text()
    return text


def take_reading(page: Any, base: str, job: Job, value: str) -> None:
    page.goto(base + reverse("bench:reading", args=[job.number]))
    page.get_by_label("What was measured").fill("Insulation resistance")
    page.get_by_label("Value").fill(value)
    page.get_by_label("Unit").fill("MΩ")
    page.get_by_role("button", name="Keep the reading").tap()


def write_note(page: Any, base: str, job: Job, words: str) -> None:
    page.goto(base + reverse("bench:job", args=[job.number]))
    page.get_by_text("Hand this job over").tap()
    page.get_by_label("What is done and what is not").fill(words)
    page.get_by_role("button", name="Hand over").tap()


def put_photo(page: Any, base: str, job: Job, caption: str, size: tuple[int, int] = (640, 480)) -> None:
    page.goto(base + reverse("bench:photos", args=[job.number]))
    page.locator("#files").set_input_files(
        {"name": "stack.jpg", "mimeType": "image/jpeg", "buffer": picture_file(size=size).read()}
    )
    page.get_by_label("What they show").fill(caption)
    page.get_by_role("button", name="Send the photos").tap()


def test_five_kinds_of_entries_wait_survive_a_reload_and_go_out_once_in_order(window):
    user, job = make_user(), make_job()
    record = make_stack_record(job, started_by=user)
    reader = window(user, size=TABLET)
    page = reader.open(reverse("bench:home"))
    page.goto(reader.base + reverse("bench:job", args=[job.number]))
    number = job.number
    pages = [reverse(f"bench:{name}", args=[number]) for name in ("job", "reading", "photos")]
    ready(page, *pages, reverse("bench:stack", args=[number, Stage.AS_FOUND]))
    page.context.set_offline(True)
    take_reading(page, reader.base, job, "120")
    until(lambda: len(kept(page)) == 1)
    assert "1 entry waiting to send" in bar(page)
    write_note(page, reader.base, job, "Stator washed, rotor not yet.")
    until(lambda: len(kept(page)) == 2)
    page.goto(reader.base + reverse("bench:job", args=[job.number]))
    page.get_by_label("I have read these cautions").check()
    page.get_by_role("button", name="Sign off").tap()
    until(lambda: len(kept(page)) == 3)
    page.goto(reader.base + reverse("bench:stack", args=[job.number, Stage.AS_FOUND]))
    page.get_by_role("button", name="bearing 2: turn over").tap()
    until(lambda: len(kept(page)) == 4)
    put_photo(page, reader.base, job, "Stack beside the mount")
    until(lambda: len(kept(page)) == 5)
    page.goto(reader.base + reverse("bench:job", args=[job.number]))
    words = bar(page)
    assert "no network" in words
    assert "5 entries waiting to send" in words
    for shown in ("Reading Insulation resistance · 120 · MΩ", "Hand-over note", "bearing 2: turn over"):
        assert shown in words
    page.reload()
    assert [row["kind"] for row in kept(page)] == ["reading", "note", "sign_off", "stack", "photo"]
    assert Reading.objects.count() == 0
    page.context.set_offline(False)
    until(lambda: not kept(page), "all sent")
    assert Reading.objects.get().value == 120
    assert HandOver.objects.get().done == "Stator washed, rotor not yet."
    assert SignOff.objects.get().person_id == user.pk
    record.refresh_from_db()
    assert [one["data"].get("wide_face") for one in record.items[1:4]] == ["down", "up", "up"]
    assert JobPhoto.objects.get().photo.caption == "Stack beside the mount"
    sent = Event.objects.filter(after__made_at__isnull=False).order_by("id")
    verbs = [event.verb for event in sent]
    assert verbs == [
        "reading.recorded",
        "hand_over.written",
        "cautions.read",
        "step.signed",
        "stack.turned",
        "photo.added",
    ]
    assert (reader.foreign, [one for one in reader.problems if "ERR_INTERNET" not in one]) == ([], [])
