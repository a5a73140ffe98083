import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from bearings.stack_file import StackFileError, field_spec, parse_guide, parse_item, parse_stack, stack_values
from bearings.stack_file.specs import DEEPEST_NESTING, MOST_BYTES
from tests.bearings.strategies import stack_values_of

TRIPLE = Path(__file__).parent.parent / "reference" / "triple.json"


POINT = {"share": 1.0, "speed_rpm": 1_780, "down_thrust_n": 20_000}


def triple() -> dict[str, Any]:
    values: dict[str, Any] = json.loads(TRIPLE.read_text())
    return values


def refused(source: Any) -> dict[str, str]:
    """The paths that are refused, each with its message."""
    with pytest.raises(StackFileError) as caught:
        parse_stack(source)
    for one in caught.value.mistakes:
        json.dumps(one.as_dict(), allow_nan=False).encode("ascii")
    return {one.field: one.message for one in caught.value.mistakes}


def changed(path: str, value: Any) -> dict[str, Any]:
    """The triple with one value changed: ``items.1.bore_mm``."""
    values = triple()
    place: Any = values
    *way, last = path.split(".")
    for step in way:
        place = place[int(step)] if step.isdigit() else place.setdefault(step, {})
    place[int(last) if last.isdigit() else last] = value
    return values


def test_a_stack_written_and_read_again_is_the_same():
    stack = parse_stack(TRIPLE.read_bytes())

    assert parse_stack(stack_values(stack)) == stack
    assert parse_stack(json.dumps(stack_values(stack))) == stack


@settings(max_examples=60, deadline=None)
@given(stack_values_of())
def test_any_accepted_stack_survives_writing_and_reading(values):
    stack = parse_stack(values)

    assert parse_stack(json.dumps(stack_values(stack)).encode()) == stack


@pytest.mark.parametrize(
    ("path", "value", "field"),
    [
        ("colour", 1, "colour"),
        ("stack_file", 3, "stack_file"),
        ("stack_file", True, "stack_file"),
        ("stack_file", None, "stack_file"),
        ("motor", None, "motor.rated_speed_rpm"),
        ("motor", [], "motor"),
        ("motor.rated_speed_rpm", 0, "motor.rated_speed_rpm"),
        ("motor.rated_speed_rpm", -1780, "motor.rated_speed_rpm"),
        ("motor.rated_speed_rpm", "1780", "motor.rated_speed_rpm"),
        ("motor.rated_speed_rpm", True, "motor.rated_speed_rpm"),
        ("motor.down_thrust_n", 1e308, "motor.down_thrust_n"),
        ("motor.up_thrust_n", -1, "motor.up_thrust_n"),
        ("motor.non_reverse", 1, "motor.non_reverse"),
        ("motor.mounting", "sideways", "motor.mounting"),
        ("motor.rated_sped_rpm", 1, "motor.rated_sped_rpm"),
        ("motor.shaft_warmer_k", 151, "motor.shaft_warmer_k"),
        ("motor.shaft_warmer_k", "warm", "motor.shaft_warmer_k"),
        ("motor.duty", {}, "motor.duty"),
        ("motor.duty", [], "motor.duty"),
        ("motor.duty", [POINT] * 21, "motor.duty"),
        ("motor.duty", [POINT, POINT], "motor.duty"),
        ("motor.duty", [{**POINT, "share": 0.998}], "motor.duty"),
        ("motor.duty", [None], "motor.duty[0]"),
        ("motor.duty", [POINT, 5], "motor.duty[1]"),
        ("motor.duty", [POINT, {**POINT, "share": 1.5}], "motor.duty[1].share"),
        ("motor.duty", [POINT, {**POINT, "share": -0.1}], "motor.duty[1].share"),
        ("motor.duty", [{**POINT, "speed_rpm": 0}], "motor.duty[0].speed_rpm"),
        ("motor.duty", [{**POINT, "down_thrust_n": True}], "motor.duty[0].down_thrust_n"),
        ("motor.duty", [{**POINT, "load": 1}], "motor.duty[0].load"),
        ("motor.duty", [{"share": 1}], "motor.duty[0].speed_rpm"),
        ("items.1.inner_groove_ratio", 0.5, "items[1].inner_groove_ratio"),
        ("items.1.outer_groove_ratio", 0.61, "items[1].outer_groove_ratio"),
        ("items.1.inner_groove_ratio", "0.52", "items[1].inner_groove_ratio"),
        ("items.1.fit_interference_um", 1_001, "items[1].fit_interference_um"),
        ("items.1.fit_interference_um", [], "items[1].fit_interference_um"),
        ("lubrication.contamination", "dirty", "lubrication.contamination"),
        ("lubrication.contamination_factor", 1.1, "lubrication.contamination_factor"),
        ("policy.set_factors", {"triple": 0.7}, "policy.set_factors.triple"),
        ("policy.stop_l10h", -1, "policy.stop_l10h"),
        ("items", [], "items"),
        ("items", None, "items"),
        ("items", {}, "items"),
        ("items", [{"kind": "lock_nut"}] * 21, "items"),
        ("items.0", 7, "items[0]"),
        ("items.0.kind", "gear", "items[0].kind"),
        ("items.0.kind", None, "items[0].kind"),
        ("items.0.bore_mm", 100, "items[0].bore_mm"),
        ("items.0.height_mm", 0, "items[0].height_mm"),
        ("items.1.type", None, "items[1].type"),
        ("items.1.wide_face", "dwn", "items[1].wide_face"),
        ("items.1.wide_face", None, "items[1].wide_face"),
        ("items.1.type", "deep_groove_ball", "items[1].wide_face"),
        ("items.1.bore_mm", 215, "items[1].outside_diameter_mm"),
        ("items.1.contact_angle_deg", 60, "items[1].contact_angle_deg"),
        ("items.1.contact_angle_deg", 14.9, "items[1].contact_angle_deg"),
        ("items.1.dynamic_rating_n", 0, "items[1].dynamic_rating_n"),
        ("items.1.ball_count", 13.5, "items[1].ball_count"),
        ("items.1.designation", "x" * 201, "items[1].designation"),
        ("items.1.designation", 7320, "items[1].designation"),
        ("items.1.designation", "\ud800", "items[1].designation"),
        ("items.1.ring", "inner", "items[1].ring"),
        ("guides", {}, "guides"),
        ("guides", [{"type": "cylindrical_roller", "carries": "sideways"}], "guides[0].carries"),
        ("guides", [{"carries": "up"}], "guides[0].type"),
        ("guides", [{"type": "cylindrical_roller", "end_play_um": -1}], "guides[0].end_play_um"),
        ("guides", [{"type": "angular_contact_ball"}], "guides[0].wide_face"),
        ("guides", [{"type": "cylindrical_roller", "kind": "shim"}], "guides[0].kind"),
    ],
)
def test_a_wrong_value_is_refused_at_its_path(path, value, field):
    messages = refused(changed(path, value))

    assert field in messages
    assert messages[field]


def test_shares_of_a_duty_may_add_up_to_one_within_a_thousandth():
    points = [{**POINT, "share": share} for share in (0.333, 0.333, 0.333)]

    assert [one.share for one in parse_stack(changed("motor.duty", points)).motor.duty] == [0.333] * 3
    assert "0.998" in refused(changed("motor.duty", [{**POINT, "share": 0.998}]))["motor.duty"]


@pytest.mark.parametrize(
    ("content", "field"),
    [
        (b"\xef\xbb\xbf" + b"{}", "file"),
        ('{"stack_file": 1}'.encode("utf-16"), "file"),
        (b'{"a": "\xff"}', "file"),
        (b"", "file"),
        (b"{", "file"),
        (b"[]", "file"),
        (b"null", "file"),
        (b'"stack"', "file"),
        (b"[" * 200_000, "file"),
        (b'{"a":' * 500 + b"1" + b"}" * 500, "file"),
        (b" " * (MOST_BYTES + 1), "file"),
        (b'{"motor": {"rated_speed_rpm": NaN}}', "motor.rated_speed_rpm"),
        (b'{"motor": {"rated_speed_rpm": -Infinity}}', "motor.rated_speed_rpm"),
        (b'{"motor": {"rated_speed_rpm": 1e999}}', "motor.rated_speed_rpm"),
        (b'{"motor": {"rated_speed_rpm": ' + b"9" * 5_000 + b"}}", "motor.rated_speed_rpm"),
        (b'{"motor": {"rated_speed_rpm": 1780, "rated_speed_rpm": 1790}}', "motor.rated_speed_rpm"),
        (b'{"stack_file": 1, "stack_file": 1}', "stack_file"),
        (b'{"items": [{"kind": "lock_nut", "kind": "shim"}]}', "items[0].kind"),
    ],
)
def test_content_that_readers_often_let_pass_is_refused(content, field):
    assert field in refused(content)


def test_strings_full_of_brackets_are_not_deep():
    values = changed("items.0.note", "[" * (DEEPEST_NESTING + 50) + '\\"{')

    assert parse_stack(json.dumps(values)).items[0].note.startswith("[[")


def test_all_mistakes_are_reported_together():
    values = changed("items.1.wide_face", "dwn")
    values["items"][2]["bore_mm"] = -1
    values["items"][0]["kind"] = "gear"
    values["items"][0]["heigth_mm"] = 1
    values["motor"]["rated_speed_rpm"] = None
    values["oil"] = {}

    assert set(refused(values)) == {
        "items[0].heigth_mm",
        "items[0].kind",
        "items[1].wide_face",
        "items[2].bore_mm",
        "motor.rated_speed_rpm",
        "oil",
    }


def test_an_unknown_field_names_the_nearest_known_one():
    assert (
        '"outside_diameter_mm"'
        in refused(changed("items.1.outside_diamater_mm", 215))["items[1].outside_diamater_mm"]
    )


def test_a_refusal_says_what_is_accepted():
    message = refused(changed("items.1.wide_face", "dwn"))["items[1].wide_face"]

    assert '"up", "down"' in message


def test_thousands_of_unknown_fields_are_refused_quickly():
    values = changed("motor", {f"field_{number}": 1 for number in range(20_000)})

    assert len(refused(values)) > 20_000


def test_null_counts_as_absent():
    values = changed("items.1.bore_mm", None)
    values["lubrication"] = None
    values["guides"] = None
    values["policy"] = None

    stack = parse_stack(values)

    assert stack.items[1].bore_mm is None
    assert stack.lubrication.viscosity_index is None


def test_one_item_can_be_read_for_a_form():
    item, mistakes = parse_item({"kind": "spacer", "ring": "inner", "height_mm": 12})
    wrong, wrong_mistakes = parse_item({"kind": "spacer", "ring": "middle", "height_mm": -1})

    assert item.height_mm == 12.0
    assert mistakes == ()
    assert wrong is None
    assert [one.field for one in wrong_mistakes] == ["item.ring", "item.height_mm"]


def test_one_guide_can_be_read_for_a_form():
    guide, mistakes = parse_guide({"type": "deep_groove_ball", "carries": "up", "end_play_um": 0})

    assert guide.carries == "up"
    assert mistakes == ()


def test_a_field_tells_forms_its_unit_and_range():
    spec = field_spec("motor", "rated_speed_rpm")

    assert (spec.unit, spec.required) == ("rpm", True)
    assert field_spec("bearing", "wide_face").choices == ("up", "down")


def test_the_accepted_range_is_written_as_this_shop_writes_numbers():
    error = refused(changed("items.1.dynamic_rating_n", -1.0))
    message = error["items[1].dynamic_rating_n"] if isinstance(error, dict) else str(error)
    assert "Accepted: a number from 0.001 to 1,000,000,000\u00a0N." in message
