"""Charts of shop readings, read back as XML: what is drawn where, what is said, no label beyond the sheet."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

import pytest

from bearings.charts import (
    ChartOptions,
    SeriesLine,
    SeriesMark,
    SeriesWords,
    ValueBar,
    series_chart,
    stick_chart,
    value_bars,
)
from bearings.drawing.strokes import text_width

SVG = "{http://www.w3.org/2000/svg}"
TOLD = SeriesWords(title="Run temperatures", across="minutes since start", up="°C")
TOP = SeriesLine("Top bearing", [(0, 22), (30, 48), (60, 55), (90, 55.5)])
OIL = SeriesLine("Oil", [(0, 22), (30, 44), (60, 51)])


def read(drawing: str) -> ElementTree.Element:
    return ElementTree.fromstring(drawing)


def texts(drawing: str) -> list[str]:
    return [one.text or "" for one in read(drawing).iter(f"{SVG}text")]


def inside(drawing: str) -> bool:
    """Whether every text ends on the sheet."""
    root = read(drawing)
    _left, _top, wide, tall = map(float, root.get("viewBox", "").split())
    for one in root.iter(f"{SVG}text"):
        x, y, size = (float(one.get(key, "0")) for key in ("x", "y", "font-size"))
        width = text_width(one.text or "", size)
        start = x - {"end": width, "middle": width / 2}.get(one.get("text-anchor", ""), 0.0)
        if start < -0.5 or start + width > wide + 0.5 or not 0 < y <= tall:
            return False
    return True


def test_lines_are_named_at_their_end_and_limits_are_dashed():
    drawing = series_chart(
        [TOP, OIL],
        TOLD,
        levels=[SeriesMark("Top bearing limit 95 °C", 95)],
        moments=[SeriesMark("stable from 60 min", 60)],
    )
    assert {"Top bearing", "Oil", "Top bearing limit 95 °C", "stable from 60 min", "°C"} <= set(
        texts(drawing)
    )
    root = read(drawing)
    curves = [one for one in root.iter(f"{SVG}path") if one.get("class") == "curve"]
    assert [one.get("stroke-dasharray") for one in curves] == [None, "2 4"]
    assert any(one.get("class") == "limit" and one.get("stroke-dasharray") for one in root.iter(f"{SVG}line"))
    assert inside(drawing)
    assert "Top bearing 0: 22 – 90: 55.5" in (root.findtext(f"{SVG}desc") or "")


def test_names_that_would_meet_are_set_apart():
    lines = [SeriesLine(f"Line {n}", [(0, 20), (60, 50 + n / 10)]) for n in range(5)]
    drawing = series_chart(lines, TOLD, levels=[SeriesMark("limit", 50)])
    places = sorted(
        float(one.get("y", "0"))
        for one in read(drawing).iter(f"{SVG}text")
        if (one.text or "").startswith(("Line", "limit"))
    )
    assert all(below - above >= 17.5 for above, below in pairwise(places))
    assert inside(drawing)


def test_one_reading_is_a_chart_and_none_is_refused():
    assert "Oil" in texts(series_chart([SeriesLine("Oil", [(0, 20)])], TOLD, reaches=30))
    with pytest.raises(ValueError, match="at least one point"):
        series_chart([SeriesLine("Oil", [])], TOLD)


def test_marks_of_a_spectrum_stand_apart_and_a_found_one_is_solid():
    marks = [SeriesMark("1–3 outer 107 Hz", 107, True), SeriesMark("1–3 inner 163 Hz", 163)]
    told = SeriesWords(title="Spectrum", across="Hz", up="mm/s rms")
    drawing = stick_chart([(29.7, 1.2), (107.1, 0.4), (900, 3)], marks, told, low=0, high=250)
    lines = [one for one in read(drawing).iter(f"{SVG}line") if one.get("class") == "limit"]
    assert [one.get("stroke-dasharray") for one in lines] == [None, "5 5"]
    sticks = [one for one in read(drawing).iter(f"{SVG}line") if one.get("class") == "curve"]
    assert len(sticks) == 2
    assert inside(drawing)
    with pytest.raises(ValueError, match="not above the beginning"):
        stick_chart([], [], told, low=5, high=5)


def test_a_bar_beyond_its_limit_is_hatched_and_an_empty_one_is_dashed():
    told = SeriesWords(title="Vibration by point", across="mm/s rms", up="")
    bars = [
        ValueBar("Top, 0°", "1.1 mm/s rms", 1.1, 1.8),
        ValueBar("Top, 90°", "2.4 mm/s rms · OUT OF LIMITS", 2.4, 1.8),
        ValueBar("Bottom, 0°", "not measured", None, 1.8),
    ]
    drawing = value_bars(bars, told, options=ChartOptions(id_prefix="v"))
    root = read(drawing)
    assert any(one.get("class") == "hatch" for one in root.iter())
    assert [one.get("stroke-dasharray") for one in root.iter(f"{SVG}polygon")] == [None, None, "7 4"]
    assert "Top, 90°: 2.4 mm/s rms · OUT OF LIMITS" in (root.findtext(f"{SVG}desc") or "")
    assert inside(drawing)
    fine = value_bars(bars[:1], told)
    assert not any(one.get("class") == "hatch" for one in read(fine).iter())
    with pytest.raises(ValueError, match="at least one"):
        value_bars([], told)


def test_hostile_names_are_escaped():
    drawing = series_chart([SeriesLine("<script>", [(0, 1)])], TOLD)
    assert "<script>" not in drawing
