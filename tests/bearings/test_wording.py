import re

import pytest
from hypothesis import given, settings

from bearings.engineering.assessment import check_stack
from bearings.engineering.subjects import FINDING_CODES
from bearings.stack_file import ROOMS, parse_stack
from bearings.wording import Figures, arrangement_sentence, finding_sentence, not_checked_sentence
from bearings.wording.findings import SENTENCES
from bearings.wording.labels import FIELDS
from tests.bearings.factories import angular, deep_groove, duty, faces, oil, settled, stack
from tests.bearings.strategies import stack_values_of


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_every_finding_has_a_sentence_and_every_field_a_name():
    assert set(SENTENCES) == set(FINDING_CODES)
    assert {name for room in ROOMS.values() for name in room} - set(ROOMS["policy"]) - set(
        ROOMS["set_factors"]
    ) <= set(FIELDS)


def test_a_speed_margin_gives_its_figures_and_what_to_do():
    built = settled(stack(*faces("ddu"), motor=duty(synchronous_speed_rpm=1_800.0)))
    (sentence,) = [
        finding_sentence(one)
        for one in check_stack(built).findings
        if one.code == "speed-margin" and one.severity == "warn"
    ]

    assert "Bearings 1, 2 and 3 are good for 1,890 rpm in this set; the motor turns 1,800 rpm" in plain(
        sentence
    )
    assert "Margin is 5%, shop minimum 10%." in plain(sentence)
    assert sentence.rstrip().endswith(".")


def test_units_of_the_reader_change_the_sentence():
    (finding,) = [
        one
        for one in check_stack(settled(stack(*faces("u"), motor=duty(rotor_weight_n=0.0)))).findings
        if one.code == "down-thrust-not-carried"
    ]

    assert "30,000 N" in plain(finding_sentence(finding))
    assert "6,740 lbf" in plain(finding_sentence(finding, "us"))


@pytest.mark.parametrize(
    ("shop", "words"),
    [
        ("us", ["32,200 N", "62,500 h", "1,785 rpm", "6%", "−0.1%"]),
        ("si", ["32\u202f200 N", "62\u202f500 h", "1\u202f785 rpm", "6 %", "−0.1 %"]),
    ],
)
def test_figures_are_written_for_the_eye_as_the_shop_writes_them(settings, shop, words):
    settings.SHOP_UNITS = shop
    figures = Figures("si")
    found = [
        figures.force(32_156.0), figures.hours(62_516.0), figures.speed(1_785.0), figures.percent(0.0613, against=0.1),
        figures.percent(-0.001),
    ]  # fmt: skip
    assert [one.replace("\u00a0", " ") for one in found] == words


def test_units_are_the_readers():
    si, us = Figures("si"), Figures("us")
    assert plain(si.force(123_456.0)) == "123.5 kN"
    assert plain(us.small_length(25.4)) == "0.0010 in"
    assert plain(us.temperature(100.0)) == "212 °F"


@pytest.mark.parametrize(
    ("value", "limit", "words"),
    [(0.096, 0.1, "9.6%"), (0.104, 0.1, "10.4%"), (0.0613, 0.1, "6%"), (0.1, 0.1, "10%"), (0.004, 0.0, "0.4%"),
     (-0.052, 0.1, "−5%")],
)  # fmt: skip
def test_a_share_is_never_rounded_onto_or_across_its_limit(value, limit, words):
    assert Figures().percent(value, against=limit) == words


@pytest.mark.parametrize(
    ("value", "limit", "words"),
    [
        (39_980.0, 40_000.0, "39,980 h"),
        (40_020.0, 40_000.0, "40,020 h"),
        (40_000.0, 40_000.0, "40,000 h"),
        (14_582.0, 40_000.0, "14,600 h"),
        (2e6, 40_000.0, "over 100,000 h"),
        (2e6, None, "over 100,000 h"),
        (120_400.0, 131_400.0, "120,000 h"),
        (140_000.0, 131_400.0, "over 131,400 h"),
    ],
)
def test_a_life_is_never_rounded_onto_or_across_its_limit(value, limit, words):
    assert plain(Figures().hours(value, limit)) == words


def test_a_working_shows_the_whole_figure():
    exact = Figures(exact=True)
    assert plain(exact.hours(2_000_016.0)) == "2,000,016 h"
    assert plain(exact.force(32_156.0)) == "32,156 N"


@pytest.mark.parametrize(
    ("items", "expected"),
    [
        (
            faces("ddu"),
            "Bearings 1 and 2 carry downthrust. Bearing 3 carries upthrust. In tandem: 1 and 2. Back to back: 2 and 3.",
        ),
        (
            faces("ddd"),
            "Bearings 1, 2 and 3 carry downthrust. In tandem: 1 and 2; 2 and 3.",
        ),
        (faces("ud"), "Bearing 2 carries downthrust. Bearing 1 carries upthrust. Face to face: 1 and 2."),
        ((deep_groove(),), "Bearing 1 carries thrust both ways."),
    ],
)
def test_an_arrangement_is_told_in_whole_sentences(items, expected):
    assert arrangement_sentence(check_stack(stack(*items)).arrangement) == expected


@settings(max_examples=80, deadline=None)
@given(stack_values_of())
def test_every_sentence_of_any_stack_is_whole(values):
    assessment = check_stack(parse_stack(values))
    sentences = [finding_sentence(one, units) for one in assessment.findings for units in ("si", "us")]
    sentences += [not_checked_sentence(one) for one in assessment.not_checked]

    for sentence in sentences:
        assert sentence
        assert not re.search(r"%\(|None|\bnan\b|\binf\b", sentence), sentence


@pytest.mark.parametrize(
    ("cage", "advice"), [("polyamide", "use a brass cage"), ("brass", "use rings stabilized")]
)
def test_who_has_a_brass_cage_is_not_told_to_use_one(cage, advice):
    hot = stack(angular(cage_material=cage, stabilised_to_c=120.0), lubrication=oil(temperature_c=125.0))
    (finding,) = [one for one in check_stack(hot).findings if one.code == "cage-temperature"]
    assert advice in finding_sentence(finding, "si")


@pytest.mark.parametrize(
    ("value", "unit", "us", "si"),
    [
        (150.0, "mm2/s", "150\u00a0cSt", "150\u00a0mm²/s"),
        (9_380.0, "N mm", "83.0\u00a0lb-in", "9,380\u00a0N·mm"),
        (2_600.0, "N/mm", "14,800\u00a0lbf/in", "2,600\u00a0N/mm"),
        (8.0, "K", "14.4\u00a0°F", "8.00\u00a0K"),
        (250_000.0, "mm/min", "250,000", "250,000\u00a0mm/min"),
        (41.25, "deg", "41.2°", "41.2°"),
    ],
)
def test_a_us_reader_finds_no_unit_of_si_in_a_working(value, unit, us, si):
    # 1 lbf = 4.4482216 N and 1 in = 25.4 mm: 9 380 / 112.98 = 83.0; 2 600 x 25.4 / 4.448 = 14 846.
    assert (Figures("us").of(value, unit), Figures("si").of(value, unit)) == (us, si)


def test_what_was_entered_keeps_its_digits():
    assert Figures("us").given(99.95, "%") == "99.95%"
    assert Figures("si").given(2_612.5, "N/mm") == "2,612.5\u00a0N/mm"
