"""Enter a seat on the tablet: the verdict follows the readings, a slip is asked about, the signed seat is shown."""

from __future__ import annotations

import pytest

from repairs.measurements.seat_services import record_seat
from repairs.work_orders.models import Job, Stage
from tests.browser.conftest import TABLET
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.measurements.seats import LOW, entry

pytestmark = pytest.mark.django_db(transaction=True)
CELLS = ("p1a0", "p1a90", "p2a0", "p2a90", "p3a0", "p3a90")


@pytest.fixture
def job() -> Job:
    found = make_job()
    make_stack_record(found, Stage.AS_FOUND)
    return found


def test_a_seat_is_entered_judged_mended_and_signed_on_the_tablet(window, job):
    reader = window(make_user(units="si"), size=TABLET)
    page = reader.open(f"/bench/jobs/{job.number}/seats/")
    assert reader.violations() == []
    page.click("text=bearing 1–3, thrust bearing seat on the mount")
    page.wait_for_selector("#seat-form")
    for cell, value in zip(
        CELLS, ("100.009", "100.011", "100.010", "3.9374", "100.011", "100.013"), strict=True
    ):
        page.fill(f"[name={cell}]", value)
    page.check("[name=gauge][value=same]")
    page.wait_for_selector("#seat-verdict >> text=looks like inches")
    assert page.locator("#seat-verdict .verdict").first.inner_text() == "FAIL"
    page.fill("[name=p2a90]", "100.012")
    page.wait_for_selector("#seat-verdict >> text=Every reading is in the zone")
    assert page.locator("#seat-verdict .finding").count() == 0
    assert reader.violations() == []
    small = page.eval_on_selector_all(
        "#seat-form input:not([type=hidden], [type=radio], [type=checkbox]), #seat-form select, .bench__bar .button",
        "all => all.filter(one => one.offsetParent && one.getBoundingClientRect().height < 56).map(one => one.name)",
    )
    assert small == []
    assert page.get_attribute("[name=p1a0]", "inputmode") == "decimal"
    page.click("text=Sign fit")
    page.wait_for_selector("text=Enter the instrument")
    assert page.input_value("[name=p2a90]") == "100.012"
    page.fill("[name=instrument]", "micrometer 7")
    page.click("text=Sign fit")
    page.wait_for_selector("text=Measure as left")
    page.click("text=Every reading is in the zone")
    page.wait_for_selector("text=Correct fit")
    assert reader.violations() == []
    assert reader.problems == []
    assert reader.foreign == []


def test_the_page_works_without_a_script(window, job):
    reader = window(make_user(units="si"), size=TABLET, java_script_enabled=False)
    page = reader.open(f"/bench/jobs/{job.number}/seats/new/?seat=1–3-bore")
    page.fill("[name=p1a0]", "100.001")
    page.check("[name=gauge][value=same]")
    page.click("text=Check readings")
    page.wait_for_selector("text=is below")
    page.click("text=Measure four angles")
    page.wait_for_selector("[name=p1a45]")
    assert page.input_value("[name=p1a0]") == "100.001"
    page.fill("[name=instrument]", "micrometer 7")
    page.click("text=Save unfinished")
    page.wait_for_selector("text=not signed")


def test_the_office_page_of_seats_is_accessible(window, job):
    record_seat(actor=actor_for(make_user()), job=job, entry=entry(LOW), sign=True)
    reader = window(make_user("lead"))
    page = reader.open(f"/office/jobs/{job.number}/seats/")
    assert reader.violations() == []
    page.fill("[name=reason]", "customer agrees")
    page.click("text=Accept as is")
    page.wait_for_selector("text=ACCEPTED")
    assert page.locator("text=customer agrees").count() == 1
    assert reader.problems == []
