"""Numbers that people read go through the one formatter (``bearings/wording/figures.py``)."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

from tests.house.shown_strings import ROOT, shown_strings

FORMATTER = "bearings/wording/figures.py"
# A number's own format in an f-string, and in a sentence with named places.
OF_A_NUMBER = re.compile(r"[-+ ]?(?:0?\d+)?[,_]?(?:\.\d+)?[gfeEGF%]|[-+ ]?(?:0?\d+)?[,_]")
IN_A_SENTENCE = re.compile(r"{\w*:[^{}]*[gfeGF%,]}|%\(\w+\)[-+ 0-9.]*[gfeGF]")
IN_A_TEMPLATE = re.compile(r"\|\s*floatformat|\|\s*stringformat:['\"][^'\"]*[gfeGF]['\"]|\.normalize\b")
# Where a number's format is no reading matter, by file and function.
INPUT = "what a field is filled with, read back by the form"
KEPT = "kept in the record as it was typed or measured"
COORDINATE = "a coordinate or a length of the page, read by browsers"
ALLOWED = {
    ("bearings/book_file/checking.py", "_value"): "a cell as the file writes it",
    ("bearings/drawing/strokes.py", "number"): COORDINATE,
    ("repairs/bench/estimates.py", "estimated"): INPUT,
    ("repairs/documents/content/photos.py", "as_printed"): COORDINATE,
    ("repairs/documents/content/reader.py", "decimals_of"): "counts the decimals",
    ("repairs/management/shop/seats.py", "measure_good_seats"): INPUT,
    ("repairs/measurements/seat_doubts.py", "plain"): INPUT,
    ("repairs/measurements/seat_judging.py", "_text"): KEPT,
    ("repairs/motors/plate_figures.py", "figure_of"): KEPT,
    ("repairs/motors/plate_figures.py", "_part"): KEPT,
    ("repairs/motors/spec_figures.py", "_end"): "the figure itself, without the noise of a change of units",
    ("repairs/motors/spec_figures.py", "read"): "the figure itself, without the noise of a change of units",
    ("repairs/motors/spec_figures.py", "text"): INPUT,
    ("repairs/motors/thrust_services.py", "_inferred"): KEPT,
    ("repairs/office/book_filling.py", "filled_form"): INPUT,
    ("repairs/office/book_forms.py", "rating_initial"): INPUT,
    ("repairs/office/match_question.py", "_envelope_of"): INPUT,
    ("repairs/office/match_question.py", "envelope_query"): "an address",
}  # fmt: skip


def formats_of_numbers() -> Iterator[tuple[str, str, int, str]]:
    """Yield file, function, line and format of each number that is formatted on its own."""
    for folder in ("repairs", "bearings"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            name = str(path.relative_to(ROOT))
            # The engineering writes formulas of a working, which stay as they are.
            if "migrations" in path.parts or name == FORMATTER or name.startswith("bearings/engineering/"):
                continue
            yield from ((name, *found) for found in _in(ast.parse(path.read_text()), ""))


def _in(node: ast.AST, function: str) -> Iterator[tuple[str, int, str]]:
    for child in ast.iter_child_nodes(node):
        inside = child.name if isinstance(child, ast.FunctionDef) else function
        if isinstance(child, ast.FormattedValue) and isinstance(child.format_spec, ast.JoinedStr):
            parts = child.format_spec.values
            spec = "".join(str(one.value) if isinstance(one, ast.Constant) else "1" for one in parts)
            if OF_A_NUMBER.fullmatch(spec):
                yield inside, child.lineno, spec
        yield from _in(child, inside)


def test_a_number_that_is_read_is_written_by_the_one_formatter():
    found = list(formats_of_numbers())
    told = [f"{path}:{line} {function} “{spec}”" for path, function, line, spec in found
            if (path, function) not in ALLOWED]  # fmt: skip
    assert not told, f"use {FORMATTER}:\n" + "\n".join(told)
    unused = set(ALLOWED) - {(path, function) for path, function, _line, _spec in found}
    assert not unused


def test_no_sentence_formats_its_own_number():
    found = [one for one in shown_strings() if IN_A_SENTENCE.search(one.text)]
    assert not found, f"give it a text from {FORMATTER}:\n" + "\n".join(
        f"{one.path}:{one.line} {one.text}" for one in found
    )


def test_no_template_formats_its_own_number():
    found = [
        f"{path.relative_to(ROOT)}:{number} {line.strip()[:80]}"
        for path in sorted((ROOT / "templates").rglob("*.html"))
        for number, line in enumerate(path.read_text().splitlines(), 1)
        if IN_A_TEMPLATE.search(line)
    ]
    assert not found, "use the filters spaced and exactly:\n" + "\n".join(found)


def test_the_patterns_find_what_they_are_for():
    formats = "def told(x):\n    return f'{x:g} {x:.1f} {x:,} {x:,.0f} {x:>5} {x!r}'"
    assert [spec for _function, _line, spec in _in(ast.parse(formats), "")] == ["g", ".1f", ",", ",.0f"]
    assert all(IN_A_SENTENCE.search(one) for one in ("{size:.1f} MB", "%(size).1f MB"))
    assert not IN_A_SENTENCE.search("{size} MB, 30% of %(size)s")
    assert all(IN_A_TEMPLATE.search(one) for one in ("{{ x|floatformat:1 }}", "{{ x.normalize }}"))
