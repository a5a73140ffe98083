"""Every source that a shop test names is a standard's own name, a number, or a text that can be translated."""

from __future__ import annotations

import ast
from pathlib import Path

import repairs.measurements.engineering
from bearings.wording.sources import STANDARD
from repairs.measurements.engineering.limits import Source
from repairs.measurements.words.source_texts import NO_WORDS, in_words, is_known
from repairs.measurements.words.sources import source_words
from tests.made_up_language import in_the_made_up_language

ENGINEERING = Path(repairs.measurements.engineering.__file__).parent
# Standards and alloys whose names have no year in them.
NAMES = frozenset({"", "NEMA MG 1", "ANSI/EASA AR100", "API 541", "Cu 10", "Ni 120", "4W/N", "part 7"})


def texts_of_sources() -> set[str]:
    """Return every text that is given to a Source of the engineering."""
    found = set()
    for path in ENGINEERING.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Source":
                found |= {one.value for one in node.args[:3] if isinstance(one, ast.Constant)}
    return found


def test_every_text_of_a_source_is_a_name_a_number_or_can_be_translated():
    found = texts_of_sources()
    assert len(found) > 60
    left = [text for text in found if not (text in NAMES or is_known(text))]
    assert not sorted(text for text in left if not (STANDARD.fullmatch(text) or NO_WORDS.fullmatch(text)))


def test_a_source_keeps_its_standard_and_says_the_rest_in_the_readers_language():
    source = Source("NEMA MG 1", "", "voltage within 10% of rated", "memory")
    assert source_words(source) == "NEMA MG 1, voltage within 10% of rated (from memory, unverified)"
    with in_the_made_up_language() as spoken:
        said = source_words(source)
    assert said.startswith("NEMA MG 1, v")
    assert "within" not in said
    assert "memory" not in said
    assert not spoken.asked_in_vain


def test_a_sheet_of_the_shop_is_named_by_its_step_and_not_by_a_code():
    named = source_words(Source("shop sheet", clause="final_test, version 2", sureness="entered"))
    assert named == "shop sheet, final test, version 2"


def test_what_a_person_typed_stays_as_typed():
    assert in_words("PO 4711") == "PO 4711"
