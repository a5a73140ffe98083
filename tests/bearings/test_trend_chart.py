"""Readings over visits, read back as XML: where dots and limits stand, what is written and where it ends."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

import pytest

from bearings.charts import ChartOptions, SeriesMark, TrendAxis, TrendLine, trend_chart
from bearings.drawing.strokes import text_width

SVG = "{http://www.w3.org/2000/svg}"
VISITS = [("Nov 30, 2023", "23-0107"), ("Jan 4, 2025", "25-0002"), ("Dec 1, 2026", "26-0121")]


def drawn(
    lines: list[TrendLine], visits: list[tuple[str, str]] = VISITS, **more: object
) -> ElementTree.Element:
    axis = more.pop("axis", TrendAxis("Insulation, MΩ", logarithmic=True))
    return ElementTree.fromstring(trend_chart(visits, lines, axis, **more))  # type: ignore[arg-type]


def texts(root: ElementTree.Element) -> list[str]:
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def by_class(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [element for element in root.iter() if name in (element.get("class") or "").split()]


def test_a_visit_without_a_value_has_no_dot() -> None:
    root = drawn([TrendLine("as left", [400, None, 200]), TrendLine("as found", [None, None, 3])])
    assert len(by_class(root, "dot")) == 3
    assert len(by_class(root, "curve")) == 2
    assert {"as left", "as found", "23-0107", "Dec 1, 2026", "1", "1,000"} <= set(texts(root))


def test_the_limit_stands_at_its_value_beside_equal_readings() -> None:
    root = drawn([TrendLine("as left", [5, 5, 5])], limits=[SeriesMark("min. 5 MΩ", 5)])
    level = by_class(root, "limit")[0]
    assert {dot.get("cy") for dot in by_class(root, "dot")} == {level.get("y1")}
    assert "min. 5 MΩ" in texts(root)


def test_a_reading_of_zero_is_drawn_on_a_plain_axis() -> None:
    root = drawn([TrendLine("as found", [0, 200, 400])])
    assert "0" in texts(root)
    assert "400" in texts(root)


def test_fits_of_a_few_ten_thousandths_of_an_inch_keep_their_figures() -> None:
    root = drawn([TrendLine("mount", [0.0002, 0.0006, 0.0004])], axis=TrendAxis("Fit, in"))
    assert {"0", "0.0002", "0.0004", "0.0006"} <= set(texts(root))


@pytest.mark.parametrize("many", [1, 2, 7, 30])
def test_no_words_are_cut_and_no_two_visits_touch(many: int) -> None:
    visits = [(f"Nov {1 + n % 28}, 2026", f"26-{n:04}") for n in range(many)]
    names = ["top, radial 0°", "top, radial 90°", "top, axial", "bottom, radial 0°", "bottom, radial 90°"]
    lines = [TrendLine(name, [1.0 + place / 10] * many) for place, name in enumerate(names)]
    root = drawn(
        lines, visits, axis=TrendAxis("Vibration, mm/s rms"), limits=[SeriesMark("max. 2.3 mm/s rms", 2.3)]
    )
    width, height = (float(text) for text in (root.get("viewBox") or "").split()[2:])
    spans = []
    for one in root.iter(f"{SVG}text"):
        x, y, wide = float(one.get("x") or 0), float(one.get("y") or 0), text_width(one.text or "", 14)
        start = {"middle": x - wide / 2, "end": x - wide}.get(one.get("text-anchor") or "", x)
        assert start >= 0
        assert start + wide <= width
        assert 0 < y < height
        if (one.text or "").startswith("26-"):
            spans.append((start, start + wide))
    assert spans
    spans.sort()
    assert all(end < start for (_s, end), (start, _e) in pairwise(spans))
    assert visits[-1][1] in texts(root)


def test_the_chart_says_its_figures_in_words() -> None:
    root = drawn([TrendLine("as left", [400, None, 200])], limits=[SeriesMark("min. 5 MΩ", 5)])
    story = next(root.iter(f"{SVG}desc")).text or ""
    assert "as left: 23-0107 400, 26-0121 200" in story
    assert "min. 5 MΩ" in story


def test_nothing_is_drawn_of_nothing() -> None:
    for lines, visits in (([TrendLine("a", [None])], VISITS[:1]), ([TrendLine("a", [1])], VISITS), ([], [])):
        with pytest.raises(ValueError, match="at least one"):
            trend_chart(visits, lines, TrendAxis("x"), options=ChartOptions())
