"""Opening a job, motors and the job page in a real browser: while one types, without JavaScript, day and night."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.work_orders.models import Job
from tests.browser.conftest import DESKTOP, TABLET
from tests.repairs.documents.scenes import job_with_found_stack
from tests.repairs.factories import make_customer, make_job, make_motor, make_template, make_user

pytestmark = pytest.mark.django_db(transaction=True)
OPEN = "/office/open-a-job/"


def test_a_job_is_opened_while_one_types(window):
    make_template(name="Vertical", for_build="vertical_hollow")
    motor = make_motor(make_customer(name="Kestrel Paper"), serial="HV-20417", tag="Fan 2")
    earlier = make_job(motor, complaint="It dripped oil.")
    office = window(make_user("office"))
    page = office.open(OPEN)
    page.fill("[name=complaint]", "It hums at start.")
    page.locator("[name=find]").press_sequentially("kestr", delay=30)
    page.wait_for_selector(".opening__hit")
    assert page.evaluate("document.activeElement.name") == "find"
    page.fill("[name=serial]", "hv-20417")
    page.wait_for_selector("#known .finding")
    assert "It dripped oil." in page.inner_text("#known")
    page.click("#known button")
    page.wait_for_selector("#who .motor-history")
    assert page.input_value("[name=complaint]") == "It hums at start."
    page.click("button[value=open]")
    page.wait_for_url("**/office/jobs/**")
    assert earlier.number not in page.url
    assert "Print its job tag and traveler" in page.inner_text("#messages")
    assert (office.problems, office.foreign) == ([], [])
    assert Job.objects.count() == 2


def test_a_job_is_opened_without_javascript(window):
    make_template(name="Vertical", for_build="vertical_hollow")
    make_motor(tag="Fan 2")
    page = window(make_user("office"), java_script_enabled=False).open(OPEN)
    page.fill("[name=purchase_order]", "PO 7")
    page.fill("[name=find]", "fan")
    page.click("button[value=find]")
    page.click(".opening__hit")
    assert page.input_value("[name=purchase_order]") == "PO 7"
    page.fill("[name=complaint]", "It hums.")
    page.click("button[value=open]")
    page.wait_for_url("**/office/jobs/**")
    assert Job.objects.get().purchase_order == "PO 7"


@pytest.mark.parametrize("size", [DESKTOP, TABLET], ids=["desktop", "tablet"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_everybody_can_read_the_pages_day_and_night(window, size, scheme):
    job = job_with_found_stack()
    addresses = [
        OPEN,
        f"{OPEN}?motor={job.motor_id}",
        reverse("office:job", args=[job.number]),
        reverse("office:edit_job", args=[job.number]),
        reverse("office:motor", args=[job.motor_id]),
        reverse("office:edit_motor", args=[job.motor_id]),
        reverse("office:motor_list"),
        reverse("office:customer", args=[job.customer_id]),
        reverse("office:new_customer"),
    ]
    lead = window(make_user("lead"), size=size, color_scheme=scheme)
    for address in addresses:
        page = lead.open(address)
        assert lead.violations() == [], address
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, f"{address} is {wide} px too wide"
    assert (lead.problems, lead.foreign) == ([], [])
