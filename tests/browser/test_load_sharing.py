"""From the motor's form to the assessment in a real browser: duty and a warm shaft entered, their figures read."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.work_orders.models import Stage
from tests.browser.conftest import DESKTOP, TABLET
from tests.repairs.factories import make_stack_record, make_user

pytestmark = pytest.mark.django_db(transaction=True)

PARTS = {
    "duty_1_percent": "75",
    "duty_1_speed_rpm": "1780",
    "duty_1_thrust_n": "30000",
    "duty_2_percent": "25",
    "duty_2_speed_rpm": "1200",
    "duty_2_thrust_n": "12000",
}


@pytest.mark.parametrize("size", [DESKTOP, TABLET], ids=["desktop", "tablet"])
def test_duty_and_shaft_heat_go_from_the_motors_form_to_the_assessment(window, size):
    record = make_stack_record(stage=Stage.SPECIFIED)
    reader = window(make_user("engineer", units="si"), size=size)
    page = reader.open(reverse("office:edit_motor", args=[record.job.motor.pk]))
    closed = page.locator("details.plate-details:not([open]) > summary")
    while closed.count():
        closed.first.click()
    for key, typed in PARTS.items():
        page.fill(f"#plate-{key}", typed)
        if key.endswith("thrust_n"):
            page.select_option(f"[name=unit-{key}]", "N")
    page.fill("#plate-shaft_warmer_k", "10")
    page.select_option("[name=unit-shaft_warmer_k]", "K")
    page.click("main form button[type=submit]")
    page.locator("text=Duty cycle").first.wait_for()
    page = reader.open(reverse("office:assessment", args=[record.job.number, record.pk]))
    duty = page.locator("section[aria-labelledby=duty]").inner_text().replace("\u00a0", " ")
    # 0.75 x 1 780 + 0.25 x 1 200 = 1 635 rpm
    assert "mean speed 1,635 rpm" in duty
    sharing = page.locator("section[aria-labelledby=sharing]").inner_text().replace("\u00a0", " ")
    # 100 x 215 x 47, 40 degrees, back to back, 10 K: 16.2 um (geometry, steel 11.5e-6 / K)
    assert "+16.2 µm" in sharing
    assert reader.violations() == []
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert (reader.problems, reader.foreign) == ([], [])
