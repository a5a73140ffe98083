"""The stored catalog holds every sentence that people read, as code and templates have it today."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from repairs.management.catalog import CATALOG, CODE, MARKS, ROOT, Sentence, catalog_text, sentences
from repairs.management.trade_terms import terms_in
from tests.house.shown_strings import shown_strings


@pytest.fixture(scope="module")
def marked() -> list[Sentence]:
    return list(sentences())


def test_the_stored_catalog_is_what_code_and_templates_give() -> None:
    stored, given = CATALOG.read_text(encoding="utf-8").splitlines(), catalog_text().splitlines()
    there, today = set(stored), set(given)
    changed = [f"+ {line}" for line in given if line not in there]
    changed += [f"- {line}" for line in stored if line not in today]
    assert stored == given, "run: .venv/bin/python manage.py write_catalog\n" + "\n".join(changed[:20])


def test_nothing_in_the_catalog_changes_from_day_to_day_or_with_a_line_more() -> None:
    text = CATALOG.read_text(encoding="utf-8")
    assert "Date" not in text[: text.index("#:")]
    assert re.search(r"^#: \S+:\d", text, re.MULTILINE) is None


def words_of(text: str) -> str:
    """Return a sentence as the catalog and a template both have it."""
    plain = re.sub(r"{{\s*(\w+)\s*}}", r"%(\1)s", text).replace("%%", "%")
    return " ".join(plain.encode().decode("unicode_escape").split() if "\\" in plain else plain.split())


def test_a_second_reading_of_code_and_templates_finds_no_sentence_that_the_catalog_lacks(marked) -> None:
    held = {
        words_of(word)
        for one in marked
        for word in ((one.words,) if isinstance(one.words, str) else one.words)
    }
    assert [one for one in shown_strings() if words_of(one.text) not in held] == []


def test_no_sentence_begins_or_ends_with_a_space_or_a_line(marked) -> None:
    assert [one for one in marked if one.singular != one.singular.strip()] == []


def test_gettext_is_known_by_no_name_that_the_catalog_does_not_read() -> None:
    names = set()
    for path in (path for folder in CODE for path in (ROOT / folder).rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module == "django.utils.translation":
                names |= {one.asname or one.name for one in node.names if "gettext" in one.name}
    assert names <= set(MARKS)


def test_a_trade_word_is_told_to_translators_beside_its_sentence() -> None:
    assert terms_in("Bearing 2 is upside down.") == ["upside down: a bearing mounted facing the wrong way"]
    assert terms_in("Runout is high.")[0].startswith("Runout: ")
    assert terms_in("A tandem pair.")[0].startswith("tandem: ")
    assert terms_in("An updown word.") == []
    assert "#. wide face: " in Path(CATALOG).read_text(encoding="utf-8")
