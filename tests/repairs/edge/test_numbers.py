"""The one reader of whole numbers."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from repairs.edge.numbers import MOST_COUNT, MOST_KEY, row_key, version_of, whole_number

ROOT = Path(__file__).resolve().parents[3]


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "-1",
        "+1",
        "1.0",
        "1e3",
        "1_000",
        "²",
        "٣",
        "１",
        "0x1",
        "9" * 5000,
        str(MOST_COUNT + 1),
        None,
        7,
    ],
)
def test_what_is_no_whole_number_in_range_is_none(text):
    assert whole_number(text) is None


@pytest.mark.parametrize(("text", "number"), [("0", 0), ("007", 7), (str(MOST_COUNT), MOST_COUNT)])
def test_plain_digits_are_read(text, number):
    assert whole_number(text) == number


def test_keys_and_versions_have_their_own_ranges_and_what_no_row_has_in_place_of_nonsense():
    assert row_key(str(MOST_KEY)) == MOST_KEY
    assert [row_key(text) for text in (str(MOST_KEY + 1), "²", None)] == [0, 0, 0]
    assert version_of("0") == 0
    assert [version_of(text) for text in (str(MOST_COUNT + 1), "x", None)] == [-1, -1, -1]


def test_no_screen_reads_numbers_in_a_way_of_its_own():
    own = re.compile(r"\.(isdigit|isdecimal|isnumeric)\(\)")
    # References within a stack are made by the program, not sent by a form.
    allowed = {"differing.py", "judging.py", "looked_for.py", "recording.py"}
    screens = [*(ROOT / "repairs/office").glob("*.py"), *(ROOT / "repairs/bench").glob("*.py")]
    found = [path.name for path in screens if path.name not in allowed and own.search(path.read_text())]
    assert found == ["seat_page.py"], "read numbers by repairs.edge.numbers"
