"""The drawing of a stack, read back as XML: geometry, words, refs, escaping, links."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from bearings.drawing import PAPER, DrawingOptions, LoadLabel, draw_stack, pounds_force_text, si_force_text
from bearings.drawing.layout import spread
from bearings.drawing.strokes import hatching, wrap
from bearings.engineering.quantities import Bearing, Guide, Item, MotorDuty, Part, Stack

SVG = "{http://www.w3.org/2000/svg}"

DOWN = Bearing(
    type="angular_contact_ball",
    wide_face="down",
    designation="7320",
    bore_mm=100,
    outside_diameter_mm=215,
    height_mm=47,
    contact_angle_deg=40,
)
UP = replace(DOWN, wide_face="up")
DEEP_GROOVE = replace(DOWN, type="deep_groove_ball", wide_face=None, contact_angle_deg=None)
ROLLER = replace(DEEP_GROOVE, type="cylindrical_roller")
ROLLER_THRUST = Bearing(
    type="spherical_roller_thrust", wide_face="down", bore_mm=120, outside_diameter_mm=250, height_mm=78
)
FLANGE = Part(kind="shoulder", ring="inner")
NUT = Part(kind="lock_nut", ring="inner")
SPACER = Part(kind="spacer", ring="both", height_mm=20)


def stack(*items: Item, guides: tuple[Guide, ...] = ()) -> Stack:
    return Stack(motor=MotorDuty(rated_speed_rpm=1780), items=items, guides=guides)


def drawn(*items: Item, guides: tuple[Guide, ...] = (), **options: object) -> ElementTree.Element:
    svg = draw_stack(stack(*items, guides=guides), options=DrawingOptions(**options))  # type: ignore[arg-type]
    return ElementTree.fromstring(svg)


def item(root: ElementTree.Element, ref: str) -> ElementTree.Element:
    (found,) = [element for element in root.iter() if element.get("data-ref") == ref]
    return found


def texts(root: ElementTree.Element) -> list[str]:
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def by_class(root: ElementTree.Element, *names: str) -> list[ElementTree.Element]:
    return [element for element in root.iter() if set(names) <= set((element.get("class") or "").split())]


def radial_width(ring: ElementTree.Element, *, at_top: bool) -> float:
    """Return how wide a ring is on its upper or lower face, without its chamfers."""
    points = [tuple(map(float, pair.split(","))) for pair in ring.attrib["points"].split()]
    level = min(y for _x, y in points) if at_top else max(y for _x, y in points)
    face = [x for x, y in points if y == level]
    return max(face) - min(face)


def rings(*items: Item, ref: str = "1") -> tuple[list[ElementTree.Element], list[ElementTree.Element]]:
    group = item(drawn(*items), ref)
    return by_class(group, "outer-ring"), by_class(group, "inner-ring")


def description(root: ElementTree.Element) -> str:
    return root.findtext(f"{SVG}desc") or ""


def test_on_a_bearing_lying_wide_face_down_the_outer_ring_is_wide_below_and_the_inner_ring_above() -> None:
    outer, inner = rings(DOWN)
    assert len(outer) == len(inner) == 2
    for ring in outer:
        assert radial_width(ring, at_top=False) > 1.2 * radial_width(ring, at_top=True)
    for ring in inner:
        assert radial_width(ring, at_top=True) > 1.2 * radial_width(ring, at_top=False)


def test_turning_a_bearing_over_turns_both_rings_over() -> None:
    outer, inner = rings(UP)
    for ring in outer:
        assert radial_width(ring, at_top=True) > 1.2 * radial_width(ring, at_top=False)
    for ring in inner:
        assert radial_width(ring, at_top=False) > 1.2 * radial_width(ring, at_top=True)


def test_deep_groove_rings_are_alike_on_both_faces_and_have_no_contact_line() -> None:
    outer, inner = rings(DEEP_GROOVE)
    for ring in (*outer, *inner):
        assert radial_width(ring, at_top=True) == pytest.approx(radial_width(ring, at_top=False), abs=0.2)
    assert by_class(drawn(DEEP_GROOVE), "contact") == []


def test_bore_diameter_and_height_keep_their_proportion() -> None:
    (left, right), _inner = rings(DOWN)
    xs, ys = zip(
        *(map(float, pair.split(",")) for ring in (left, right) for pair in ring.attrib["points"].split()),
        strict=True,
    )
    assert (max(xs) - min(xs)) / (max(ys) - min(ys)) == pytest.approx(215 / 47, rel=0.02)


@pytest.mark.parametrize(
    ("bearing", "face"),
    [(DOWN, "down"), (UP, "up"), (ROLLER_THRUST, "down"), (replace(ROLLER_THRUST, wide_face="up"), "up")],
)
def test_the_contact_line_leads_the_thrust_from_inner_ring_to_outer_ring(bearing: Bearing, face: str) -> None:
    lines = by_class(drawn(bearing), "contact")
    assert len(lines) == 2
    for line in lines:
        x1, y1, x2, y2 = (float(line.attrib[name]) for name in ("x1", "y1", "x2", "y2"))
        inner_y, outer_y = (y1, y2) if abs(x1) < abs(x2) else (y2, y1)
        assert (outer_y > inner_y) == (face == "down")
        assert face in line.attrib["class"]


def test_a_down_arrow_is_filled_and_an_up_arrow_hollow_so_that_grey_paper_still_tells() -> None:
    svg = ElementTree.fromstring(draw_stack(stack(DOWN, UP), options=DrawingOptions(palette=PAPER)))
    (down,), (up,) = by_class(svg, "arrow", "down"), by_class(svg, "arrow", "up")
    assert down.attrib["fill"] == PAPER.down
    assert up.attrib["fill"] == PAPER.sheet
    assert up.attrib["stroke"] == PAPER.up


def test_direction_and_lie_are_also_written_in_words() -> None:
    said = texts(drawn(FLANGE, DOWN, UP, NUT))
    for words in (
        "TOP OF MOUNT",
        "flange of the mount",
        "carries DOWN thrust",
        "wide face down",
        "carries UP thrust",
        "wide face up",
        "lock nut",
    ):
        assert words in said


def test_balloons_bear_the_refs_of_the_one_numbering() -> None:
    root = drawn(FLANGE, DOWN, SPACER, UP, NUT, guides=(Guide(bearing=ROLLER),))
    for ref in ("a", "1", "b", "2", "c", "g1"):
        assert ref in texts(item(root, ref))


def test_balloons_and_words_never_overlap_with_twenty_items() -> None:
    root = drawn(FLANGE, *([DOWN, SPACER] * 6), UP, UP, NUT, *[Part(kind="shim", ring="inner")] * 4)
    middles = [
        float(circle.attrib["cy"]) for circle in by_class(root, "balloon") if circle.tag == f"{SVG}circle"
    ]
    assert len(middles) == 20
    assert min(later - earlier for earlier, later in pairwise(middles)) >= 31 - 0.11
    lines = sorted(float(text.attrib["y"]) for text in by_class(root, "words") if text.tag == f"{SVG}text")
    assert min(later - earlier for earlier, later in pairwise(lines)) > 17
    _left, top, _width, height = map(float, root.attrib["viewBox"].split())
    assert top < min(middles) - 15
    assert max(middles) + 15 < top + height


@pytest.mark.parametrize("bearing", [replace(DOWN, wide_face=None), replace(ROLLER_THRUST, wide_face=None)])
def test_an_unknown_face_is_drawn_as_a_question_without_any_direction(bearing: Bearing) -> None:
    root = drawn(bearing)
    assert "?" in texts(root)
    assert "direction NOT KNOWN" in texts(root)
    assert by_class(root, "arrow") == by_class(root, "contact") == by_class(root, "hatch") == []
    assert "direction NOT KNOWN" in description(root)


def test_unknown_sizes_are_drawn_dashed_and_said_so() -> None:
    root = drawn(Bearing(type="angular_contact_ball", wide_face="down"))
    outlines = by_class(item(root, "1"), "outline")
    assert outlines
    assert all(outline.get("stroke-dasharray") for outline in outlines)
    assert any("drawn as assumed" in text for text in texts(root))
    assert not any("drawn as assumed" in text for text in texts(drawn(DOWN)))


@pytest.mark.parametrize(
    "part",
    [
        Part(kind=kind, ring=ring)  # type: ignore[arg-type]
        for kind in (
            "spacer",
            "shim",
            "snap_ring",
            "lock_nut",
            "lock_washer",
            "shoulder",
            "spring_pack",
            "slinger",
        )
        for ring in ("inner", "outer", "both", None)
    ],
)
def test_every_part_on_every_ring_leaves_strokes_and_its_name(part: Part) -> None:
    root = drawn(DOWN, part, UP)
    name = part.kind.replace("_", " ")
    assert name in description(root) or (
        part.kind == "shoulder" and "flange of the mount" in description(root)
    )
    section = by_class(item(root, "a"), "section")[0]
    if part.kind == "shoulder" and part.ring in ("inner", None):
        alone = by_class(drawn(DOWN, UP), "mount")[0].attrib["points"]
        assert len(by_class(root, "mount")[0].attrib["points"].split()) > len(alone.split())
    else:
        assert len(section) >= 2


def test_a_part_whose_ring_is_not_recorded_says_so() -> None:
    assert "spacer, ring not recorded" in texts(drawn(DOWN, Part(kind="spacer"), UP))


def test_a_snap_ring_stands_in_a_groove() -> None:
    assert len(by_class(drawn(Part(kind="snap_ring", ring="inner"), DOWN), "groove")) == 2


def test_a_roller_thrust_bearing_has_slanted_rollers_and_springs_when_it_rests_on_them() -> None:
    root = drawn(replace(ROLLER_THRUST, spring_force_n=4000))
    rollers = by_class(root, "roller")
    assert len(rollers) == 2
    points = [tuple(map(float, pair.split(","))) for pair in rollers[1].attrib["points"].split()]
    assert points[0][0] != points[10][0]
    assert points[0][1] != points[10][1]
    assert len(by_class(root, "spring")) == 2
    assert "on springs" in description(root)
    assert by_class(drawn(ROLLER_THRUST), "spring") == []


def test_springs_listed_as_an_item_are_not_drawn_twice() -> None:
    root = drawn(replace(ROLLER_THRUST, spring_force_n=4000), Part(kind="spring_pack", ring="outer"))
    assert len(by_class(root, "spring")) == 2


def test_guides_stand_below_a_break_with_what_they_carry() -> None:
    root = drawn(DOWN, guides=(Guide(bearing=DEEP_GROOVE, carries="up", end_play_um=150),))
    assert len(by_class(root, "mount")) == 2
    assert "end play 0.15 mm" in texts(root)
    assert "g1: guide, deep groove ball bearing, 7320, carries UP thrust" in description(root)


def test_loads_are_written_and_drawn_as_long_as_they_are_great() -> None:
    loads = {
        "1": LoadLabel(axial_n=20_000),
        "2": LoadLabel(axial_n=10_000),
        "3": LoadLabel(axial_n=0, unloaded=True),
    }
    root = ElementTree.fromstring(draw_stack(stack(DOWN, DOWN, UP), loads=loads, net_axial_n=30_000))
    assert {"takes 20.0 kN", "takes 10.0 kN", "unloaded", "net thrust 30.0 kN DOWN"} <= set(texts(root))

    def reach(ref: str) -> float:
        (shaft,) = by_class(item(root, ref), "load")
        (head,) = by_class(item(root, ref), "load-head")
        ys = [
            float(shaft.attrib["y1"]),
            *(float(pair.split(",")[1]) for pair in head.attrib["points"].split()),
        ]
        return max(ys) - min(ys)

    assert reach("1") == pytest.approx(2 * reach("2"), rel=0.02)
    assert "wide face down, carries DOWN thrust, takes 10.0 kN" in description(root)


def test_forces_are_written_in_the_readers_unit() -> None:
    # 1 lbf = 0.453 592 37 kg x 9.806 65 m/s2, international pound and standard gravity, exact by definition
    thousand_lbf_n = 1000 * 0.45359237 * 9.80665
    assert pounds_force_text(thousand_lbf_n) == "1,000 lbf"
    assert si_force_text(840) == "840 N"
    assert si_force_text(16_100) == "16.1 kN"
    svg = draw_stack(
        stack(DOWN),
        loads={"1": LoadLabel(axial_n=thousand_lbf_n)},
        options=DrawingOptions(force_text=pounds_force_text),
    )
    assert "takes 1,000 lbf" in svg
    assert "kN" not in svg


@pytest.mark.parametrize("size", ["full", "card", "compact"])
def test_text_of_people_is_escaped_everywhere(size: str) -> None:
    nasty = '<script>alert("1")</script>&\x00\'end'
    bearing = replace(DOWN, designation=nasty, maker=nasty, mark=nasty, note=nasty)
    svg = draw_stack(
        stack(bearing, replace(SPACER, note=nasty)),
        options=DrawingOptions(
            size=size,  # type: ignore[arg-type]
            marks={"1": nasty},
            summary=nasty,
            link=lambda ref: {"href": f'?item={ref}"><script>', "aria-label": nasty},
        ),
    )
    assert "<script" not in svg
    root = ElementTree.fromstring(svg)
    assert (root.findtext(f"{SVG}title") or "").startswith("<script>")


def test_a_drawing_obeys_a_strict_content_policy_and_uses_ids_of_its_own() -> None:
    items = (FLANGE, DOWN, SPACER, UP, replace(ROLLER_THRUST, spring_force_n=1), DEEP_GROOVE, ROLLER, NUT)
    root = drawn(*items, id_prefix="built", link=lambda ref: {"href": f"?item={ref}"})
    for element in root.iter():
        assert element.tag.removeprefix(SVG) not in ("style", "script", "image", "use")
        assert "style" not in element.attrib
        assert not any(name.startswith("on") for name in element.attrib)
        assert "url(" not in "".join(element.attrib.values())
        assert element.get("id", "built-").startswith("built-")
    with pytest.raises(ValueError, match="id_prefix"):
        DrawingOptions(id_prefix='x" onload="')


def test_a_plain_drawing_is_one_image_with_name_and_description() -> None:
    root = drawn(DOWN, UP, summary="One down, one up.")
    assert root.attrib["role"] == "img"
    assert root.findtext(f"{SVG}title") == "One down, one up."
    assert root.attrib["aria-labelledby"] == "stack-title"
    assert description(root).startswith("From the top of the mount: 1: angular contact ball bearing, 7320, ")


def test_items_are_links_where_an_address_is_given_and_focusable_otherwise() -> None:
    linked = drawn(DOWN, UP, selected="2", link=lambda ref: {"href": f"/turn/{ref}"})
    assert linked.attrib["role"] == "group"
    assert item(linked, "1").tag == f"{SVG}a"
    assert item(linked, "1").attrib["href"] == "/turn/1"
    assert "wide face down" in "".join(item(linked, "1").itertext())
    assert "aria-label" not in item(linked, "1").attrib  # its visible words are its name
    compact = drawn(DOWN, UP, size="compact", link=lambda ref: {"href": f"/turn/{ref}"})
    assert "wide face down" in item(compact, "1").attrib["aria-label"]
    assert item(linked, "2").attrib["aria-current"] == "true"
    button = item(drawn(DOWN, link=lambda ref: {"data-turn": ref}), "1")
    assert (button.attrib["tabindex"], button.attrib["role"], button.attrib["data-turn"]) == (
        "0",
        "button",
        "1",
    )


def test_a_difference_is_framed_heavily_and_named_in_words() -> None:
    root = drawn(DOWN, UP, marks={"2": "flipped"})
    (frame,) = by_class(root, "mark")
    assert float(frame.attrib["stroke-width"]) > 4
    assert "flipped" in texts(item(root, "2"))
    assert "is-marked" in item(root, "2").attrib["class"]


def test_a_compact_drawing_has_arrows_but_no_words_and_is_narrower() -> None:
    compact, full = drawn(DOWN, UP, size="compact"), drawn(DOWN, UP)
    assert set(texts(compact)) == {"TOP OF MOUNT", "1", "2"}
    assert len(by_class(compact, "arrow")) == 2
    assert float(compact.attrib["width"]) < 0.7 * float(full.attrib["width"])


@pytest.mark.parametrize(
    "sizes",
    [(0.5, 0.6, 0.1), (3, 2000, 1), (100, 101, 500), (1999, 2000, 5), (10, 30, 9)],
)
def test_extreme_sizes_stay_drawable(sizes: tuple[float, float, float]) -> None:
    bore, outside, height = sizes
    odd = replace(DOWN, bore_mm=bore, outside_diameter_mm=outside, height_mm=height)
    root = drawn(FLANGE, odd, DOWN, replace(ROLLER_THRUST, height_mm=1), NUT)
    assert 200 < float(root.attrib["width"]) < 1000
    assert 100 < float(root.attrib["height"]) < 1500
    for radius in (float(circle.attrib["r"]) for circle in by_class(root, "ball")):
        assert radius > 3


def test_a_stack_of_parts_alone_can_be_drawn() -> None:
    assert "snap ring" in description(drawn(Part(kind="snap_ring", ring="inner"), SPACER))


def test_spread_moves_rows_apart_as_little_as_possible_and_keeps_their_order() -> None:
    assert spread([0, 100], [30, 30]) == [0, 100]
    assert spread([50, 50], [30, 30]) == [35, 65]
    placed = spread([10, 12, 14, 200], [30, 30, 30, 30])
    assert placed == pytest.approx([-18, 12, 42, 200])


def test_hatching_ends_on_the_outline() -> None:
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    path = ElementTree.fromstring(hatching(square, 4, 1, "hatch", stroke="black")).attrib["d"]
    for stroke in path.split("M")[1:]:
        for end in stroke.split("L"):
            x, y = map(float, end.split())
            assert min(abs(x), abs(x - 10), abs(y), abs(y - 10)) < 0.01


def test_long_text_is_broken_and_ends_in_an_ellipsis() -> None:
    lines = wrap("one two three four five six seven", 10, 60, 2)
    assert len(lines) == 2
    assert lines[1].endswith("…")
    assert wrap("x" * 200, 10, 60, 2)[0].endswith("…")
