"""The bearing book and an assessment in a real browser: found as one types, readable by everybody, day and night."""

from __future__ import annotations

import json

import pytest
from django.urls import reverse

from repairs.work_orders.models import Stage
from tests.browser.conftest import DESKTOP, TABLET
from tests.repairs.factories import make_rating, make_source, make_stack_record, make_user, triple_items

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_rating_is_found_while_one_types_and_going_back_finds_the_search_again(window):
    rating = make_rating(designation="7320 X", variant="clearance C3")
    make_rating(designation="29412")
    reader = window(make_user("technician"))
    page = reader.open(reverse("office:book"))
    page.locator("#designation").press_sequentially("7320")
    page.locator("#ratings >> text=7320 X").wait_for()
    assert page.locator("#ratings >> text=29412").count() == 0
    assert page.url.endswith("?q=7320")
    assert page.locator("#designation").input_value() == "7320"
    page.click("#ratings a")
    page.wait_for_url(f"**{reverse('office:rating', args=[rating.pk])}")
    page.go_back()
    page.locator("#ratings >> text=7320 X").wait_for()
    assert (reader.problems, reader.foreign) == ([], [])


def test_a_refused_rating_keeps_what_was_typed_and_says_what_is_wrong(window):
    source = make_source()
    reader = window(make_user("engineer"))
    page = reader.open(reverse("office:rating_new", args=[source.pk]))
    page.fill("[name=designation]", "7320 X")
    page.select_option("[name=type]", "angular_contact_ball")
    page.fill("[name=bore_mm]", "100")
    page.fill("[name=outside_diameter_mm]", "90")
    page.fill("[name=dynamic_rating_n]", "216 kN")
    page.check("[name=oil_speed_rpm_not_printed]")
    page.click("main button[type=submit]")
    assert "above the bore" in page.locator("#id_outside_diameter_mm_error").inner_text()
    assert page.locator("[name=dynamic_rating_n]").input_value() == "216 kN"
    assert page.locator("[name=oil_speed_rpm_not_printed]").is_checked()
    assert reader.violations() == []
    page.fill("[name=outside_diameter_mm]", "215")
    page.click("main button[type=submit]")
    page.locator("h1:text('7320 X')").wait_for()
    assert "not printed" in page.locator("main").inner_text()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESKTOP, TABLET], ids=["desktop", "tablet"])
def test_pages_of_book_and_checker_are_accessible_and_fit_their_window(window, scheme, size):
    rating = make_rating(designation="7320 X", not_printed=["grease_speed_rpm"])
    later = make_rating(designation="7320 X", figures={"limiting_speed_rpm": 2000})
    record = make_stack_record(stage=Stage.SPECIFIED)
    reader = window(make_user("lead"), size=size, color_scheme=scheme)
    paths = [
        reverse("office:book") + "?q=7320",
        reverse("office:source", args=[rating.source_id]),
        reverse("office:rating", args=[rating.pk]),
        reverse("office:rating_edit", args=[rating.pk]),
        reverse("office:check_file"),
        reverse("office:book_import"),
        reverse("office:book_editions") + f"?older={rating.source_id}&newer={later.source_id}",
        reverse("office:assessment", args=[record.job.number, record.pk]),
    ]
    for path in paths:
        page = reader.open(path)
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        assert reader.violations() == [], path
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), path
    assert (reader.problems, reader.foreign) == ([], [])


def test_a_finding_leads_to_its_working_which_opens(window):
    record = make_stack_record()
    reader = window(make_user("technician"))
    page = reader.open(reverse("office:assessment", args=[record.job.number, record.pk]))
    assert not page.locator("#working-speed").is_visible()
    page.locator("a[href='#working-speed']").first.click()
    page.locator("#working-speed").wait_for(state="visible")


def test_a_stack_file_is_chosen_and_assessed_on_the_same_page(window):
    motor = {"rated_speed_rpm": 1780, "down_thrust_n": 30000, "rotor_weight_n": 2200}
    values = {"stack_file": 1, "motor": motor, "items": [entry["data"] for entry in triple_items()]}
    reader = window(make_user("office"))
    page = reader.open(reverse("office:check_file"))
    content = json.dumps(values).encode()
    page.set_input_files(
        "input[type=file]", {"name": "triple.json", "mimeType": "application/json", "buffer": content}
    )
    page.click("main button[type=submit]")
    page.locator("h2:text('triple.json')").wait_for()
    assert "carry downthrust" in page.locator("main").inner_text()
