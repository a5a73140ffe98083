"""Write ratings as a file that a spreadsheet reads and that is read back equal; the file to begin with."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from typing import Any, Final

from bearings.book import rating_figures
from bearings.book_file.cells import escaped, written
from bearings.book_file.columns import COLUMNS, Column
from bearings.models import Rating, Source

# A spreadsheet takes a file for UTF-8 only when it begins so.
_MARK: Final = "\ufeff"
ROWS_AT_ONCE: Final = 1000
# Invented, as the comment's sign in front of them says.
_EXAMPLES: Final[tuple[dict[str, Any], ...]] = (
    {
        "designation": "# 7320 (invented example: delete this line)",
        "variant": "single, universal",
        "cage": "machined brass",
        "type": "angular_contact_ball",
        "bore_mm": 100,
        "outside_diameter_mm": 215,
        "height_mm": 47,
        "contact_angle_deg": 40,
        "dynamic_rating_n": 200000,
        "static_rating_n": 190000,
        "fatigue_load_limit_n": "-",
        "limiting_speed_rpm": 2500,
        "cage_material": "brass",
        "temperature_limit_c": "-",
        "speed_meaning": "limiting speed with oil",
        "note": "a dash says that the source does not print it, an empty cell that it is not entered yet",
    },
    {
        "designation": "# 6205 (invented example: delete this line)",
        "variant": "open",
        "type": "deep_groove_ball",
        "bore_mm": 25,
        "outside_diameter_mm": 52,
        "height_mm": 15,
        "dynamic_rating_n": 13500,
        "static_rating_n": 7000,
        "reference_speed_rpm": "-",
        "oil_speed_rpm": 15000,
        "grease_speed_rpm": 12000,
    },
)


class _Line:
    """What the writer writes into: it hands each line back."""

    def write(self, text: str) -> str:
        """Return the line."""
        return text


def _rows(lines: Iterable[list[str]]) -> Iterator[str]:
    writer = csv.writer(_Line(), lineterminator="\r\n")
    yield _MARK
    for cells in ([column.name for column in COLUMNS.values()], [one.unit for one in COLUMNS.values()]):
        yield writer.writerow(cells)
    for cells in lines:
        yield writer.writerow(cells)


def export_lines(source: Source) -> Iterator[str]:
    """Yield the file of a source line by line: every rating, in the units that are stored."""
    ratings = source.ratings.order_by("designation_key", "variant", "cage")
    return _rows(_cells(rating) for rating in ratings.iterator(chunk_size=ROWS_AT_ONCE))


def template_lines() -> Iterator[str]:
    """Yield the file to begin with: header, units, and two invented lines that are read as comments."""
    return _rows(
        [_plain(example.get(column.field, "")) for column in COLUMNS.values()] for example in _EXAMPLES
    )


def _plain(value: Any) -> str:
    return value if isinstance(value, str) else written(value)


def _cells(rating: Rating) -> list[str]:
    figures = rating_figures(rating)
    return [_cell(rating, figures, column) for column in COLUMNS.values()]


def _cell(rating: Rating, figures: dict[str, Any], column: Column) -> str:
    if column.spec is None:
        return escaped(str(getattr(rating, column.field)))
    if column.field in figures:
        return _plain(figures[column.field])
    return "-" if column.field in rating.not_printed else ""
