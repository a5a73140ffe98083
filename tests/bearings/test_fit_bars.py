"""The bars of a fit, read back as XML: where they stand, what they say, what is refused."""

from __future__ import annotations

from decimal import Decimal
from xml.etree import ElementTree

import pytest

from bearings.charts import FitBar, fit_bars

D = Decimal
SVG = "{http://www.w3.org/2000/svg}"
# 100 k5 over a bore of class Normal: ISO 286-2 3..18, ISO 492 -20..0
ZONE = FitBar("zone k5", "zone", D(3), D(18))
RING = FitBar("bore, Normal", "ring", D(-20), D(0))


def texts(drawing: str) -> list[str]:
    return [one.text or "" for one in ElementTree.fromstring(drawing).iter(f"{SVG}text")]


def story(drawing: str) -> str:
    return ElementTree.fromstring(drawing).findtext(f"{SVG}desc") or ""


def test_zone_and_ring_stand_on_one_scale_with_the_nominal_size_through_both():
    drawing = fit_bars([ZONE, RING], nominal="Ø 100 mm")
    assert {"+3 to +18", "−20 to 0", "Ø 100 mm", "µm from the nominal size"} <= set(texts(drawing))
    bars = [one.get("points", "") for one in ElementTree.fromstring(drawing).iter(f"{SVG}polygon")]
    right_of_ring, left_of_zone = (
        max(float(point.split(",")[0]) for point in bars[1].split()),
        min(float(point.split(",")[0]) for point in bars[0].split()),
    )
    assert right_of_ring < left_of_zone
    assert story(drawing) == (
        "Ø 100 mm; µm from the nominal size. zone k5: +3 to +18. bore, Normal: −20 to 0."
    )


def test_a_reading_outside_the_zone_is_a_thick_mark_and_says_so():
    measured = FitBar("as measured", "measured", D(1), D(13), [D(1), D(13)])
    drawing = fit_bars([ZONE, measured, RING], nominal="Ø 100 mm")
    assert "+1 to +13 · OUT OF ZONE" in texts(drawing)
    marks = [one for one in ElementTree.fromstring(drawing).iter(f"{SVG}line") if one.get("class") == "curve"]
    assert [mark.get("stroke-width") for mark in marks] == ["5", "1.6"]
    inside = FitBar("as measured", "measured", D(3), D(18), [D(3), D(18)])
    assert "OUT OF ZONE" not in story(fit_bars([ZONE, inside], nominal="Ø 100 mm"))


def test_inches_are_told_in_tenths_of_a_thousandth():
    # 18 µm is 7.09 ten-thousandths of an inch
    drawing = fit_bars([ZONE], nominal="Ø 100 mm", inches=True)
    assert "+1.18 to +7.09" in texts(drawing)
    assert "0.0001 in from the nominal size" in texts(drawing)


def test_hostile_words_are_escaped_and_no_bar_is_refused():
    drawing = fit_bars([FitBar("<script>", "zone", D(0), D(0))], nominal='"&')
    assert "<script>" not in drawing
    with pytest.raises(ValueError, match="bars"):
        fit_bars([], nominal="Ø 100 mm")
