"""What would change a verdict is said with both ends, or without them where there are none."""

from __future__ import annotations

from bearings.public import Figures
from repairs.office.assessment_settles import settle_lines


def lines_of(**row: object) -> list[str]:
    given = {
        "field": "lubrication.heat_removed_w",
        "ref": None,
        "matters": True,
        "missing": True,
        "subject": "heat",
    }
    found = settle_lines({"settles": [{**given, "from": "warn", "to": "ok", **row}]}, Figures("si"))
    assert found is not None
    return found.matter


def test_a_range_is_told_with_both_ends():
    assert lines_of(low=500.0, high=3000.0)[0].endswith("Heat: WARN at 500\u00a0W, OK at 3,000\u00a0W.")


def test_a_figure_without_a_range_names_no_end():
    assert lines_of(low=None, high=None)[0].endswith("Heat: WARN or OK, by its value.")
