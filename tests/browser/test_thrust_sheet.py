"""The thrust sheet in a real browser: figures follow the typing, a wrong unit is asked about, figures are chosen."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.motors.models import Motor, ThrustSheet
from tests.browser.conftest import TABLET
from tests.repairs.factories import make_motor, make_user

pytestmark = pytest.mark.django_db(transaction=True)
PUMP = {
    "head_duty_m": "320", "head_shut_off_m": "420", "specific_gravity": "1", "shaft_diameter_mm": "1.5",
    "shaft_length_m": "200", "impeller_weight_n": "180", "suction_pressure_pa": "0",
}  # fmt: skip


def test_a_sheet_is_filled_in_while_the_figures_follow_and_its_figures_are_chosen(window):
    motor = make_motor()
    office = window(make_user("office", units="us"))
    page = office.open(reverse("office:edit_thrust_sheet", args=[motor.pk]))
    for key, value in PUMP.items():
        page.fill(f"#thrust-{key}", value)
    page.fill("#thrust-thrust_factor_n_per_m", "9.5")
    page.select_option("[name=unit-thrust_factor_n_per_m]", "N/m")
    page.wait_for_selector("#thrust-result [name=confirmed]")
    assert "Was it printed in lb/ft?" in page.inner_text("#thrust-result")
    page.select_option("[name=unit-thrust_factor_n_per_m]", "lbf/ft")
    page.wait_for_selector("#thrust-result [name=confirmed]", state="detached")
    page.wait_for_selector("text=4,423\u00a0lbf")
    assert page.input_value("#thrust-head_duty_m") == "320"
    page.select_option("#thrust-plate_meaning", "external")
    page.wait_for_selector("#thrust-result .verdict--pass")
    assert office.violations() == []
    page.click("button[value=save]")
    page.wait_for_selector("#working")
    assert office.violations() == []
    page.click("text=Use these figures")
    page.check("[name=down_thrust_n][value=sheet]")
    assert office.violations() == []
    page.click("text=Save to motor")
    page.wait_for_selector("text=from thrust sheet, rev. 1")
    assert (office.problems, office.foreign) == ([], [])
    assert Motor.objects.get().nameplate["down_thrust_n"]["plate"]["si"] == 30000.0


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_sheet_is_worked_out_and_saved_without_javascript(window, scheme):
    motor = make_motor()
    reader = window(
        make_user("office", units="us"), java_script_enabled=False, size=TABLET, color_scheme=scheme
    )
    page = reader.open(reverse("office:edit_thrust_sheet", args=[motor.pk]))
    for key, value in {**PUMP, "thrust_factor_n_per_m": "9.5"}.items():
        page.fill(f"#thrust-{key}", value)
    page.click("button[value=work_out]")
    assert "4,423\u00a0lbf" in page.inner_text("#thrust-result")
    page.click("button[value=save]")
    page.wait_for_selector("#working")
    assert ThrustSheet.objects.get().revision == 1
