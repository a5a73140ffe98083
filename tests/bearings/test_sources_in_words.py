"""Every source that the checker or a pump's thrust names is a standard's own name or a text that can be translated."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import bearings.engineering
from bearings.wording.sources import is_known, sources_in_words
from tests.bearings.kept_answers import kept
from tests.made_up_language import in_the_made_up_language

ENGINEERING = Path(bearings.engineering.__file__).parent
# Notices beside copied tables: shown nowhere.
NOTICES = frozenset({"boundary_dimensions.py", "boundary_dimensions_rows.py"})


def named_in_code() -> Iterator[str]:
    """Yield the texts that are given to a name of a source."""
    for path in sorted(ENGINEERING.rglob("*.py")):
        if path.name in NOTICES:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [node.target] if isinstance(node, ast.AnnAssign) else getattr(node, "targets", [])
            if any("SOURCE" in getattr(name, "id", "") for name in names):
                yield from _texts(node.value)


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, ast.Constant) and isinstance(value.value, str):
        yield value.value


def in_answers(value: Any) -> Iterator[str]:
    """Yield the sources of a kept answer: of its findings, and of its working, whose sixth place it is."""
    if isinstance(value, dict):
        for key, below in value.items():
            if key == "working":
                yield from (line[5] for line in below)
            elif key == "source" and isinstance(below, str):
                yield below
            else:
                yield from in_answers(below)
    elif isinstance(value, list):
        for below in value:
            yield from in_answers(below)


def test_every_source_of_the_code_is_known():
    found = set(named_in_code())
    assert len(found) > 30
    assert not sorted(text for text in found if not is_known(text))


def test_every_source_of_the_kept_answers_is_known():
    found = {text for answer in kept() for text in in_answers(answer)}
    assert len(found) > 50
    assert not sorted(text for text in found if not is_known(text))


@pytest.mark.parametrize(
    "text",
    [
        "statics; shop policy",
        "ISO 281:2007 (from memory, unverified)",
        "ISO 76:2006 Table 1",
        "D-1 of the maker",
    ],
)
def test_in_english_a_source_reads_as_the_engine_says_it(text):
    assert sources_in_words(text) == text


def test_words_are_translated_and_names_of_standards_stay():
    with in_the_made_up_language() as spoken:
        said = sources_in_words("ISO 281:2007 (from memory, unverified); shop policy; ISO 76:2006 Table 1")
    assert said.startswith("ISO 281:2007 (")
    assert said.endswith("; ISO 76:2006 Table 1")
    assert "memory" not in said
    assert "shop policy" not in said
    assert not spoken.asked_in_vain
