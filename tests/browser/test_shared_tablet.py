"""A shared tablet by touch: enrolled by its code, a name picked, the PIN on drawn keys, a pause, another person."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.conf import settings
from django.contrib.sessions.backends.db import SessionStore
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.measurements.models import Reading
from repairs.people.device_services import add_device
from repairs.people.models import Device
from repairs.people.tablet_session import DEVICE
from repairs.work_orders.models import StackRecord, Stage
from tests.browser.conftest import TABLET
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.people.tablets import OTHER_PIN, PIN, WRONG, make_person_with_pin, make_tablet

pytestmark = pytest.mark.django_db(transaction=True)
UPRIGHT = {"viewport": {"width": 820, "height": 1180}, "has_touch": True}


def tap_pin(page: Any, pin: str) -> None:
    for figure in pin:
        page.locator(f"[data-key='{figure}']").tap()
    page.locator(".pin [type=submit]").tap()


def enrolled(reader: Any) -> Device:
    device, token = make_tablet()
    reader.page.context.add_cookies([{"name": settings.DEVICE_COOKIE, "value": token, "url": reader.base}])
    return device


def leave_alone(reader: Any) -> None:
    """Let the tablet lie for longer than the shop allows."""
    key = next(c["value"] for c in reader.page.context.cookies() if c["name"] == settings.SESSION_COOKIE_NAME)
    session = SessionStore(session_key=key)
    session[DEVICE] = {**session[DEVICE], "seen": 0}
    session.save()


def faults(reader: Any) -> list[Any]:
    page = reader.page
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    small = page.evaluate(
        "[...document.querySelectorAll('main a, main button, .bench__bar a, .bench__bar button')]"
        ".filter(one => one.offsetParent && one.getBoundingClientRect().height < 55.5).map(one => one.outerHTML)"
    )
    return [*reader.violations(), *small, *([f"wider by {wide}"] if wide else [])]


@pytest.mark.parametrize("size", [TABLET, UPRIGHT], ids=["across", "upright"])
def test_enrol_pick_a_name_enter_the_pin_and_change_over(window, size):
    nell = make_person_with_pin(first_name="Nell", last_name="Turner")
    make_person_with_pin("lead", pin=OTHER_PIN, first_name="Lee", last_name="Mast")
    _device, code = add_device(actor=actor_for(make_user("administrator")), name="Bench 2")
    make_job()
    reader = window(size=size)
    found: dict[str, list[Any]] = {}
    page = reader.open(reverse("bench:enrol"))
    found["enrol"] = faults(reader)
    page.get_by_label("Code").fill(f"{code[:5].lower()}-{code[5:].lower()}")
    page.get_by_role("button", name="Enroll tablet").tap()
    page.wait_for_url(f"**{reverse('bench:people')}")
    page.goto(reader.base + reverse("bench:home"))
    found["people"] = faults(reader)
    page.get_by_role("link", name="Nell Turner").tap()
    page.wait_for_selector("[data-key]")
    tap_pin(page, WRONG)
    assert "4 tries left" in page.locator("#refused").inner_text()
    found["pin"] = faults(reader)
    page.locator("[data-key='1']").tap()
    page.locator("[data-key='back']").tap()
    tap_pin(page, PIN)
    page.wait_for_url(f"**{reverse('bench:home')}")
    assert page.locator("body").get_attribute("data-person") == str(nell.pk)
    assert page.locator("body").get_attribute("data-device") == "Bench 2"
    found["home"] = faults(reader)
    page.goto(reader.base + reverse("office:board"))
    found["out of reach"] = faults(reader)
    page.get_by_role("link", name="Back to bench").tap()
    page.get_by_role("button", name="Switch person").tap()
    page.get_by_role("link", name="Lee Mast").tap()
    page.wait_for_selector("[data-key]")
    tap_pin(page, OTHER_PIN)
    page.wait_for_url(f"**{reverse('bench:home')}")
    assert "Lee Mast" in page.locator(".bench__bar").inner_text()
    assert {name: faults for name, faults in found.items() if faults} == {}
    assert (reader.problems, reader.foreign) == ([], [])
    signed = Event.objects.filter(verb="bench.signed_in").order_by("id").values_list("actor_name", "device")
    assert list(signed) == [("Nell Turner", "Bench 2"), ("Lee Mast", "Bench 2")]


def test_what_was_typed_before_a_pause_is_sent_after_the_pin(window):
    """Without a script, so nothing but the page itself keeps it."""
    make_person_with_pin(first_name="Nell", last_name="Turner")
    job = make_job()
    reader = window(size=TABLET, java_script_enabled=False)
    enrolled(reader)
    page = reader.open(reverse("bench:reading", args=[job.number]))
    page.get_by_role("link", name="Nell Turner").tap()
    page.get_by_label("PIN").fill(PIN)
    page.get_by_role("button", name="Open bench").tap()
    page.get_by_label("Reading").fill("Insulation resistance")
    page.get_by_label("Value").fill("120")
    page.get_by_label("Unit").fill("MΩ")
    leave_alone(reader)
    page.get_by_role("button", name="Save reading").tap()
    page.get_by_text("still on this page").wait_for()
    assert not Reading.objects.exists()
    page.get_by_label("PIN").fill(PIN)
    page.get_by_role("button", name="Continue", exact=True).first.tap()
    page.get_by_role("button", name="Send entry").tap()
    page.wait_for_url(re.compile(re.escape(reverse("bench:job", args=[job.number]))))
    reading = Reading.objects.get()
    assert (reading.value, reading.person_name) == (120, "Nell Turner")


def test_an_entry_of_the_outbox_waits_for_the_pin_and_goes_out_by_itself_after_it(window):
    make_person_with_pin(first_name="Nell", last_name="Turner")
    job = make_job()
    reader = window(size=TABLET)
    device = enrolled(reader)
    page = reader.open(reverse("bench:reading", args=[job.number]))
    page.get_by_role("link", name="Nell Turner").tap()
    page.wait_for_selector("[data-key]")
    tap_pin(page, PIN)
    page.get_by_label("Reading").fill("Insulation resistance")
    page.get_by_label("Value").fill("120")
    page.get_by_label("Unit").fill("MΩ")
    leave_alone(reader)
    page.get_by_role("button", name="Save reading").tap()
    page.wait_for_url(f"**{reverse('bench:go_on')}*")
    page.get_by_text("1 entry waiting to send").wait_for()
    assert not Reading.objects.exists()
    tap_pin(page, PIN)
    page.wait_for_url(f"**{reverse('bench:reading', args=[job.number])}")
    page.get_by_text("Insulation resistance: 120").wait_for()
    reading = Reading.objects.get()
    assert (reading.value, reading.person_name) == (120, "Nell Turner")
    assert Event.objects.get(verb="reading.recorded").device == device.name


def test_an_act_on_the_recorder_after_a_pause_asks_in_place_and_is_done_after_the_pin(window):
    nell = make_person_with_pin(first_name="Nell", last_name="Turner")
    record = make_stack_record(make_job(), faces="ddu", started_by=nell)
    reader = window(size=TABLET)
    enrolled(reader)
    page = reader.open(reverse("bench:stack", args=[record.job.number, Stage.AS_FOUND]))
    page.get_by_role("link", name="Nell Turner").tap()
    page.wait_for_selector("[data-key]")
    tap_pin(page, PIN)
    page.wait_for_selector("#recorder")
    leave_alone(reader)
    page.get_by_role("button", name="bearing 2: flip").tap()
    page.wait_for_selector("[data-key]")
    assert page.locator(".bench__bar").inner_text().strip() == ""
    assert faults(reader) == []
    tap_pin(page, PIN)
    page.wait_for_selector("#recorder")
    faces = [one["data"].get("wide_face") for one in StackRecord.objects.get(pk=record.pk).items[1:4]]
    assert faces == ["down", "up", "up"]
    assert (reader.problems, reader.foreign) == ([], [])
