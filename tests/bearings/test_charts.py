"""The charts, read back as XML: where curves and lines stand, what is written, what is refused."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from bearings.charts import (
    KILONEWTONS,
    POUNDS_FORCE,
    ChartOptions,
    LifeBar,
    LifeLimit,
    LifePoint,
    LifeRange,
    LoadCase,
    LoadCurve,
    MotorSpeed,
    SpeedBar,
    WarmthAxis,
    WarmthLevel,
    life_bars,
    life_chart,
    life_ranges,
    load_chart,
    speed_chart,
    warmth_chart,
)
from bearings.charts.axes import Scale, decades, label_levels, ticks

SVG = "{http://www.w3.org/2000/svg}"
THRUSTS = [-10_000.0, 0.0, 10_000.0, 30_000.0]
CURVES = [
    LoadCurve("1", [0, 2_000, 6_000, 15_000], "down"),
    LoadCurve("2", [0, 2_000, 6_000, 15_000], "down"),
    LoadCurve("3", [10_000, 4_000, 0, 0], "up"),
]


def texts(root: ElementTree.Element) -> list[str]:
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def by_class(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [element for element in root.iter() if name in (element.get("class") or "").split()]


def loads(**options: object) -> ElementTree.Element:
    return ElementTree.fromstring(
        load_chart(
            THRUSTS,
            CURVES,
            unloading_n=10_000,
            cases=[LoadCase("running", 20_000)],
            options=ChartOptions(**options),  # type: ignore[arg-type]
        )
    )


def test_bearings_with_the_same_load_share_one_line_that_names_them_all() -> None:
    root = loads()
    assert len(by_class(root, "curve")) == 2
    assert {"bearings 1, 2", "bearing 3"} <= set(texts(root))


def test_curves_differ_by_dash_and_not_by_hue_alone() -> None:
    dashes = [curve.get("stroke-dasharray") for curve in by_class(loads(), "curve")]
    assert len(set(dashes)) == len(dashes)


def test_the_point_where_a_bearing_unloads_and_the_cases_are_marked() -> None:
    root = loads()
    assert {"unloads at 10.0 kN", "running 20.0 kN"} <= set(texts(root))
    (mark,) = [element for element in by_class(root, "limit") if element.tag == f"{SVG}circle"]
    line = by_class(root, "curve")[1].attrib["d"].removeprefix("M").split("L")
    assert float(mark.attrib["cx"]) == pytest.approx(float(line[2].split()[0]), abs=0.11)


def test_the_load_chart_says_each_case_in_words() -> None:
    # 20 kN lies half way between the points at 10 and 30 kN: 6 + (15 - 6) / 2 = 10.5 kN.
    story = loads().findtext(f"{SVG}desc") or ""
    assert "running, 20.0 kN: bearing 1 10.5 kN, bearing 2 10.5 kN, bearing 3 0.0 kN" in story
    assert "A bearing unloads at 10.0 kN" in story


def test_the_load_chart_follows_the_readers_unit() -> None:
    # 10 kN / 4.448 221 615 260 5 N per lbf = 2 248.09 lbf
    root = loads(force_unit=POUNDS_FORCE)
    assert "unloads at 2,248 lbf" in texts(root)
    assert not any("kN" in text for text in texts(root))
    assert KILONEWTONS.text(-40) == "0.0 kN"
    assert KILONEWTONS.text(-2_000) == "−2.0 kN"


def test_curves_that_do_not_fit_the_thrusts_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="curve 7: 1 loads for 2 thrusts"):
        load_chart([0, 1], [LoadCurve("7", [1])])
    with pytest.raises(ValueError, match="at least 2"):
        load_chart([0], [])


def speeds(*bars: SpeedBar) -> ElementTree.Element:
    motor = [
        MotorSpeed("rated", 1780),
        MotorSpeed("synchronous", 1800),
        MotorSpeed("reverse", 2250, compared=False),
    ]
    return ElementTree.fromstring(speed_chart(bars, motor))


def test_a_bar_below_a_motor_speed_is_hatched_and_says_which() -> None:
    root = speeds(SpeedBar("1", 1790, governs=True), SpeedBar("2", 1890))
    assert "1,790 rpm · governs · BELOW synchronous" in texts(root)
    assert "1,890 rpm" in texts(root)
    assert len(by_class(root, "hatch")) == 1


def test_a_bearing_without_rating_is_not_checked_and_has_no_bar() -> None:
    root = speeds(SpeedBar("1", None))
    assert "not checked: no speed rating" in texts(root)
    assert by_class(root, "steel") == []
    assert "1: not checked: no speed rating" in (root.findtext(f"{SVG}desc") or "")


def test_bars_and_motor_speeds_stand_on_one_scale() -> None:
    root = speeds(SpeedBar("1", 1780))
    (bar,) = by_class(root, "steel")
    end = max(float(pair.split(",")[0]) for pair in bar.attrib["points"].split())
    assert end == pytest.approx(min(float(line.attrib["x1"]) for line in by_class(root, "limit")), abs=0.11)


def test_life_stands_on_a_logarithmic_scale() -> None:
    root = ElementTree.fromstring(life_chart([1_000, 2_000, 3_000], [100_000, 10_000, 1_000]))
    (curve,) = by_class(root, "curve")
    first, second, third = (
        float(point.split()[1]) for point in curve.attrib["d"].removeprefix("M").split("L")
    )
    assert second - first == pytest.approx(third - second, abs=0.11)


def test_the_life_chart_names_cases_and_limits() -> None:
    root = ElementTree.fromstring(
        life_chart(
            [10_000, 60_000],
            [300_000, 1_400],
            points=[LifePoint("running", 32_200, 14_620)],
            limits=[LifeLimit("stop", 8_800), LifeLimit("asked for", 40_000)],
        )
    )
    assert {"running 14,600\u00a0h", "stop 8,800\u00a0h", "asked for 40,000\u00a0h"} <= set(texts(root))
    assert "running, 32.2 kN: 14,600\u00a0h" in (root.findtext(f"{SVG}desc") or "")


def test_lives_that_cannot_stand_on_the_scale_are_refused() -> None:
    with pytest.raises(ValueError, match="above 0 h"):
        life_chart([1, 2], [10, 0])
    with pytest.raises(ValueError, match="2 loads and 1 lives"):
        life_chart([1, 2], [10])


def test_charts_escape_text_and_obey_the_content_policy() -> None:
    nasty = '<script>"&'
    for svg in (
        load_chart([0, 1], [LoadCurve(nasty, [1, 1])], cases=[LoadCase(nasty, 0.5)]),
        speed_chart([SpeedBar(nasty, 5)], [MotorSpeed(nasty, 6)]),
        life_chart([1, 2], [10, 5], points=[LifePoint(nasty, 1, 7)], limits=[LifeLimit(nasty, 3)]),
    ):
        assert "<script" not in svg
        root = ElementTree.fromstring(svg)
        assert root.attrib["role"] == "img"
        assert all("style" not in element.attrib for element in root.iter())


def test_charts_without_anything_to_show_are_still_charts() -> None:
    assert ElementTree.fromstring(speed_chart([], [])).tag == f"{SVG}svg"
    flat = ElementTree.fromstring(load_chart([5, 5], [LoadCurve("1", [0, 0])]))
    assert "bearing 1" in texts(flat)


def test_ticks_are_round_and_cover_the_range() -> None:
    assert ticks(0, 38, 6) == [0, 10, 20, 30, 40]
    assert ticks(-6.8, 38, 7)[0] <= -6.8
    assert decades(1_500, 90_000) == [1_000, 10_000, 100_000]


def test_words_on_neighbouring_lines_stand_on_different_levels_and_no_line_crosses_them() -> None:
    (first_start, first), (second_start, second) = label_levels(
        [(100, "rated 1,780"), (104, "drive 1,800")], 600
    )
    assert first > second
    assert (first_start, second_start) == (105, 109)


def test_a_value_beyond_the_scale_stands_at_its_end() -> None:
    assert Scale(0, 10, 100, 200).at(50) == 200


def test_lives_of_candidates_are_bars_that_say_in_words_what_they_do_not_reach():
    bars = [LifeBar("1  7320", 67_000.0), LifeBar("2  7320 W", 12_000.0), LifeBar("3  7320 Y", None)]
    chart = life_bars(bars, [LifeLimit("warn", 40_000.0), LifeLimit("stop", 8_800.0)])
    root = ElementTree.fromstring(chart)
    assert {"67,000\u00a0h", "12,000\u00a0h · BELOW warn", "not checked", "stop 8,800\u00a0h"} <= set(
        texts(root)
    )
    assert len(by_class(root, "hatch")) == 1


def test_a_life_beyond_a_million_hours_claims_no_more_than_that():
    chart = life_bars([LifeBar("1  7320", 4e8)], [])
    assert "over 100,000\u00a0h" in chart


def test_warmth_is_charted_in_the_readers_unit_with_what_was_entered_and_the_limits() -> None:
    root = ElementTree.fromstring(
        warmth_chart(
            [-18.0, 0.0, 18.0, 72.0], [60_000.0, 61_000.0, 50_000.0, 9_000.0],
            WarmthAxis("life, hours", logarithmic=True), warmth_unit="°F", entered=14.4,
            levels=[WarmthLevel("stop 8,800 h", 8_800.0)], options=ChartOptions(id_prefix="w"),
        )
    )  # fmt: skip
    assert {"entered 14.4 °F", "stop 8,800 h", "shaft warmer than the housing, °F"} <= set(texts(root))
    assert len(by_class(root, "curve")) == 1
    assert "-18" not in "".join(texts(root))
    with pytest.raises(ValueError, match="at least 2 of each"):
        warmth_chart([1.0], [2.0], WarmthAxis("x"))


def test_a_warmth_beyond_the_chart_is_not_marked() -> None:
    root = ElementTree.fromstring(warmth_chart([0.0, 10.0], [1.0, 2.0], WarmthAxis("preload"), entered=80.0))
    assert not any("entered" in text for text in texts(root))


def test_each_figure_has_a_bar_from_one_life_to_the_other() -> None:
    ranges = [LifeRange("downthrust", 80_000, 40_000), LifeRange("rotor weight", 60_000, 3e6)]
    root = ElementTree.fromstring(life_ranges(ranges, 60_000, [LifeLimit("stop", 8_800)]))
    shown = [" ".join(text.split()) for text in texts(root)]
    assert "downthrust: 80,000 h – 40,000 h" in shown
    assert "rotor weight: 60,000 h – over 100,000 h" in shown
    assert {"stop 8,800 h", "as entered 60,000 h"} <= set(shown)
    assert len(by_class(root, "steel")) == 2
