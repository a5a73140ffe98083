"""Guides by themselves: which one locates the shaft, its float, speed and life; and how long grease lasts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bearings.answer import assessment_answer
from bearings.engineering.assessment import Assessment, check_stack
from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import Bearing, Guide, Stack
from bearings.engineering.results import Finding
from bearings.text_answer import assessment_text
from bearings.wording.findings import finding_sentence
from tests.bearings.factories import angular, deep_groove, duty, faces, guide, oil, stack, thrust_roller


def finding(answer: Assessment, code: str) -> Finding | None:
    return next((one for one in answer.findings if one.code == code), None)


def verdict(answer: Assessment, subject: str) -> str:
    return next(one.verdict for one in answer.subjects if one.subject == subject)


def guided(*items, carries="both", play: float | None = 0.0, **own) -> Stack:
    """A stack with one 6318 guide; its radial load is known unless a test leaves it out."""
    one = Guide(bearing=deep_groove(), carries=carries, end_play_um=play)
    return stack(*items, guides=(replace(one, **{"radial_load_n": 800.0, **own}),))


LINE = {"synchronous_speed_rpm": 1_800.0, "fixed_speed": True, "non_reverse": True}


# Which guide locates


@pytest.mark.parametrize(
    ("pattern", "carries", "play", "down", "up", "role"),
    [
        # Nothing in a tandem carries up, so the guide does.
        ("dd", "both", 100.0, "after_play", "locates", "locating"),
        ("dd", "up", 0.0, "none", "locates", "locating"),
        ("dd", "down", 100.0, "after_play", "none", "floating"),
        # An opposed set holds both ways: a guide floats within its end play, and fights the set without any.
        ("du", "both", 300.0, "after_play", "after_play", "floating"),
        ("du", "both", 0.0, "shares", "shares", "not_proven"),
        ("du", "up", 0.0, "none", "shares", "not_proven"),
        ("du", "none", None, "none", "none", "floating"),
        # An end play that nobody measured proves nothing where the stack carries that way, and is not asked elsewhere.
        ("du", "both", None, "unknown", "unknown", "not_proven"),
        ("dd", "up", None, "none", "locates", "locating"),
    ],
)
def test_a_guide_locates_where_nothing_else_carries(pattern, carries, play, down, up, role):
    (row,) = check_stack(guided(*faces(pattern), carries=carries, play=play)).guides
    assert (row.down, row.up, row.role) == (down, up, role)


def test_a_face_that_nobody_saw_leaves_it_open_which_guide_locates():
    (row,) = check_stack(guided(replace(angular("d"), wide_face=None), angular("d"), carries="up")).guides
    assert (row.up, row.role) == ("unknown", "not_proven")


def test_a_cylindrical_roller_guide_floats_whatever_is_entered_of_it():
    built = guided(*faces("dd"), carries="both")
    (one,) = built.guides
    rolling = replace(one, bearing=replace(one.bearing, type="cylindrical_roller"))
    (row,) = check_stack(replace(built, guides=(rolling,))).guides
    assert (row.down, row.up, row.role) == ("none", "none", "floating")


def test_the_guide_that_holds_a_sprung_thrust_roller_locates_the_shaft_upwards():
    sprung = thrust_roller(spring_force_n=4_200.0, spring_rate_n_per_mm=2_600.0, spring_travel_mm=2.5)
    (row,) = check_stack(stack(sprung, guides=(guide("up", 0.0),))).guides
    assert (row.up, row.role) == ("locates", "locating")


def test_a_guide_without_end_play_beside_a_set_that_carries_the_same_way_is_noted_and_stops_nothing():
    tight, loose = (check_stack(guided(*faces("du"), play=play)) for play in (0.0, 300.0))
    noted = finding(tight, "guide-shares-thrust")
    assert noted is not None
    assert noted.severity == "note"
    assert "no end play and carries thrust down and up like the stack" in finding_sentence(noted)
    assert finding(loose, "guide-shares-thrust") is None
    assert verdict(tight, "guides") == verdict(loose, "guides")


# Float


def warm(warmer: float | None, distance: float | None, play: float | None = 100.0, **more) -> Assessment:
    built = guided(*faces("du"), play=play, distance_mm=distance)
    return check_stack(replace(built, motor=duty(shaft_warmer_k=warmer), **more))


def test_a_warm_shaft_moves_a_guide_by_expansion_times_distance():
    """11.5e-6/K x 1 000 mm x 10 K = 0.115 mm (expansion of bearing steel; geometry)."""
    answer = warm(10.0, 1_000.0)
    (row,) = answer.guides
    assert (row.growth_um, row.float_enough) == (pytest.approx(115.0), False)
    noted = finding(answer, "guide-float")
    assert noted is not None
    assert (noted.severity, noted.value, noted.limit) == ("note", pytest.approx(115.0), 100.0)
    assert "moves it 115\u00a0µm; its end play is 100\u00a0µm" in finding_sentence(noted)
    (enough,) = warm(10.0, 1_000.0, play=116.0).guides
    assert enough.float_enough is True


@pytest.mark.parametrize(("pattern", "carries"), [("dd", "up"), ("du", "none")])
def test_a_guide_that_locates_or_carries_nothing_is_moved_and_needs_no_end_play(pattern, carries):
    built = guided(*faces(pattern), carries=carries, distance_mm=1_000.0)
    answer = check_stack(replace(built, motor=duty(shaft_warmer_k=10.0)))
    assert (answer.guides[0].growth_um, answer.guides[0].float_enough) == (pytest.approx(115.0), None)
    assert finding(answer, "guide-float") is None


@pytest.mark.parametrize(("warmer", "distance"), [(None, 1_000.0), (10.0, None), (None, None)])
def test_float_is_not_checked_without_distance_or_warmth(warmer, distance):
    answer = warm(warmer, distance)
    (row,) = answer.guides
    assert (row.growth_um, row.float_enough) == (None, None)
    assert finding(answer, "guide-float") is None


def test_the_warmth_that_the_shop_assumes_counts_as_entered():
    policy = replace(stack().policy, assumed_shaft_warmer_k=10.0)
    (row,) = warm(None, 1_000.0, policy=policy).guides
    assert row.growth_um == pytest.approx(115.0)


# Life and speed


def test_a_guide_has_its_life_under_radial_load_and_thrust_in_the_running_case():
    """P = 800 N: (143 000 / 800)^3 x 10^6 / (60 x 1 780) h (ISO 281 basic rating life)."""
    (row,) = check_stack(guided(*faces("du"), play=300.0)).guides
    assert (row.axial_n, row.radial_n, row.equivalent_load_n) == (0.0, 800.0, 800.0)
    assert row.l10h == pytest.approx((143_000 / 800) ** 3 * 1e6 / (60 * 1_780))


def test_a_radial_load_that_nobody_entered_gives_no_life():
    (row,) = check_stack(guided(*faces("du"), radial_load_n=None)).guides
    assert (row.equivalent_load_n, row.l10h) == (None, None)


def test_a_greased_guide_beside_oiled_thrust_bearings_is_judged_by_its_speed_for_grease():
    oiled, greased = (
        replace(guided(*faces("du"), play=300.0, lubricant=own), motor=duty(**LINE))
        for own in (None, "grease")
    )
    assert verdict(check_stack(oiled), "speed") != "not_proven"
    open_one = check_stack(greased)
    assert verdict(open_one, "speed") == "not_proven"
    speed = next(one for one in open_one.subjects if one.subject == "speed")
    assert [(gap.field, gap.ref) for gap in speed.missing] == [("grease_speed_rpm", "g1")]
    (one,) = greased.guides
    slow = replace(one, bearing=replace(one.bearing, grease_speed_rpm=1_500.0))
    answer = check_stack(replace(greased, guides=(slow,)))
    assert verdict(answer, "speed") == "stop"
    assert (answer.guides[0].basis, answer.guides[0].permissible_rpm) == ("grease", 1_500.0)


def test_a_greased_guide_that_carries_the_up_thrust_stands_among_the_speeds_with_that_for_grease():
    built = guided(*faces("dd"), carries="up", lubricant="grease")
    (one,) = built.guides
    slow = replace(one, bearing=replace(one.bearing, grease_speed_rpm=4_000.0))
    rows = check_stack(replace(built, guides=(slow,), motor=duty(up_thrust_n=9_000.0))).speed.bearings
    assert {row.ref: (row.rating_rpm, row.basis) for row in rows}["g1"] == (4_000.0, "grease")


def test_an_oiled_guide_beside_greased_thrust_bearings_needs_no_speed_for_grease():
    built = guided(*faces("du", grease_speed_rpm=2_600.0), play=300.0, lubricant="oil")
    answer = check_stack(replace(built, motor=duty(**LINE), lubrication=oil(method="grease")))
    assert answer.guides[0].basis == "limiting"
    assert verdict(answer, "speed") != "not_proven"


# Grease


def greased(temperature_c: float | None = 70.0, mounting="vertical", **own) -> Assessment:
    built = guided(*faces("du"), lubricant="grease", guide_temperature_c=temperature_c, **own)
    return check_stack(replace(built, motor=replace(built.motor, mounting=mounting)))


def test_grease_life_follows_speed_and_bore_and_is_halved_by_heat_and_on_a_vertical_shaft():
    """10 (14e6 / (1 780 sqrt(90)) - 4 x 90) = 4 690.6 h at 70 degC, worked by hand; the rule is from memory."""
    (row,) = greased(mounting="horizontal").grease
    assert (row.ref, row.ndm) == ("g1", 1_780 * 140)
    assert row.hours_at_70c == pytest.approx(4_690.6, abs=0.1)
    assert row.grease_life_h == row.hours_at_70c
    for temperature, share in ((70.0, 0.5), (55.0, 0.5), (85.0, 0.25), (100.0, 0.125)):
        (upright,) = greased(temperature).grease
        assert upright.grease_life_h == pytest.approx(row.hours_at_70c * share)


@pytest.mark.parametrize("temperature_c", [None, 121.0])
def test_grease_life_is_not_checked_where_the_guides_own_temperature_is_unknown_or_beyond_the_rule(
    temperature_c,
):
    answer = greased(temperature_c)
    (row,) = answer.grease
    assert row.grease_life_h is None
    assert finding(answer, "grease-life") is None


def test_a_drive_that_runs_faster_shortens_the_grease_life():
    built = guided(*faces("du"), lubricant="grease", guide_temperature_c=70.0)
    (row,) = check_stack(replace(built, motor=duty(maximum_speed_rpm=2_400.0))).grease
    assert row.speed_rpm == 2_400.0


def test_nothing_is_claimed_beyond_forty_thousand_hours():
    built = guided(*faces("du"), lubricant="grease", guide_temperature_c=40.0)
    (row,) = check_stack(replace(built, motor=duty(rated_speed_rpm=100.0))).grease
    assert row.grease_life_h == 40_000.0


def test_greased_stack_and_guide_share_a_temperature_and_are_noted_once_at_the_shortest():
    one = Guide(bearing=deep_groove(), carries="none", radial_load_n=0.0)
    answer = check_stack(
        stack(angular("d"), guides=(one,), lubrication=oil(method="grease", temperature_c=85.0))
    )
    assert {row.ref: row.temperature_c for row in answer.grease} == {"1": 85.0, "g1": 85.0}
    noted = finding(answer, "grease-life")
    assert noted is not None
    assert (noted.severity, noted.refs) == ("note", ("1", "g1"))
    assert noted.value == min(row.grease_life_h or 0.0 for row in answer.grease)
    assert "from memory" in noted.source


def test_oiled_bearings_have_no_grease_life():
    assert check_stack(guided(*faces("du"))).grease == ()


def test_answer_working_and_text_tell_of_guides_and_grease():
    answer = greased(85.0, play=300.0)
    values = assessment_answer(answer)
    assert values["guides"] == [row._asdict() for row in answer.guides]
    assert values["grease"] == [row._asdict() for row in answer.grease]
    lines = {(line.topic, line.symbol): line for line in answer.working}
    assert lines["grease", "grease life"].value == answer.grease[0].grease_life_h
    assert "from memory" in lines["grease", "grease life"].source
    assert lines["guides", "L10h"].value == answer.guides[0].l10h
    text = assessment_text(answer)
    assert "guide g1 floats" in text
    assert "(guide g1)" in text


def _guided(**values):
    """A cylindrical roller stack whose guide holds the shaft down, so that the guide's own life counts."""
    bearing = deep_groove(**values.pop("bearing", {}))
    locating = Guide(bearing=bearing, carries="both", end_play_um=0.0, radial_load_n=500.0, **values)
    rollers = Bearing(type="cylindrical_roller", bore_mm=100.0, outside_diameter_mm=180.0, height_mm=34.0)
    light = duty(down_thrust_n=2_000.0, rotor_weight_n=500.0, up_thrust_n=0.0, maximum_down_thrust_n=2_000.0)
    oil_known = oil(viscosity_index=95.0)
    return stack(rollers, guides=(locating,), lubrication=oil_known, motor=light)


def test_a_guide_s_cage_is_judged_by_the_guide_s_own_temperature():
    hot = {"cage_material": "polyamide"}
    found = check_stack(_guided(bearing=hot, guide_temperature_c=130.0)).findings
    assert [(one.ref, one.severity) for one in found if one.code == "cage-temperature"] == [("g1", "warn")]
    for cool in (None, 110.0):
        found = check_stack(_guided(bearing=hot, guide_temperature_c=cool)).findings
        assert [one for one in found if one.code == "cage-temperature"] == []


def test_a_cage_that_nobody_knows_is_asked_of_a_guide_hotter_than_any_cage_bears():
    checked = check_stack(_guided(guide_temperature_c=130.0))
    (lubrication,) = [one for one in checked.subjects if one.subject == "lubrication"]
    assert (lubrication.verdict, lubrication.missing) == ("not_proven", (Missing("cage_material", "g1"),))


def test_the_modified_life_of_a_greased_guide_does_not_rest_on_the_stack_s_oil():
    same, other = (check_stack(_guided(lubricant=lubricant)) for lubricant in (None, "grease"))
    assert same.life.bearings[0].ref == other.life.bearings[0].ref == "g1"
    assert same.life.bearings[0].l10mh is not None
    assert same.life.bearings[0].l10h == other.life.bearings[0].l10h
    assert (other.life.bearings[0].kappa, other.life.bearings[0].l10mh) == (None, None)
    assert next(case for case in other.judged_cases if case.name == "running").stack_l10mh is None
    assert next(one.verdict for one in other.subjects if one.subject == "life") == "not_proven"


def test_a_guide_with_a_temperature_of_its_own_has_its_own_film():
    cool, warm = (check_stack(_guided(guide_temperature_c=own)) for own in (None, 90.0))
    # 70 degC of the stack's oil against 90 degC: thinner, so a smaller ratio.
    assert warm.life.bearings[0].kappa < cool.life.bearings[0].kappa
    running = [next(case for case in one.judged_cases if case.name == "running") for one in (cool, warm)]
    assert running[1].kappa == pytest.approx(warm.life.bearings[0].kappa)
    assert running[1].kappa < running[0].kappa
