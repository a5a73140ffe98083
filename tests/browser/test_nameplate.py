"""The nameplate's form in a real browser: by the keyboard alone, by touch, without script."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.motors.models import Motor
from tests.browser.conftest import DESKTOP, TABLET
from tests.repairs.factories import make_motor, make_template, make_user

pytestmark = pytest.mark.django_db(transaction=True)
# What a person types from one field to the next, with the key Tab between.
TYPED = [
    ("plate-manufacturer", "Alder"), ("plate-model", "RV"), ("serial", "?"), ("plate-frame", "L449VP"),
    ("plate-power_w", "150HP/112KW"), ("plate-rated_speed_rpm", "1785"), ("plate-voltage_v", "3-60-460"),
    ("plate-current_a", "170"), ("plate-frequency_hz", ""), ("plate-phases", ""), ("plate-service_factor", "1.15 SF"),
    ("plate-enclosure", "WPI"), ("plate-insulation_class", "F/B"), ("plate-ambient_c", "40C AMB"),
    ("plate-duty", "CONT"), ("plate-shaft_build", "VHS"), ("plate-down_thrust_n", "-"),
]  # fmt: skip


def test_a_plate_is_typed_by_the_keyboard_alone_in_the_order_of_plates(window):
    motor = make_motor(tag="Well 7")
    office = window(make_user("office", units="us"))
    page = office.open(reverse("office:edit_motor", args=[motor.pk]))
    page.focus("[name=plate-manufacturer]")
    for name, text in TYPED:
        assert page.evaluate("document.activeElement.name") == name
        page.keyboard.press("Control+A")
        page.keyboard.type(text)
        page.keyboard.press("Tab")
    assert page.input_value("[name=serial_state]") == "illegible"
    assert page.input_value("[name=state-down_thrust_n]") == "missing"
    page.keyboard.press("Control+A")
    page.click("button:has-text('Save')")
    page.wait_for_url(f"**{reverse('office:motor', args=[motor.pk])}")
    words = page.inner_text("main").replace("\u00a0", " ")
    for said in ("illegible", "L449VP", "150 hp", "1,785 rpm", "460 V", "40 °C", "F/B", "not on plate"):
        assert said in words
    assert (office.problems, office.foreign) == ([], [])
    stored = Motor.objects.get()
    assert [stored.si(key) for key in ("phases", "frequency_hz", "down_thrust_n")] == [3, 60, None]


@pytest.mark.parametrize("size", [DESKTOP, TABLET], ids=["desktop", "tablet"])
def test_choice_and_mark_say_the_same_and_everybody_can_read_the_form(window, size):
    motor = make_motor(tag="Well 7")
    office = window(make_user("office", units="us"), size=size)
    page = office.open(reverse("office:edit_motor", args=[motor.pk]))
    assert not page.is_visible("[name=state-rated_speed_rpm]")
    page.focus("#plate-lists")
    page.keyboard.press("Space")
    assert page.is_visible("[name=state-rated_speed_rpm]")
    page.focus("[name=plate-frame]")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.name") == "state-frame"
    page.select_option("[name=state-rated_speed_rpm]", "illegible")
    assert page.input_value("[name=plate-rated_speed_rpm]") == "?"
    page.fill("[name=plate-rated_speed_rpm]", "1785/1185 RPM")
    assert page.input_value("[name=state-rated_speed_rpm]") == "read"
    page.fill("[name=plate-enclosure]", "WPI")
    page.select_option("[name=state-enclosure]", "inferred")
    assert page.input_value("[name=plate-enclosure]") == "~WPI"
    page.fill("[name=plate-enclosure]", "WPI")
    assert page.input_value("[name=state-enclosure]") == "read"
    page.fill("[name=plate-enclosure]", "~WPI")
    page.select_option("[name=state-enclosure]", "read")
    assert page.input_value("[name=plate-enclosure]") == "WPI"
    page.fill("[name=plate-frame]", "-")
    page.fill("[name=plate-current_a]", "seventeen")
    page.click("button:has-text('Save')")
    page.wait_for_selector("#error-current_a")
    assert "1,785/1,185 rpm (1,785 rpm counts)" in " ".join(page.inner_text("#said-rated_speed_rpm").split())
    assert "not on plate" in page.inner_text("#said-frame")
    assert office.violations() == []
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert wide <= 0
    assert (office.problems, office.foreign) == ([], [])


@pytest.mark.parametrize("size", [DESKTOP, TABLET], ids=["desktop", "tablet"])
def test_the_form_that_opens_a_job_takes_the_same_keys(window, size):
    make_template(name="Vertical", for_build="vertical_hollow")
    office = window(make_user("office", units="us"), size=size)
    page = office.open(reverse("office:open_job"))
    assert office.violations() == []
    page.fill("[name=customer_name]", "Bell Water")
    page.fill("[name=serial]", "?")
    page.fill("[name=complaint]", "Howls")
    page.click("button:has-text('Open job')")
    page.wait_for_url("**/jobs/**")
    motor = Motor.objects.get()
    assert (motor.serial, motor.serial_state) == ("", "illegible")
    assert (office.problems, office.foreign) == ([], [])


def test_a_mark_is_an_answer_without_script_too(window):
    motor = make_motor(tag="Well 7")
    page = window(make_user("office"), java_script_enabled=False).open(
        reverse("office:edit_motor", args=[motor.pk])
    )
    page.fill("[name=plate-frame]", "?")
    page.click("button:has-text('Save')")
    page.wait_for_url(f"**{reverse('office:motor', args=[motor.pk])}")
    assert Motor.objects.get().nameplate["frame"]["state"] == "illegible"
