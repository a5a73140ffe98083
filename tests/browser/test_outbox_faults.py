"""A server in trouble: entries wait on the tablet however often it answers so, and then go exactly once."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from repairs.measurements.models import Reading
from tests.browser.at_the_tablet import held, kept, take_reading, until, write_note
from tests.browser.conftest import TABLET
from tests.repairs.factories import make_job, make_user

pytestmark = [pytest.mark.django_db(transaction=True)]

WAIT = {"status": 503, "headers": {"Retry-After": "10"}, "json": {"state": "wait", "fault": "busy"}}
PROXY = [
    {"status": status, "body": "<h1>proxy</h1>", "content_type": "text/html"}
    for status in (502, 504, 429, 408)
]
FAILED = {"status": 500, "json": {"state": "failed"}}
DRAIN = "() => outbox.sender.drain()"


class Troubled:
    """Answers in the server's place while it is in trouble; the answer may follow the address."""

    def __init__(self, page: Any, pattern: str, answers: list[dict[str, Any]]) -> None:
        self.answers, self.given, self.over = answers, 0, False
        page.context.route(pattern, self._answer)

    def _answer(self, route: Any) -> None:
        if self.over or route.request.method != "POST":
            route.continue_()
            return
        self.given += 1
        route.fulfill(**self.answers[self.given % len(self.answers)])


def test_entries_wait_through_any_number_of_faults_and_then_go_once(window):
    user, job = make_user(), make_job()
    # The driver cannot stand between a page and its worker, so this tablet has none.
    reader = window(user, size=TABLET, service_workers="block")
    page = reader.page
    trouble = Troubled(page, "**/reading/", [WAIT, *PROXY, FAILED])
    take_reading(page, reader.base, job, "75")
    held(page, 1)
    until(lambda: page.evaluate(DRAIN) and trouble.given >= 14, "many tries")
    assert [row["state"] for row in kept(page)] == ["waiting"]
    assert Reading.objects.count() == 0
    trouble.over = True
    until(lambda: page.evaluate(DRAIN) and not kept(page), "sent")
    assert [one.value for one in Reading.objects.all()] == [75]


def test_an_entry_that_the_server_fails_over_does_not_hold_up_the_others(window):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET, service_workers="block")
    page = reader.page
    trouble = Troubled(page, "**/reading/", [FAILED])
    take_reading(page, reader.base, job, "75")
    held(page, 1)
    write_note(page, reader.base, job, "bearings out, shaft on the stand")
    # Asked in the driver, which hands the answers out meanwhile.
    until(lambda: job.hand_overs.exists() or page.wait_for_timeout(100), "the note went past it")
    # The page goes to what was saved by itself; until then another way is cut off.
    page.locator("main", has_text="bearings out, shaft on the stand").wait_for()
    page.goto(reader.base + reverse("bench:outbox"))
    page.get_by_text("server error (code 500)").wait_for()
    trouble.over = True
    until(lambda: page.evaluate(DRAIN) and not kept(page), "sent")
    assert [one.value for one in Reading.objects.all()] == [75]


def test_only_the_shop_s_own_refusal_brings_an_entry_back(window):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET, service_workers="block")
    page = reader.page
    proxy = [{"status": status, "body": "no", "content_type": "text/plain"} for status in (400, 404, 413)]
    trouble = Troubled(page, "**/reading/", proxy)
    take_reading(page, reader.base, job, "75")
    held(page, 1)
    until(lambda: page.evaluate(DRAIN) and trouble.given >= 6, "many tries")
    assert [row["state"] for row in kept(page)] == ["waiting"]
    trouble.answers = [
        {"status": 413, "json": {"state": "refused", "words": "Too large. Send fewer photos."}}
    ]
    until(lambda: page.evaluate(DRAIN) and [row["state"] for row in kept(page)] == ["refused"], "came back")
    page.goto(reader.base + reverse("bench:outbox"))
    page.get_by_text("Too large. Send fewer photos.").wait_for()
