"""A tablet whose network goes: what is entered stays on it, shows that it waits, and goes out once when it is back."""

from __future__ import annotations

import hashlib
import os
import time
from collections.abc import Callable
from io import BytesIO
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from PIL import Image

from repairs.ledger.models import Event
from repairs.measurements.models import Reading
from repairs.work_orders.models import HandOver, Job, JobPhoto, SignOff, Stage
from repairs.work_orders.services.stack_approving import approve_specified
from tests.browser.conftest import TABLET
from tests.browser.cut_line import CutLine
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file

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


def held(page: Any, count: int) -> None:
    """Wait until the device holds so many entries and its page said so."""
    until(lambda: len(kept(page)) == count, f"{count} kept")
    page.locator("#messages", has_text="Kept on this device").wait_for()


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
    held(page, 1)
    until(lambda: "1 entry waiting to send" in bar(page))
    write_note(page, reader.base, job, "Stator washed, rotor not yet.")
    held(page, 2)
    page.goto(reader.base + reverse("bench:job", args=[job.number]))
    page.get_by_label("I have read these cautions").check()
    page.get_by_role("button", name="Sign off").tap()
    held(page, 3)
    page.goto(reader.base + reverse("bench:stack", args=[job.number, Stage.AS_FOUND]))
    page.get_by_role("button", name="bearing 2: turn over").tap()
    held(page, 4)
    put_photo(page, reader.base, job, "Stack beside the mount")
    held(page, 5)
    page.goto(reader.base + reverse("bench:job", args=[job.number]))
    until(lambda: "5 entries waiting to send" in bar(page))
    words = bar(page)
    assert "no network" in words
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


def test_pages_of_today_stay_readable_and_others_say_that_they_are_not_kept(window):
    user, job = make_user(), make_job()
    make_stack_record(job, started_by=user)
    reader = window(user, size=TABLET)
    address, stack = (
        reverse("bench:job", args=[job.number]),
        reverse("bench:stack", args=[job.number, "as_found"]),
    )
    page = reader.open(address)
    ready(page, address, stack)
    cautions = page.locator(".caution").count()
    page.context.set_offline(True)
    page.goto(reader.base + reverse("bench:home"))
    page.get_by_label("Job number").fill(job.number)
    page.get_by_role("button", name="Open").tap()
    page.wait_for_url(f"**{address}")
    assert page.locator(".caution").count() == cautions > 0
    page.get_by_text("All steps of this job").tap()
    assert page.get_by_text("Heat, mount, record as built").is_visible()
    page.goto(reader.base + stack)
    assert page.locator("svg.stack-drawing").is_visible()
    page.locator("#item-b2").tap()
    page.wait_for_url("**item=b2")
    page.goto(reader.base + reverse("bench:job", args=["26-7777"]))
    assert "not kept on the device" in page.locator("main").inner_text()
    assert reader.violations() == []


def noisy_photo(side: int) -> bytes:
    """A picture that cannot be packed small, so that it is on its way for a while."""
    out = BytesIO()
    Image.frombytes("RGB", (side, side), os.urandom(3 * side * side)).save(out, "JPEG", quality=90)
    return out.getvalue()


def test_a_network_that_goes_in_the_middle_of_a_photo_leaves_nothing_and_then_one(window, live_server):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET)
    address, photo = reverse("bench:photos", args=[job.number]), noisy_photo(700)
    with CutLine(live_server.thread.port) as line:
        reader.base = f"http://localhost:{line.port}"
        page = reader.open(address)
        ready(page, address)
        line.pause_s, line.sent_up = 0.1, 0
        page.locator("#files").set_input_files({"name": "big.jpg", "mimeType": "image/jpeg", "buffer": photo})
        page.get_by_role("button", name="Send the photos").tap()
        until(lambda: line.sent_up > 80_000, "on its way")
        line.cut()
        assert line.sent_up < len(photo) / 2
        held(page, 1)
        assert JobPhoto.objects.count() == 0
        page.reload()
        assert [row["files"] for row in kept(page)] == [[len(photo)]]
        until(lambda: "no network" in bar(page))
        line.pause_s = 0
        line.mend()
        until(lambda: not kept(page))
        assert JobPhoto.objects.get().photo.sha256 == hashlib.sha256(photo).hexdigest()
        page.locator(".photo-strip img").wait_for()


def test_an_answer_that_is_lost_after_the_server_kept_the_photo_makes_no_second_one(window):
    user, job = make_user(), make_job()
    # The driver cannot stand between a page and its worker, so this tablet has none.
    reader = window(user, size=TABLET, service_workers="block")
    page = reader.open(reverse("bench:photos", args=[job.number]))
    arrived: list[int] = []

    def lose(route: Any) -> None:
        if route.request.method != "POST" or len(arrived) > 1:
            route.continue_()
            return
        arrived.append(route.fetch().status)
        route.abort("connectionreset")

    page.context.route("**/photos/", lose)
    page.locator("#files").set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": picture_file().read()}
    )
    page.get_by_role("button", name="Send the photos").tap()
    until(lambda: not kept(page) and len(arrived) > 1, "sent after two lost answers")
    assert arrived == [200, 200]
    assert JobPhoto.objects.count() == 1


def become(page: Any, base: str, user: Any) -> None:
    """Sign somebody else in on this device, as another tab would."""
    client = Client()
    client.force_login(user)
    value = client.cookies[settings.SESSION_COOKIE_NAME].value
    page.context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": value, "url": base}])


def test_what_one_person_entered_is_never_sent_under_another_s_name(window):
    author, other = make_user(first_name="Invented", last_name="Author"), make_user()
    job = make_job()
    reader = window(author, size=TABLET)
    address = reverse("bench:reading", args=[job.number])
    page = reader.open(address)
    ready(page, address)
    page.context.set_offline(True)
    take_reading(page, reader.base, job, "75")
    held(page, 1)
    become(page, reader.base, other)
    page.context.set_offline(False)
    page.goto(reader.base + reverse("bench:job", args=[job.number]))
    page.get_by_text("waiting for Invented Author to sign in").wait_for()
    take_reading(page, reader.base, job, "12")
    page.wait_for_url("**/jobs/*/")
    assert [(one.value, one.person_id) for one in Reading.objects.all()] == [(12, other.pk)]
    names = page.evaluate("async () => (await caches.keys()).filter(name => name.startsWith('pages-'))")
    assert names == [f"pages-{other.pk}"]
    page.goto(reader.base + reverse("bench:outbox"))
    assert page.get_by_role("button", name="Take it back").count() == 0
    become(page, reader.base, author)
    page.goto(reader.base + reverse("bench:job", args=[job.number]))
    until(lambda: not kept(page))
    assert [(one.value, one.person_id) for one in Reading.objects.order_by("id")] == [
        (12, other.pk),
        (75, author.pk),
    ]


def test_a_refused_entry_comes_back_to_its_author_is_put_right_and_sent_again(window):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET)
    address = reverse("bench:reading", args=[job.number])
    page = reader.open(address)
    ready(page, address)
    page.context.set_offline(True)
    take_reading(page, reader.base, job, "12,5")
    held(page, 1)
    page.context.set_offline(False)
    page.get_by_text("1 entry came back").tap()
    page.get_by_text("“12,5” is not a number").wait_for()
    assert (
        page.locator(".outbox-card").get_by_label("What was measured").input_value()
        == "Insulation resistance"
    )
    assert reader.violations() == []
    page.locator(".outbox-card").get_by_label("Value").fill("12.5")
    page.get_by_role("button", name="Send it again").tap()
    page.get_by_text("Nothing waits on this device.").wait_for()
    assert float(Reading.objects.get().value) == 12.5


def test_two_tablets_on_one_job_the_later_one_sees_both_versions_and_decides(window):
    first, second = make_user(), make_user(first_name="Invented", last_name="Second")
    job = make_job()
    record = make_stack_record(job, started_by=first)
    stack = reverse("bench:stack", args=[job.number, Stage.AS_FOUND])
    one, two = window(first, size=TABLET), window(second, size=TABLET)
    page, other = one.open(stack), two.open(stack)
    ready(page, stack)
    page.context.set_offline(True)
    page.get_by_role("button", name="bearing 2: turn over").tap()
    held(page, 1)
    page.get_by_role("button", name="bearing 3: turn over").tap()
    held(page, 2)
    other.get_by_role("button", name="bearing 1: turn over").tap()
    other.locator(".arranged", has_text="1 down, 2 up.").wait_for()
    page.context.set_offline(False)
    page.get_by_text("1 entry came back").wait_for()
    page.goto(one.base + reverse("bench:outbox"))
    card = page.locator(".outbox-card").first
    card.get_by_text("Somebody changed this meanwhile").wait_for()
    words = card.inner_text()
    assert "turn bearing 2 over" in words
    assert "Invented Second turned bearing 1 over" in words
    assert "Waits for the entry above that came back" in page.locator(".outbox-card").nth(1).inner_text()
    card.get_by_role("button", name="Send it again").tap()
    until(lambda: [row["state"] for row in kept(page)] == ["conflict"], "the second act comes back as well")
    page.get_by_role("button", name="Take it back").tap()
    page.get_by_role("button", name="Press again").tap()
    page.get_by_text("Nothing waits on this device.").wait_for()
    record.refresh_from_db()
    assert [entry["data"].get("wide_face") for entry in record.items[1:4]] == ["up", "up", "up"]
    assert record.version == 3


def test_acts_made_one_after_the_other_without_network_follow_each_other(window):
    user = make_user()
    record = make_stack_record(started_by=user)
    stack = reverse("bench:stack", args=[record.job.number, Stage.AS_FOUND])
    reader = window(user, size=TABLET)
    page = reader.open(stack)
    ready(page, stack)
    page.context.set_offline(True)
    for count, name in enumerate(("bearing 1: turn over", "bearing 2: turn over", "Undo"), 1):
        page.get_by_role("button", name=name).tap()
        held(page, count)
    page.context.set_offline(False)
    until(lambda: not kept(page))
    record.refresh_from_db()
    assert record.version == 4
    page.locator(".arranged", has_text="1 down, 2 up.").wait_for()


OLD_BROWSER = """
delete ServiceWorkerRegistration.prototype.sync; delete window.SyncManager;
Object.defineProperty(navigator, "locks", {value: undefined}); delete crypto.randomUUID;
"""


def test_without_background_sync_and_locks_the_page_itself_sends(window):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET)
    reader.page.add_init_script(OLD_BROWSER)
    address = reverse("bench:reading", args=[job.number])
    page = reader.open(address)
    ready(page, address)
    page.context.set_offline(True)
    take_reading(page, reader.base, job, "33")
    held(page, 1)
    second = page.context.new_page()
    second.goto(reader.base + address)
    page.context.set_offline(False)
    until(lambda: not kept(page))
    assert Reading.objects.count() == 1


def estimate(share: float) -> str:
    return f"navigator.storage.estimate = async () => ({{usage: {int(share * 1e9)}, quota: 1e9}});"


def test_a_device_that_fills_up_says_so_with_numbers_before_it_takes_no_more_photos(window):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET)
    reader.page.add_init_script(estimate(0.83))
    page = reader.open(reverse("bench:photos", args=[job.number]))
    page.get_by_text("83 % full: 830 of 1,000 MB").wait_for()
    full = window(user, size=TABLET)
    full.page.add_init_script(estimate(0.96))
    page = full.open(reverse("bench:photos", args=[job.number]))
    page.locator("#files").set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": picture_file().read()}
    )
    page.get_by_role("button", name="Send the photos").tap()
    page.locator("#messages", has_text="takes no more photos").wait_for()
    assert page.evaluate("document.getElementById('files').files.length") == 1
    assert kept(page) == []
    take_reading(page, full.base, job, "55")
    page.wait_for_url("**/jobs/*/")
    assert Reading.objects.count() == 1


FULL = """
IDBObjectStore.prototype.add = () => { throw new DOMException("", "QuotaExceededError"); };
"""


def test_an_entry_that_finds_no_room_stays_on_the_form(window):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET)
    reader.page.add_init_script(FULL)
    page = reader.open(reverse("bench:reading", args=[job.number]))
    take_reading(page, reader.base, job, "55")
    page.locator("#messages", has_text="This device is full").wait_for()
    assert page.get_by_label("Value").input_value() == "55"


def test_a_stack_being_built_hides_the_kept_pages_of_the_specified_one(window):
    lead, builder, job = make_user("lead"), make_user(), make_job()
    specified = make_stack_record(job, Stage.SPECIFIED)
    approve_specified(actor=actor_for(lead), record=specified, version=1)
    address = reverse("bench:stack", args=[job.number, Stage.SPECIFIED])
    built = reverse("bench:stack", args=[job.number, Stage.AS_BUILT])
    reader = window(builder, size=TABLET)
    page = reader.open(reverse("bench:home"))
    ready(page, address, reverse("bench:compare", args=[job.number]))
    page.goto(reader.base + built)
    page.get_by_role("button", name="Begin with an empty list").tap()
    page.get_by_role("link", name="Add a part").wait_for()
    seen = "async (one) => (await (await caches.match(one)).text()).includes('stack-drawing')"
    hidden = f"async (one) => !!(await caches.match(one)) && !(await ({seen})(one))"
    until(lambda: page.evaluate(hidden, address))
    until(lambda: page.evaluate(hidden, reverse("bench:compare", args=[job.number])))
    page.context.set_offline(True)
    page.goto(reader.base + address)
    assert "The specified stack is hidden" in page.locator("main").inner_text()
    page.goto(reader.base + reverse("bench:compare", args=[job.number]))
    assert "The specified stack is hidden" in page.locator("main").inner_text()


def test_signing_out_takes_the_kept_pages_from_the_tablet_and_leaves_what_waits(window):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET)
    address = reverse("bench:reading", args=[job.number])
    page = reader.open(address)
    ready(page, address)
    page.context.set_offline(True)
    take_reading(page, reader.base, job, "5")
    held(page, 1)
    page.context.clear_cookies()
    page.context.set_offline(False)
    page.goto(reader.base + reverse("bench:home"))
    page.get_by_label("Password").wait_for()
    names = "async () => (await caches.keys()).filter(name => name.startsWith('pages-'))"
    until(lambda: page.evaluate(names) == [])
    become(page, reader.base, user)
    page.goto(reader.base + reverse("bench:home"))
    until(lambda: not kept(page))
    assert Reading.objects.get().person_id == user.pk
