"""The shop's own rows of a sheet, as a shop test of their own."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.limits import Limit, Source
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Entries, Field, Missing, Note, Result, Subject
from repairs.measurements.shop_tests.sheets import OWN, OwnRow, Sheet

# A column holds 20 characters; a prefix keeps a row from being taken for a result of a test.
PREFIX: Final = "own_"
LONGEST_CODE: Final = 16
KINDS: Final = {"number": "", "yes_no": "yes_no", "text": "text"}


def own_subject(sheet: Sheet) -> Subject:
    """Return a sheet's own rows as one test; numbers with limits are results."""

    def look(entries: Entries, _machine: Machine) -> Answer:
        return Answer(
            tuple(_result(row, entries, sheet) for row in _limited(sheet)),
            tuple(_wrong(sheet, entries)),
            tuple(_missing(sheet, entries)),
        )

    fields = tuple(
        Field(row.code, KINDS[row.answer] or row.quantity, -1e9, 1e9, needed=row.required)
        for row in sheet.own
    )
    results = {PREFIX + row.code: row.quantity for row in _limited(sheet)}
    return Subject(OWN, fields, results, look)


def own_labels(sheet: Sheet) -> dict[str, str]:
    """Return the names of a sheet's own rows, by the code of their result."""
    return {PREFIX + row.code: str(row.label) for row in sheet.own}


def _limited(sheet: Sheet) -> list[OwnRow]:
    return [row for row in sheet.own if row.answer == "number" and (row.low, row.high) != (None, None)]


def _result(row: OwnRow, entries: Entries, sheet: Sheet) -> Result:
    source = Source("shop sheet", clause=f"{sheet.kind}, version {sheet.version}", sureness="entered")
    limit = Limit(row.low, row.high, source, "shop")
    return Result(PREFIX + row.code, row.quantity, entries.number(row.code), limit)


def _wrong(sheet: Sheet, entries: Entries) -> Iterator[Note]:
    for row in sheet.own:
        said = entries.choice(row.code)
        if row.must and said is not None and said != row.must:
            yield Note("own_wrong", "stop", {"label": str(row.label), "said": said, "must": row.must})


def _missing(sheet: Sheet, entries: Entries) -> Iterator[Missing]:
    for row in sheet.own:
        if row.required and entries.number(row.code) is None and entries.choice(row.code) is None:
            yield Missing(row.code, "")
