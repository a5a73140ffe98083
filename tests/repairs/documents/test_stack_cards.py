"""A stack card with a STOP is one sheet: nobody builds from a first page whose check lies on a second one."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pypdf
import pytest

from repairs.work_orders.services.holds import hold_job
from tests.repairs.documents.reading import pages_of, stored
from tests.repairs.documents.scenes import build, job_with_found_stack, specify
from tests.repairs.documents.test_papers import printed
from tests.repairs.factories import actor_for, make_user

pytestmark = pytest.mark.django_db
SHEETS = ("a4", "letter")


def print_sizes(pdf: bytes) -> list[tuple[float, str]]:
    """Return the size in points of every run of words that is printed in ink."""
    sizes: list[tuple[float, str]] = []

    def hear(text: str, around: list[float], own: list[float], _font: Any, size: float) -> None:
        if text.strip():
            sizes.append((round(abs(size * own[3] * around[3]), 1), text.strip()))

    for page in pypdf.PdfReader(BytesIO(pdf)).pages:
        page.extract_text(visitor_text=hear)
    # What is said to those who hear the paper is printed clear, one point high.
    return [one for one in sizes if one[0] > 2]


def is_one_legible_page(pdf: bytes) -> bool:
    assert len(pages_of(pdf)) == 1
    assert "second person, who did not build it" in pages_of(pdf)[0]
    sizes = print_sizes(pdf)
    assert len(sizes) > 50
    assert [one for one in sizes if one[0] < 8] == []
    return True


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("paper", SHEETS)
def test_a_card_without_an_approved_stack_is_one_page(paper, units):
    pdf = stored(printed(job_with_found_stack(), "stack_card", paper=paper, units=units))
    assert "No specified stack is approved" in pages_of(pdf)[0]
    assert is_one_legible_page(pdf)


@pytest.mark.parametrize("paper", SHEETS)
def test_a_card_of_a_stack_that_was_built_otherwise_is_one_page(paper):
    job = job_with_found_stack()
    specify(job)
    build(job, "duu")
    pdf = stored(printed(job, "stack_card", paper=paper))
    assert "does not match the specified stack" in pages_of(pdf)[0]
    assert is_one_legible_page(pdf)


@pytest.mark.parametrize("paper", SHEETS)
def test_a_card_of_a_job_on_hold_is_one_page(paper):
    job = job_with_found_stack()
    specify(job)
    hold_job(actor=actor_for(make_user("lead")), job=job, waits_for="parts", reason="bearing on order")
    pdf = stored(printed(job, "stack_card", paper=paper))
    assert "ON HOLD" in pages_of(pdf)[0]
    assert is_one_legible_page(pdf)
