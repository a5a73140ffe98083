"""A tablet whose network goes: what is entered stays on it, shows that it waits, and goes out once when it is back."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.measurements.models import Reading
from repairs.work_orders.models import HandOver, JobPhoto, SignOff, Stage
from tests.browser.at_the_tablet import (
    bar,
    become,
    held,
    kept,
    put_photo,
    ready,
    take_reading,
    until,
    write_note,
)
from tests.browser.conftest import TABLET
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, picture_file
from tests.repairs.signed_stacks import approve

pytestmark = [pytest.mark.django_db(transaction=True)]


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
    page.get_by_role("button", name="bearing 2: flip").tap()
    held(page, 4)
    put_photo(page, reader.base, job, "Stack beside the mount")
    held(page, 5)
    page.goto(reader.base + reverse("bench:job", args=[job.number]))
    until(lambda: "5 entries waiting to send" in bar(page))
    words = bar(page)
    assert "No network" in words
    for shown in ("Reading Insulation resistance · 120 · MΩ", "Handoff note", "bearing 2: flip"):
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
    page.get_by_label("Job no. from the tag (part is enough)").fill(job.number)
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
    assert "not saved on the tablet" in page.locator("main").inner_text()
    assert reader.violations() == []


def test_acts_made_one_after_the_other_without_network_follow_each_other(window):
    user = make_user()
    record = make_stack_record(started_by=user)
    stack = reverse("bench:stack", args=[record.job.number, Stage.AS_FOUND])
    reader = window(user, size=TABLET)
    page = reader.open(stack)
    ready(page, stack)
    page.context.set_offline(True)
    for count, name in enumerate(("bearing 1: flip", "bearing 2: flip", "Undo"), 1):
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
    page.get_by_text("83% full: 830 of 1,000 MB").wait_for()
    full = window(user, size=TABLET)
    full.page.add_init_script(estimate(0.96))
    page = full.open(reverse("bench:photos", args=[job.number]))
    page.locator("#files").set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": picture_file().read()}
    )
    page.get_by_role("button", name="Upload photos").tap()
    page.locator("#messages", has_text="No more photos").wait_for()
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
    page.locator("#messages", has_text="This tablet is full").wait_for()
    assert page.get_by_label("Value").input_value() == "55"


def test_a_stack_being_built_hides_the_kept_pages_of_the_specified_one(window):
    lead, builder, job = make_user("lead"), make_user(), make_job()
    specified = make_stack_record(job, Stage.SPECIFIED)
    approve(actor_for(lead), specified)
    address = reverse("bench:stack", args=[job.number, Stage.SPECIFIED])
    built = reverse("bench:stack", args=[job.number, Stage.AS_BUILT])
    reader = window(builder, size=TABLET)
    page = reader.open(reverse("bench:home"))
    ready(page, address, reverse("bench:compare", args=[job.number]))
    page.goto(reader.base + built)
    page.get_by_role("button", name="Start with empty list").tap()
    page.get_by_role("link", name="Add part").wait_for()
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
