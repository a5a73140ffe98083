"""A paper speaks one system of units: traveler and report, in a US and in an SI shop."""

from __future__ import annotations

import re

import pytest

from repairs.documents.models import DocumentKind
from repairs.management.shop.building import build_shop
from repairs.measurements.models import Reading
from repairs.work_orders.models import Job
from tests.repairs.test_made_up_language import papers_of

pytestmark = pytest.mark.django_db
UNITS = {
    "us": r"in/s|in|mils?|lbf/in|lbf|lb-ft|lb|hp|psi|gpm|US qt|qt|US gal|°F|ft",
    "si": r"mm/s|mm|µm|N/mm|N·m|N|kN|kg|kW|W|l/min|kPa|bar|m|l|L|°C|K",
}
FIGURE = {name: re.compile(rf"\d[\u00a0\u202f ]?(?:{units})(?![\w/·-])") for name, units in UNITS.items()}
FOREIGN = {"us": "si", "si": "us"}
BLOCK = re.compile(r"<(tr|p|li|dt|dd|h[1-6]|caption|figcaption)\b[^>]*>(.*?)</\1>", re.DOTALL)
DRAWN = re.compile(r"<(script|style|svg)\b.*?</\1>", re.DOTALL)
# What may stand in the other system.
ALLOWED = (
    # A plate's figure as printed, and a temperature of a standard, with the reader's own beside it.
    re.compile(r"[-−\d.,\u202f]+[\u00a0 ]?[^\d(]{1,8} \([^()]*\d[^()]*\)"),
    # Bearings are named by their metric size.
    re.compile(r"Ø [\d.]+[\u00a0 ]mm"),
    # What a person entered as the quantity of a part.
    re.compile(r"– [\d.]+ qt$"),
)


def blocks(page: str) -> list[str]:
    """Return the rows, paragraphs and lines of a page as text."""
    plain = DRAWN.sub(" ", page)
    return [" ".join(re.sub(r"<[^>]+>", " ", match[2]).split()) for match in BLOCK.finditer(plain)]


def foreign_units(page: str, units: str, measured: set[str]) -> list[str]:
    """Return the blocks of a page that hold a unit of the other system."""
    told = []
    for block in blocks(page):
        rest = block
        for allowed in ALLOWED:
            rest = allowed.sub(" ", rest)
        # A reading is printed as it was measured, with its limit.
        if not any(reading in block for reading in measured) and FIGURE[FOREIGN[units]].search(rest):
            told.append(block)
    return told


def test_no_block_of_a_paper_mixes_units():
    build_shop()
    readings = Reading.objects.exclude(quantity="").values_list("quantity", flat=True)
    measured = {str(quantity) for quantity in readings}
    told = {
        f"{units} {kind}: {block}"
        for job in Job.objects.all()
        for units in ("us", "si")
        for kind, page in papers_of(job, units)
        if kind in {DocumentKind.TRAVELER, DocumentKind.REPORT}
        for block in foreign_units(page, units, measured)
    }
    assert not told, "\n".join(sorted(told))


@pytest.mark.parametrize(
    ("block", "units", "found"),
    [
        ("Shaft fit 3.5433 in, 90.003 mm to 90.018 mm", "us", True),
        ("Downthrust 6,200 lbf", "si", True),
        ("Mount bore 42 mm (1.654 in)", "us", False),
        ("Power 150 hp (111.9 kW)", "si", False),
        ("seat on the mount, Ø 90 mm, 3.54343 in", "us", False),
        ("Thrust 27,580 N", "si", False),
        ("Sizes at 20 °C.", "us", True),
        ("Sizes at 68 °F (20 °C).", "us", False),
        ("half for every 15 K", "us", True),
    ],
)
def test_a_foreign_unit_is_found(block, units, found):
    assert bool(foreign_units(f"<p>{block}</p>", units, set())) is found
