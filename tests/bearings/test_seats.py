"""Verdicts on measured seats: out of zone before form, form before good, unknown never good."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bearings.engineering.fits import zone_limits
from bearings.engineering.seat_zones import ZoneChoice, proposed_zone, zone_to_use
from bearings.engineering.seats import Warmth, judge_seat

D = Decimal
# ISO 286-2, shaft 100 k5: +3 to +18 µm
LOW, HIGH = D("100.003"), D("100.018")
SAME = Warmth(gauge="same")


def seat(*planes: tuple[str | None, ...], warmth: Warmth = SAME, low: Decimal | None = LOW):
    read = [[None if reading is None else D(reading) for reading in plane] for plane in planes]
    return judge_seat(read, low, None if low is None else HIGH, warmth=warmth)


GOOD = (("100.009", "100.011"), ("100.010", "100.012"), ("100.011", "100.013"))


def test_a_seat_inside_its_zone_passes():
    # 100 k5 with readings of +9 to +13 µm
    found = seat(*GOOD)
    assert (found.verdict, found.reasons) == ("pass", ("in_zone",))
    assert (found.smallest_mm, found.largest_mm, found.mean_mm) == (D("100.009"), D("100.013"), D("100.011"))
    assert (found.out_of_round_mm, found.taper_mm) == (D("0.002"), D("0.002"))
    assert found.allowed_form_mm == D("0.0075")


def test_a_reading_equal_to_a_limit_is_in_and_a_nanometre_beyond_is_out():
    assert seat(*[("100.003", "100.003")] * 3).verdict == "pass"
    assert seat(*[("100.018", "100.018")] * 3).verdict == "pass"
    out = seat(("100.002999", "100.003"), ("100.003", "100.003"), ("100.003", "100.003"))
    assert (out.verdict, out.reasons) == ("fail", ("below",))
    assert out.planes[0].verdicts == ("below", "in")


def test_a_seat_with_one_reading_of_plus_one_micrometre_is_below_k5():
    found = seat(("100.001", "100.009"), ("100.010", "100.010"), ("100.010", "100.010"))
    assert found.reasons[0] == "below"


def test_a_housing_of_180_031_is_above_h6():
    # ISO 286-2, hole 180 H6: 0 to +25 µm
    low, high = zone_limits("H6", D(180)).sizes_mm(D(180))
    found = judge_seat([[D("180.031"), D("180.010")]] * 3, low, high, warmth=SAME)
    assert (found.verdict, found.reasons[0]) == ("fail", "above")


def test_a_reading_out_of_the_zone_is_named_before_form():
    found = seat(("100.001", "100.018"), ("100.010", "100.010"), ("100.010", "100.010"))
    assert found.reasons == ("below", "out_of_round")


def test_form_beyond_half_the_zone_fails_within_it_and_exactly_half_passes():
    assert seat(("100.003", "100.018"), ("100.010", "100.010"), ("100.010", "100.010")).reasons == (
        "out_of_round",
    )
    assert seat(("100.004", "100.004"), ("100.010", "100.010"), ("100.018", "100.018")).reasons == ("taper",)
    half = seat(("100.010", "100.0175"), ("100.0135", "100.014"), ("100.013", "100.014"))
    assert (half.out_of_round_mm, half.verdict) == (half.allowed_form_mm, "pass")


def test_a_taper_between_means_that_no_decimal_can_write_is_compared_exactly():
    # means of three readings: 100.010 + 1/3 µm against 100.002 + 5/6 µm: 7.5 µm exactly, which half the zone allows
    upper = ("100.010", "100.010", "100.011")
    lower = ("100.0025", "100.0025", "100.0035")
    found = judge_seat(
        [[D(x) for x in plane] for plane in (upper, upper, lower)], D("100.000"), D("100.015"), warmth=SAME
    )
    assert (found.verdict, found.taper_mm) == ("pass", D("0.0075"))


@pytest.mark.parametrize(
    ("planes", "reasons", "short"),
    [
        ((), ("no_readings",), ()),
        (((None, None), (None, None), (None, None)), ("no_readings",), (1, 2, 3)),
        ((("100.010", "100.010"),), ("planes",), ()),
        ((("100.010", "100.010"), ("100.010", "100.010"), (None, None)), ("planes",), (3,)),
        ((("100.010", None), ("100.010", "100.010"), ("100.010", "100.010")), ("angles",), (1,)),
        ((("100.010", None), (None, None), ("100.010", "100.010")), ("planes", "angles"), (1, 2)),
    ],
)
def test_what_is_missing_is_named_and_nothing_passes_without_it(planes, reasons, short):
    found = seat(*planes)
    assert (found.verdict, found.reasons, found.short_planes) == ("not_checked", reasons, short)


def test_a_certain_fault_fails_although_readings_are_missing():
    assert seat(("100.001", None)).verdict == "fail"


def test_four_angles_are_judged_like_two():
    four = [("100.009", "100.011", "100.010", "100.012")] * 3
    assert seat(*four).verdict == "pass"


def test_without_a_zone_nothing_is_checked():
    found = seat(*GOOD, low=None)
    assert (found.verdict, found.reasons, found.planes[0].verdicts[0]) == (
        "not_checked",
        ("zone",),
        "not_checked",
    )


def test_a_warm_part_is_corrected_only_where_its_gauge_stood_at_twenty_degrees():
    # 100 mm of steel at 30 °C reads 11.5 µm large: 11.5e-6 per kelvin, common practice, no source
    warm = [("100.0215", "100.0215")] * 3
    as_warm = seat(*warm, warmth=Warmth(gauge="at_20", part_c=D(30), material="steel"))
    assert (as_warm.verdict, as_warm.mean_mm) == ("pass", D("100.009999"))
    assert seat(*warm, warmth=Warmth(gauge="same", part_c=D(30))).reasons[0] == "above"
    iron = seat(*warm, warmth=Warmth(gauge="at_20", part_c=D(30), material="iron"))
    assert iron.mean_mm == D("100.010999")


def test_a_reading_on_the_limit_of_a_warm_part_is_in():
    # 100.003 x (1 + 11.5e-6 x 10) is read on a part whose size at 20 °C is the limit itself
    on_limit = LOW * (1 + D("0.0000115") * 10)
    planes = [[on_limit, on_limit]] * 3
    assert judge_seat(planes, LOW, HIGH, warmth=Warmth(gauge="at_20", part_c=D(30))).verdict == "pass"
    less = on_limit - D("0.000001")
    assert judge_seat([[less, less]] * 3, LOW, HIGH, warmth=Warmth(gauge="at_20", part_c=D(30))).reasons == (
        "below",
    )


@pytest.mark.parametrize(
    "warmth", [Warmth(), Warmth(gauge="at_20"), Warmth(gauge="at_20", part_c=D(30), material="bronze")]
)
def test_a_temperature_that_nobody_knows_lets_nothing_pass(warmth):
    found = seat(*GOOD, warmth=warmth)
    assert (found.verdict, found.reasons) == ("not_checked", ("temperature",))


@given(
    st.lists(
        st.lists(st.integers(-40, 60), min_size=2, max_size=4),
        min_size=3,
        max_size=5,
    )
)
def test_a_pass_means_that_every_reading_is_in_and_form_within_half(micrometres):
    planes = [[D(100) + D(value) / 1000 for value in plane] for plane in micrometres]
    found = judge_seat(planes, LOW, HIGH, warmth=SAME)
    every = [value for plane in micrometres for value in plane]
    inside = min(every) >= 3 and max(every) <= 18
    round_enough = all(max(plane) - min(plane) <= 7.5 for plane in micrometres)
    means = [D(sum(plane)) / len(plane) for plane in micrometres]
    straight = max(means) - min(means) <= D("7.5")
    assert (found.verdict == "pass") == (inside and round_enough and straight)
    assert found.verdict in {"pass", "fail"}


@pytest.mark.parametrize(
    ("kind", "surface", "size", "zone"),
    [
        ("angular_contact_ball", "bore", 100, "k5"),
        ("deep_groove_ball", "bore", 17, "j5"),
        ("cylindrical_roller", "bore", 140, "m6"),
        ("spherical_roller_thrust", "bore", 150, "k6"),
        ("spherical_roller_thrust", "od", 300, None),
        ("angular_contact_ball", "od", 215, "H6"),
        ("", "bore", 100, None),
    ],
)
def test_the_rule_proposes_the_zones_of_the_standard_table(kind, surface, size, zone):
    # rotating shaft, normal load; ANSI/ABMA 7 shaft table (from memory, unverified)
    assert proposed_zone(kind, surface, size) == zone


def test_the_drawing_comes_before_the_order_and_both_before_the_rule():
    asked = {"bearing_type": "angular_contact_ball", "surface": "bore", "size_mm": 100}
    assert zone_to_use(drawing="m5", order="j5", **asked) == ZoneChoice("m5", "drawing")
    assert zone_to_use(order="j5", **asked) == ZoneChoice("j5", "order")
    assert zone_to_use(**asked) == ZoneChoice("k5", "rule")
    assert zone_to_use(bearing_type="", surface="bore", size_mm=100) == ZoneChoice("", "none")


def test_each_plane_says_its_own_mean_and_roundness_and_two_planes_have_a_taper():
    found = seat(("100.008", "100.012"), ("100.006", "100.007"))
    assert [plane.out_of_round_mm for plane in found.planes] == [D("0.004"), D("0.001")]
    assert [plane.mean_mm for plane in found.planes] == [D("100.010"), D("100.0065")]
    assert (found.taper_mm, found.out_of_round_mm) == (D("0.0035"), D("0.004"))
    one = seat(("100.008", "100.012"))
    assert (one.taper_mm, one.out_of_round_mm) == (None, D("0.004"))
