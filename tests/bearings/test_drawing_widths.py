"""No label of a drawing runs over its edge: widths are taken for what the font file draws."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from bearings.drawing import DrawingOptions, LoadLabel, draw_stack, pounds_force_text
from bearings.drawing.strokes import text_width, wrap
from tests.bearings.test_drawing import DOWN, SVG, UP, item, stack


@pytest.mark.parametrize(
    "idle", [LoadLabel(axial_n=0, unloaded=True, warm_n=138_000), LoadLabel(axial_n=88_800)]
)
def test_a_compact_drawing_is_wide_enough_for_what_it_says_of_a_load(idle: LoadLabel) -> None:
    options = DrawingOptions(size="compact", force_text=pounds_force_text)
    svg = draw_stack(stack(DOWN, UP), loads={"1": LoadLabel(axial_n=40_000), "2": idle}, options=options)
    root = ElementTree.fromstring(svg)
    labels = [one for one in item(root, "2").iter(f"{SVG}text") if one.get("text-anchor") != "middle"]
    assert labels
    for one in labels:
        width = text_width(one.text or "", float(one.attrib["font-size"]))
        assert float(one.attrib["x"]) + width <= float(root.attrib["width"])


# Widths in the heaviest cut of the face, at size 1, measured with the font file in a browser.
@pytest.mark.parametrize(
    ("text", "drawn_width"),
    [
        ("unloaded, warm", 7.07),
        ("unloaded", 4.10),
        ("1,240 lbf", 3.75),
        ("warm 12,340 lbf", 6.99),
        ("carries DOWN thrust", 9.02),
        ("6,740 lbf, warm 7,240 lbf", 10.81),
        ("warm 138 kN", 5.53),
    ],
)
def test_no_text_is_taken_for_narrower_than_it_is(text: str, drawn_width: float) -> None:
    assert drawn_width <= text_width(text, 1) <= 1.15 * drawn_width


def test_a_figure_and_its_unit_stay_on_one_line() -> None:
    assert wrap("spacer, inner and outer ring, 20\u00a0mm", 19, 300, 2)[1:] == ["20\u00a0mm"]
