"""Rating files for tests: header, units and lines from plain values. All figures are invented."""

from __future__ import annotations

import csv
from io import BytesIO, StringIO

from bearings.book_file.arrival import Corrected, arriving, put_in_force
from bearings.book_file.columns import COLUMNS
from bearings.book_file.importing import PreparedImport
from bearings.models import Source

LINE = {
    "designation": "7320 X",
    "variant": "single",
    "cage": "brass",
    "type": "angular_contact_ball",
    "bore": "100",
    "outside_diameter": "215",
    "height": "47",
    "contact_angle": "40",
    "dynamic_rating": "216000",
    "static_rating": "208000",
    "limiting_speed": "2700",
}


def line(**cells: str) -> dict[str, str]:
    return {**LINE, **cells}


def file_of(
    *lines: dict[str, str], units: dict[str, str] | None = None, separator: str = ",", mark: bool = False
) -> BytesIO:
    names = list(dict.fromkeys(name for one in lines for name in one)) or list(LINE)
    out = StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator="\r\n")
    writer.writerow(names)
    usual = {name: column.unit for name, column in COLUMNS.items()}
    writer.writerow({**usual, **(units or {})}.get(name, "") for name in names)
    writer.writerows([one.get(name, "") for name in names] for one in lines)
    return BytesIO((b"\xef\xbb\xbf" if mark else b"") + out.getvalue().encode())


def raw(text: str | bytes) -> BytesIO:
    return BytesIO(text.encode() if isinstance(text, str) else text)


def write_import(
    prepared: PreparedImport, source: Source, *, correct: bool, corrected: Corrected | None = None
) -> dict[str, int]:
    """Take a prepared file in from its first batch to the moment that it is in force."""
    with arriving(prepared, source, key=f"test {source}", correct=correct) as under_way:
        return put_in_force(prepared, under_way, correct=correct, corrected=corrected)
