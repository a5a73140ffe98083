"""Cut lines, lost answers, other people, refused and late entries: nothing is lost, doubled or sent by another."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest
from django.urls import reverse

from repairs.measurements.models import Reading
from repairs.work_orders.models import JobPhoto, Stage
from tests.browser.at_the_tablet import bar, become, held, kept, noisy_photo, ready, take_reading, until
from tests.browser.conftest import TABLET
from tests.browser.cut_line import CutLine
from tests.repairs.factories import make_job, make_stack_record, make_user, picture_file

pytestmark = [pytest.mark.django_db(transaction=True)]


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
        page.get_by_role("button", name="Upload photos").tap()
        until(lambda: line.sent_up > 80_000, "on its way")
        line.cut()
        assert line.sent_up < len(photo) / 2
        held(page, 1)
        assert JobPhoto.objects.count() == 0
        page.reload()
        assert [row["files"] for row in kept(page)] == [[len(photo)]]
        until(lambda: "No network" in bar(page))
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
    page.get_by_role("button", name="Upload photos").tap()
    until(lambda: not kept(page) and len(arrived) > 1, "sent after two lost answers")
    assert arrived == [200, 200]
    assert JobPhoto.objects.count() == 1


def test_good_photos_are_saved_and_a_refused_one_stays_on_the_tablet_with_its_reason(window):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET)
    page = reader.open(reverse("bench:photos", args=[job.number]))
    whole = noisy_photo(120)
    contents = {"one.jpg": whole, "half.jpg": whole[: len(whole) // 2], "two.jpg": picture_file().read()}
    page.locator("#files").set_input_files(
        [{"name": name, "mimeType": "image/jpeg", "buffer": content} for name, content in contents.items()]
    )
    page.get_by_role("button", name="Upload photos").tap()
    page.locator("#messages", has_text="2 photos saved. Not saved: half.jpg is incomplete").wait_for()
    page.locator(".photo-strip img").nth(1).wait_for()
    assert JobPhoto.objects.count() == 2
    assert [(row["state"], row["files"]) for row in kept(page)] == [("refused", [len(whole) // 2])]
    page.goto(reader.base + reverse("bench:outbox"))
    page.get_by_text("half.jpg is incomplete: the end of the file is missing.").first.wait_for()


@pytest.mark.parametrize("contents_are", ["good and cut off", "cut off"])
def test_an_answer_that_comes_after_the_form_gave_up_waiting_is_still_shown(window, contents_are):
    user, job = make_user(), make_job()
    # The driver cannot stand between a page and its worker, so this tablet has none.
    reader = window(user, size=TABLET, service_workers="block")
    page = reader.page
    page.clock.install()
    reader.open(reverse("bench:photos", args=[job.number]))
    held_back: list[Any] = []
    page.context.route(
        "**/photos/",
        lambda route: held_back.append(route) if route.request.method == "POST" else route.continue_(),
    )
    whole = noisy_photo(120)
    contents = {"half.jpg": whole[: len(whole) // 2]}
    if contents_are != "cut off":
        contents["one.jpg"] = whole
    page.locator("#files").set_input_files(
        [{"name": name, "mimeType": "image/jpeg", "buffer": content} for name, content in contents.items()]
    )
    page.get_by_role("button", name="Upload photos").tap()
    until(lambda: held_back or page.wait_for_timeout(50), "sent")
    page.clock.run_for(60_000)
    held(page, 1)
    held_back[0].continue_()
    until(lambda: page.clock.run_for(400) or [row["state"] for row in kept(page)] == ["refused"], "answered")
    page.get_by_text("1 entry not accepted").wait_for()
    if contents_are != "cut off":
        until(
            lambda: (
                page.clock.run_for(400)
                or "1 photo saved. Not saved: half.jpg" in page.inner_text("#messages")
            )
        )
    page.goto(reader.base + reverse("bench:outbox"))
    page.get_by_text("half.jpg is incomplete: the end of the file is missing.").first.wait_for()


def test_a_picture_of_too_many_pixels_is_scaled_on_the_tablet_and_says_so(window):
    user, job = make_user(), make_job()
    reader = window(user, size=TABLET)
    page = reader.open(reverse("bench:photos", args=[job.number]))
    big = picture_file(size=(6400, 4800), quality=40).read()
    page.locator("#files").set_input_files({"name": "big.jpg", "mimeType": "image/jpeg", "buffer": big})
    page.get_by_role("button", name="Upload photos").tap()
    page.get_by_text("big.jpg has 31 million pixels and is sent with 12 million.").wait_for()
    page.locator(".photo-strip img").wait_for()
    photo = JobPhoto.objects.get().photo
    assert (photo.width, photo.height) == (4000, 3000)


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
    assert page.get_by_role("button", name="Delete entry").count() == 0
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
    page.get_by_text("1 entry not accepted").tap()
    page.get_by_text("“12,5” has a comma before its decimals").wait_for()
    assert page.locator(".outbox-card").get_by_label("Reading").input_value() == "Insulation resistance"
    assert reader.violations() == []
    page.locator(".outbox-card").get_by_label("Value").fill("12.5")
    page.get_by_role("button", name="Send again").tap()
    page.get_by_text("Nothing is waiting on this tablet.").wait_for()
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
    page.get_by_role("button", name="bearing 2: flip").tap()
    held(page, 1)
    page.get_by_role("button", name="bearing 3: flip").tap()
    held(page, 2)
    other.get_by_role("button", name="bearing 1: flip").tap()
    other.locator(".arranged", has_text="1 down, 2 up.").wait_for()
    page.context.set_offline(False)
    page.get_by_text("1 entry not accepted").wait_for()
    page.goto(one.base + reverse("bench:outbox"))
    card = page.locator(".outbox-card").first
    card.get_by_text("Someone else changed this", exact=True).wait_for()
    words = card.inner_text()
    assert "flip bearing 2" in words
    assert "Invented Second flipped bearing 1" in words
    assert (
        "Waiting for the entry above, which was not accepted"
        in page.locator(".outbox-card").nth(1).inner_text()
    )
    card.get_by_role("button", name="Send again").tap()
    until(lambda: [row["state"] for row in kept(page)] == ["conflict"], "the second act comes back as well")
    page.get_by_role("button", name="Delete entry").tap()
    page.get_by_role("button", name="Tap again").tap()
    page.get_by_text("Nothing is waiting on this tablet.").wait_for()
    record.refresh_from_db()
    assert [entry["data"].get("wide_face") for entry in record.items[1:4]] == ["up", "up", "up"]
    assert record.version == 3
