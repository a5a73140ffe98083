"""The recorder under a finger, on a tablet: a triple as found, then as built with a bearing turned over by mistake."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from repairs.work_orders.models import Job, Stage
from repairs.work_orders.services.pictures import add_photos
from tests.browser.conftest import TABLET
from tests.repairs.factories import (
    actor_for,
    make_job,
    make_rating,
    make_stack_record,
    make_user,
    picture_file,
    triple_items,
)
from tests.repairs.signed_stacks import approve

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.data]


def stack_page(job: Job, stage: str = Stage.AS_FOUND) -> str:
    return reverse("bench:stack", args=[job.number, stage])


def order(page: Any) -> list[str]:
    """Names on the list with the way each wide face looks."""
    rows = page.locator("ol.items > li")
    return [rows.nth(n).inner_text().replace("\n", " ") for n in range(rows.count())]


def faces(page: Any) -> str:
    words = page.locator("ol.items .face b").all_inner_texts()
    return "".join(word[0].lower() for word in words)


def test_recording_a_triple_from_the_top_down_with_fingers_only(window):
    user, job = make_user(), make_job()
    make_rating(designation="7320 X", cage="machined brass")
    reader = window(user, size=TABLET)
    page = reader.open(stack_page(job))
    page.get_by_role("button", name="Start with empty list").tap()
    for face in ("down", "down", "up"):
        page.get_by_role("link", name="Add part").tap()
        page.get_by_label("Designation stamped on the ring").type("7320x")
        page.get_by_role("button", name=f"Add wide face {face}").tap()
        page.wait_for_url("**/stack/as_found/")
    assert faces(page) == "ddu"
    assert "2 down, 1 up." in page.locator(".arranged").inner_text()
    page.get_by_role("button", name="Mark top of mount").tap()
    page.get_by_role("button", name="Top of mount is marked").wait_for()
    for absent in (
        "No snap ring",
        "No lock nut",
        "No spacer, no shim",
        "No springs",
        "No readable mark or serial",
    ):
        button = page.get_by_role("button", name=absent)
        button.tap()
        page.locator("#recorder button[aria-pressed='true']", has_text=absent).wait_for()
    assert "1 thing missing" in page.locator("#recorder-bar").inner_text()
    assert reader.violations() == []
    assert (reader.problems, reader.foreign) == ([], [])


def test_the_drawing_is_the_control_a_tap_chooses_and_one_button_turns(window):
    user, record = make_user(), make_stack_record()
    page = window(user, size=TABLET).open(stack_page(record.job))
    requests: list[str] = []
    page.on("request", lambda request: request.resource_type == "xhr" and requests.append(request.method))
    page.locator("svg.stack-drawing a[data-ref='2']").tap()
    page.locator(".item--chosen").wait_for()
    page.get_by_role("button", name="Flip it").tap()
    page.locator(".arranged", has_text="1 down, 2 up.").wait_for()
    assert requests == ["GET", "POST"]
    assert faces(page) == "duu"
    assert page.evaluate("document.activeElement.id") == "turn-chosen"
    page.get_by_role("button", name="Undo").tap()
    page.locator(".arranged", has_text="2 down, 1 up.").wait_for()


def wait_for_version(page, version):
    """Wait for the server's answer: a dragged part stands at its new place before that already."""
    page.locator(f"#recorder input[name=version][value='{version}']").first.wait_for(state="attached")


def test_parts_move_by_dragging_by_keyboard_and_by_buttons(window):
    user, record = make_user(), make_stack_record()
    page = window(user, size=TABLET).open(stack_page(record.job))
    handle = page.locator("li[data-uid='b3'] .item__no").bounding_box()
    target = page.locator("li[data-uid='b1']").bounding_box()
    page.mouse.move(handle["x"] + 20, handle["y"] + 20)
    page.mouse.down()
    page.mouse.move(handle["x"] + 20, target["y"] + 12, steps=8)
    page.mouse.up()
    wait_for_version(page, 2)
    page.locator("ol.items > li:nth-child(2)[data-uid='b3']").wait_for()
    assert faces(page) == "udd"
    page.locator("#item-b3").focus()
    page.keyboard.press("Alt+ArrowDown")
    wait_for_version(page, 3)
    page.locator("ol.items > li:nth-child(3)[data-uid='b3']").wait_for()
    page.locator("#item-b3").tap()
    page.locator("#down-b3").tap()
    page.locator("ol.items > li:nth-child(4)[data-uid='b3']").wait_for()
    assert faces(page) == "ddu"


def test_a_bearing_turned_over_by_mistake_reads_stop_and_asks_for_a_second_person(window):
    lead, builder, other, job = make_user("lead"), make_user(), make_user(), make_job()
    items = triple_items("ddu")
    specified = make_stack_record(job, Stage.SPECIFIED, items=items)
    approve(actor_for(lead), specified)
    draft = make_stack_record(job, Stage.AS_BUILT, items=items, started_by=builder, top_identified=True)
    add_photos(actor=actor_for(builder), job=job, files=[picture_file()], stack_record=draft)
    reader = window(builder, size=TABLET)
    page = reader.open(stack_page(job, Stage.AS_BUILT))
    page.get_by_role("button", name="bearing 2: flip").tap()
    page.locator(".arranged", has_text="1 down, 2 up.").wait_for()
    assert page.locator(".finding--stop").count() == 0
    page.get_by_role("button", name="Submit and compare").tap()
    stop = page.locator(".finding--stop").first
    stop.wait_for()
    words = stop.inner_text()
    assert "STOP" in words.upper()
    assert "Bearing 2 is upside down. Specified: wide face down. As built: wide face up." in words
    assert "second person" in words
    built, specified = page.locator("svg.stack-drawing").all()
    assert "flipped" in built.text_content()
    assert "flipped" not in specified.text_content()
    assert reader.violations() == []
    assert "Another person must record it again." in page.locator("#recorder-bar").inner_text()
    assert page.get_by_role("button", name="Record again").count() == 0
    second = window(other, size=TABLET).open(stack_page(job, Stage.AS_BUILT))
    second.get_by_role("button", name="Record again").tap()
    second.locator("h1").wait_for()
    assert "Nothing recorded yet" in second.locator("#recorder").inner_text()


def test_every_target_of_the_recorder_is_large_enough_for_a_glove(window):
    user, record = make_user(), make_stack_record()
    page = window(user, size=TABLET).open(stack_page(record.job) + "?item=b2")
    small = page.evaluate(
        "() => [...document.querySelectorAll('#recorder button, #recorder-bar .button, ol.items > .item')]"
        ".map(e => [e.innerText, e.getBoundingClientRect().height]).filter(([, h]) => h < 56)"
    )
    assert small == []


def test_without_a_script_the_recorder_still_turns_moves_and_takes_back(window):
    user, record = make_user(), make_stack_record()
    page = window(user, size=TABLET, java_script_enabled=False).open(stack_page(record.job))
    page.get_by_role("button", name="bearing 2: flip").tap()
    page.wait_for_url("**?item=b2")
    assert faces(page) == "duu"
    page.locator("#down-b2").tap()
    page.locator("ol.items > li:nth-child(4)[data-uid='b2']").wait_for()
    assert [row.split()[0] for row in order(page)] == ["a", "1", "2", "3", "b"]
    page.get_by_role("button", name="Undo").tap()
    page.locator("ol.items > li:nth-child(3)[data-uid='b2']").wait_for()
    page.get_by_role("button", name="Undo").tap()
    page.locator(".arranged", has_text="2 down, 1 up.").wait_for()
    assert faces(page) == "ddu"
