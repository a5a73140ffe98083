"""Rating files in a real browser: a file with mistakes, then the mended one; a long one with its progress; editions."""

from __future__ import annotations

import pytest
from django.urls import reverse

from bearings.models import Rating
from repairs.long_work.models import LongWork
from repairs.long_work.services import run_long_work
from tests.bearings.book_file.writing import file_of, line
from tests.repairs.factories import make_source, make_user

pytestmark = pytest.mark.django_db(transaction=True)


def chosen(page, file, name="ratings.csv"):
    content = file.getvalue()
    page.set_input_files("input[type=file]", {"name": name, "mimeType": "text/csv", "buffer": content})


def test_a_file_with_mistakes_is_refused_by_line_and_the_mended_one_is_taken_in(window):
    source = make_source()
    reader = window(make_user("engineer"))
    page = reader.open(reverse("office:source", args=[source.pk]))
    page.click("text=Import rating file")
    assert page.locator("[name=source]").input_value() == str(source.pk)
    chosen(page, file_of(line(), line(designation="T22", bore="-110")))
    page.click("text=Check file")
    page.locator("h1:text('Preview of ratings.csv')").wait_for()
    wrong = page.locator("[aria-labelledby=wrong] tbody tr").first.inner_text()
    assert "4" in wrong
    assert "0.001 to 5,000 mm" in wrong
    assert page.locator("text=Import file").count() == 0
    assert reader.violations() == []
    page.click("text=Choose another file")
    chosen(page, file_of(line(), line(designation="T22", dynamic_rating="48559", static_rating="46760")))
    page.click("text=Check file")
    page.locator("#asked").wait_for()
    page.click("text=Import file")
    assert "tick this" in page.locator("#id_read_error").inner_text()
    assert reader.violations() == []
    page.check("[name=read]")
    page.click("text=Import file")
    page.locator("text=2 ratings are new.").wait_for()
    assert page.locator("text=T22").count() == 1
    assert (reader.problems, reader.foreign) == ([], [])


def test_a_long_file_shows_its_preview_when_it_is_checked_and_its_outcome_when_it_is_in(window):
    source = make_source()
    reader = window(make_user("engineer"))
    page = reader.open(reverse("office:book_import") + f"?source={source.pk}")
    chosen(page, file_of(*(line(designation=f"T{n:04d}") for n in range(700))))
    page.click("text=Check file")
    page.locator("text=Import file").click()
    page.locator("text=700 ratings are new.").wait_for()
    page.click("text=Open result")
    page.locator("text=T0000").wait_for()
    assert (reader.problems, reader.foreign) == ([], [])


def test_the_progress_of_a_long_file_stays_in_sight_until_its_preview_takes_its_place(window, settings):
    settings.LONG_WORK_RUNS = "by hand"
    source = make_source()
    reader = window(make_user("engineer"))
    page = reader.open(reverse("office:book_import") + f"?source={source.pk}")
    chosen(page, file_of(*(line(designation=f"T{n:04d}") for n in range(700))))
    page.click("text=Check file")
    asked = []
    page.on("response", lambda answer: asked.append(answer.url))
    page.locator(".long-work").wait_for()
    while len([url for url in asked if "/long-work/" in url]) < 2:
        page.wait_for_timeout(200)
    assert page.locator(".long-work").is_visible()
    assert reader.violations() == []
    run_long_work(LongWork.objects.get().pk)
    page.locator("h1:text('Preview of ratings.csv')").wait_for()
    assert page.locator("text=Import file").is_visible()
    assert (reader.problems, reader.foreign) == ([], [])


def test_sizes_are_filled_by_the_designation_without_losing_what_is_typed(window):
    source = make_source()
    reader = window(make_user("engineer"))
    page = reader.open(reverse("office:rating_new", args=[source.pk]))
    page.fill("[name=designation]", "7212 B")
    page.select_option("[name=type]", "angular_contact_ball")
    page.fill("[name=cage]", "brass")
    page.click("text=Fill from designation")
    page.locator("text=ISO 15 rule, derived").wait_for()
    assert page.locator("[name=outside_diameter_mm]").input_value() == "110"
    assert page.locator("[name=cage]").input_value() == "brass"
    assert reader.violations() == []
    page.locator("[name=cage]").press("Enter")
    page.locator("h1:text('7212 B')").wait_for()
    assert (reader.problems, reader.foreign) == ([], [])


def test_everything_works_without_scripts(window):
    source = make_source()
    reader = window(make_user("engineer"), java_script_enabled=False)
    page = reader.open(reverse("office:rating_new", args=[source.pk]))
    page.fill("[name=designation]", "6205")
    page.click("button[name=fill][type=submit]")
    assert page.locator("[name=height_mm]").input_value() == "15"
    reader.open(reverse("office:book_import") + f"?source={source.pk}")
    chosen(page, file_of(line()))
    page.click("text=Check file")
    page.click("text=Import file")
    assert "1 rating is new." in page.content()
    assert Rating.objects.count() == 1
