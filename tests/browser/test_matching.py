"""A match in a real browser: from a job's record to the specified stack, and from a bare size."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.motors.models import Motor
from repairs.work_orders.models import StackRecord, Stage
from tests.browser.conftest import DESKTOP, TABLET
from tests.repairs.factories import make_job, make_motor, make_rating, make_stack_record, make_user

pytestmark = pytest.mark.django_db(transaction=True)

FIGURES = {"contact_angle_deg": 40.0, "dynamic_rating_n": 216_000.0, "static_rating_n": 208_000.0}


def rated(designation: str, speed: float | None, **fields):
    figures = FIGURES if speed is None else {**FIGURES, "limiting_speed_rpm": speed}
    return make_rating(designation=designation, figures=figures, **fields)


def found_record() -> StackRecord:
    motor = make_motor()
    for key, si in (("lubrication", "oil_bath"), ("oil_temperature_c", 70.0)):
        motor.nameplate[key] = {"state": "read", "typed": str(si), "unit": "", "si": si}
    motor.save()
    return make_stack_record(make_job(Motor.objects.get(pk=motor.pk)))


def test_a_match_leads_from_the_job_over_a_comparison_into_the_specified_stack(window):
    record, fast, _slow = found_record(), rated("7320 F", 3_200.0), rated("7320 S", 2_100.0)
    rated("7320 N", None)
    rated("7320 W", 3_100.0, height_mm=51)
    reader = window(make_user("engineer", units="si"))
    page = reader.open(reverse("office:job", args=[record.job.number]))
    page.click("a:has-text('Match bearings')")
    page.locator("h2:text('0 of 4 ratings fit')").wait_for()
    asked = page.url
    # Where nothing is proven to fit the refused ones are open already.
    page.locator("details[open] > summary:has-text('2 refused')").wait_for()
    assert "12\u00a0mm too high" in page.locator("main").inner_text()
    page.check("label:has-text('compare no. 1') input")
    page.check("label:has-text('compare no. 2') input")
    page.click("button:text('Compare selected')")
    page.locator("h1:text('Compare candidates')").wait_for()
    assert page.locator(".match-drawings svg").count() == 2
    page.go_back()
    page.locator("h2:text('0 of 4 ratings fit')").wait_for()
    assert page.url == asked
    page.go_forward()
    page.locator("button:has-text('Use in specified stack')").first.click()
    page.wait_for_url(f"**{reverse('bench:stack', args=[record.job.number, 'specified'])}")
    assert "one matched set" in page.locator("#messages").inner_text()
    assert page.locator(".item:has-text('7320 F')").count() == 3
    made = StackRecord.objects.get(job=record.job, stage=Stage.SPECIFIED)
    assert [entry["rating_id"] for entry in made.items] == [None, fast.pk, fast.pk, fast.pk, None]
    assert (reader.problems, reader.foreign) == ([], [])


def test_a_size_alone_is_asked_without_a_script_and_reload_shows_the_same(window):
    rated("7320 F", 3_200.0)
    reader = window(make_user("technician", units="si"), java_script_enabled=False)
    page = reader.open(reverse("office:match"))
    page.fill("[name=bore_mm]", "3.9370 in")
    page.fill("[name=rated_speed_rpm]", "1780")
    page.check("[name=p1][value=d]")
    page.check("[name=p2][value=u]")
    page.click("button:text('Find candidates')")
    said = page.locator("main").inner_text()
    assert "0 of 1 rating fits" in said
    assert "Enter for motor and oil: " in said
    assert "downthrust" in said
    page.reload()
    assert page.locator("main").inner_text() == said
    assert page.locator("#id_bore_mm").input_value() == "3.9370 in"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESKTOP, TABLET], ids=["desktop", "tablet"])
def test_the_pages_of_the_match_are_accessible_and_fit_their_window(window, scheme, size):
    record = found_record()
    ratings = [rated("7320 F", 3_200.0), rated("7320 S", 2_100.0), rated("7320 N", None)]
    reader = window(make_user("lead"), size=size, color_scheme=scheme)
    page = reader.open(reverse("office:match_record", args=[record.job.number, record.pk]))
    question = page.url.partition("?")[2]
    chosen = "".join(f"&c={rating.pk}" for rating in ratings)
    for path in (
        reverse("office:match"),
        f"{reverse('office:match')}?{question}",
        f"{reverse('office:match')}?rated_speed_rpm=fast&bore_mm=wide",
        f"{reverse('office:match_compare')}?{question}{chosen}",
        f"{reverse('office:match_compare')}?{question}",
    ):
        page = reader.open(path)
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        assert reader.violations() == [], path
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), path
    assert (reader.problems, reader.foreign) == ([], [])
