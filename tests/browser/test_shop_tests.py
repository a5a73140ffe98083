"""A shop test on the tablet: by the drawn keys, judged while one types, saved in few taps, kept without network."""

from __future__ import annotations

import pytest

from repairs.measurements.models import TestRecord
from repairs.measurements.shop_tests.shop_services import enter_settings, keep_instrument
from repairs.work_orders.models import Job, Step, StepKind
from tests.browser.at_the_tablet import held, until
from tests.browser.conftest import TABLET
from tests.repairs.factories import actor_for, make_user
from tests.repairs.measurements.gate_readings import plain_job, step_of

pytestmark = pytest.mark.django_db(transaction=True)
# A tap of a person with gloves, as the trials count it.
SECONDS_A_TAP = 0.7


@pytest.fixture
def job() -> Job:
    lead = actor_for(make_user("lead"))
    found = plain_job(voltage_v=("460", "V", 460), insulation_class=("F", "", "F"))
    enter_settings(actor=lead, job=None, values={"insulation.method": "ten_degree"})
    keep_instrument(actor=lead, instrument=None, version=0, tag="MEG-2", name="tester", calibration_due=None)
    return found


def url_of(job: Job, step: Step, test: str = "insulation") -> str:
    return f"/bench/jobs/{job.number}/steps/{step.pk}/tests/{test}/"


def press(page, keys: str) -> None:
    for key in keys:
        name = {".": "point", ">": "next"}.get(key, key)
        page.locator(f'[data-reading-keys] [data-key="{name}"]').tap()


def test_an_insulation_test_takes_few_taps_beside_its_figures(window, job):
    """Taps beside the keys of the figures: at most 12, and with every key under 40 s at the trials' pace."""
    step = step_of(job, StepKind.FINAL_TEST)
    reader = window(make_user(units="si"), size=TABLET)
    page = reader.open(url_of(job, step))
    assert reader.violations() == []
    taps = 0
    page.locator("[name=winding_c]").tap()
    figures = ("25>", "500>", "1500")
    for figure in figures:
        press(page, figure)
    page.get_by_role("button", name="MEG-2").tap()
    page.wait_for_selector("#test-verdict >> text=176.8")
    assert page.locator("#test-verdict .verdict").first.inner_text() == "pass"
    assert reader.violations() == []
    page.get_by_role("button", name="Save and next").tap()
    page.wait_for_selector("text=Test saved. Pass.")
    # The row, two times "next", the instrument, "save".
    taps = 1 + sum(figure.count(">") for figure in figures) + 1 + 1
    keys = sum(len(figure.replace(">", "")) for figure in figures)
    assert taps <= 12
    assert (taps + keys) * SECONDS_A_TAP < 40
    record = TestRecord.objects.get()
    assert (record.verdict, record.instrument) == ("pass", "MEG-2")
    assert record.entries == {"winding_c": 25.0, "r_1min": 500.0, "r_10min": 1500.0, "method": "ten_degree"}
    # The next test of the sheet is on the page.
    assert page.url.endswith("/tests/winding_resistance/")
    assert reader.problems == []


def test_the_keys_are_large_and_stay_in_sight_with_the_verdict(window, job):
    reader = window(make_user(units="us"), size=TABLET)
    page = reader.open(url_of(job, step_of(job, StepKind.FINAL_TEST), "vibration"))
    boxes = page.eval_on_selector_all(
        "[data-reading-keys] button", "all => all.map(one => one.getBoundingClientRect().toJSON())"
    )
    assert len(boxes) == 15
    assert min(box["height"] for box in boxes) >= 56
    for at in (0, 600):
        page.evaluate(f"scrollTo(0, {at})")
        last = page.locator('[data-reading-keys] [data-key="next"]').bounding_box()
        bar = page.locator(".bench__bar").bounding_box()
        assert last["y"] >= 0
        assert last["y"] + last["height"] <= bar["y"]


def test_a_doubt_is_asked_and_confirmed_with_one_tap(window, job):
    reader = window(make_user(units="si"), size=TABLET)
    page = reader.open(url_of(job, step_of(job, StepKind.FINAL_TEST)))
    page.fill("[name=winding_c]", "40")
    page.fill("[name=r_1min]", "500000000")
    page.wait_for_selector("text=Ohms typed as megohms?")
    page.get_by_role("button", name="Save and next").tap()
    page.wait_for_selector("text=Check the value and confirm it")
    assert reader.violations() == []
    page.get_by_label("Value is correct").check()
    page.get_by_role("button", name="Save and next").tap()
    page.wait_for_selector("text=Test saved.")
    assert TestRecord.objects.get().entries["r_1min"] == 5e8


def test_a_test_waits_on_the_tablet_while_the_network_is_gone(window, job):
    step = step_of(job, StepKind.FINAL_TEST)
    reader = window(make_user(units="si"), size=TABLET)
    page = reader.open(url_of(job, step))
    page.fill("[name=winding_c]", "40")
    page.fill("[name=r_1min]", "500")
    page.context.set_offline(True)
    page.get_by_role("button", name="Save and next").tap()
    held(page, 1)
    assert not TestRecord.objects.exists()
    page.context.set_offline(False)
    until(TestRecord.objects.exists, "sent when the network is back")
    assert TestRecord.objects.get().verdict == "pass"


def test_a_step_without_a_script_is_tested_too(window, job):
    step = step_of(job, StepKind.FINAL_TEST)
    reader = window(make_user(units="si"), size=TABLET, java_script_enabled=False)
    page = reader.open(url_of(job, step))
    page.fill("[name=r_1min]", "500")
    page.fill("[name=winding_c]", "104 degF")
    page.click("text=Save and next")
    page.wait_for_selector("text=Test saved.")
    assert TestRecord.objects.get().entries["winding_c"] == pytest.approx(40)


def test_the_kept_test_and_the_pages_of_rules_and_sheets_are_accessible(window, job):
    step = step_of(job, StepKind.FINAL_TEST)
    lead = window(make_user("lead", units="us"))
    page = lead.open(url_of(job, step))
    page.fill("[name=r_1min]", "3")
    page.fill("[name=winding_c]", "77")
    page.click("text=Save and next")
    page.wait_for_selector("text=Test saved. Fail")
    record = TestRecord.objects.get()
    paths = (
        f"/bench/jobs/{job.number}/tests/{record.pk}/",
        f"/bench/jobs/{job.number}/tests/{record.pk}/correct/",
        f"/bench/jobs/{job.number}/reading/",
        f"/bench/jobs/{job.number}/rules/",
        "/bench/rules/",
        "/office/policy/sheets/",
        "/office/policy/sheets/final_test/all/",
        "/office/policy/instruments/",
    )
    for path in paths:
        lead.open(path)
        assert (path, lead.violations()) == (path, [])
    assert lead.problems == []
