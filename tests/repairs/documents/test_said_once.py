"""A paper says a thing once, in one system of units, and every figure as the shop writes it."""

from __future__ import annotations

import re

import pytest
from django.template.loader import render_to_string

from repairs.documents.content import papers
from repairs.documents.content.reader import Reader
from repairs.documents.rendering import paper_page
from tests.repairs.documents.scenes import job_with_found_stack, specify

pytestmark = pytest.mark.django_db
SHEET = {"paper": "a4", "kind": "traveler", "revision": 1, "code_drawing": ""}


def traveler_page(job, units: str = "us") -> tuple[dict[str, object], str]:
    content = papers.traveler(job, Reader("en", units))
    return content, paper_page("documents/traveler.html", {**content, **SHEET})


def test_a_finding_is_told_once_with_who_accepted_it():
    job = job_with_found_stack()
    specify(job)
    content, page = traveler_page(job)
    first = content["stack"]["findings"][0]
    assert first["code"] == "speed-margin"
    assert page.count(first["title"]) == 1
    assert "NOT PROVEN. Open:" in page
    assert "fixed line speed, oil cooler fitted" in page


def test_the_warning_that_decides_is_told_below_the_headline_and_the_headline_names_its_subject():
    told = "Bearing 1 is good for 1,890 rpm in this set."
    headline = {
        "severity": "warn", "verdict": "warn", "label": "WARN", "decided_by": "Speed", "words": f"WARN. {told}",
        "asks": [],
    }  # fmt: skip
    stack = {"headline": headline, "findings": [{"severity": "warn", "title": told, "source": ""}]}
    page = render_to_string("documents/_margins.html", {"stack": stack})
    assert page.count(told) == 1
    assert "WARN. Decided by: Speed." in page


def test_a_warning_that_only_missing_data_decides_is_told_in_the_headline_itself():
    headline = {
        "severity": "warn", "verdict": "warn", "label": "WARN", "decided_by": "", "words": "WARN. Open: Heat.",
        "asks": [{"words": "What is the capacity of the oil cooler?"}],
    }  # fmt: skip
    stack = {"headline": headline, "findings": [{"severity": "note", "title": "A note.", "source": ""}]}
    page = render_to_string("documents/_margins.html", {"stack": stack})
    assert "WARN. Open: Heat." in page
    assert "Decided by" not in page
    assert page.count("What is the capacity of the oil cooler?") == 1


@pytest.mark.parametrize(("units", "others"), [("us", "mm"), ("si", "in")])
def test_the_fits_still_to_be_measured_are_in_one_system_of_units(units, others):
    job = job_with_found_stack()
    content, _page = traveler_page(job, units)
    limits = [row[name] for row in content["seats"] for name in ("low", "high") if row[name]]
    assert len(limits) == 4
    assert [text for text in limits if re.search(rf"\b{others}$", text)] == []


def test_plate_figures_on_paper_have_their_thousands_apart():
    job = job_with_found_stack()
    motor = job.motor
    motor.nameplate = {"down_thrust_n": {"state": "read", "typed": "6744", "unit": "lbf", "si": 29998.8}}
    motor.save()
    _content, page = traveler_page(job)
    assert "6,744\u00a0lbf" in page
    assert "6744" not in page
