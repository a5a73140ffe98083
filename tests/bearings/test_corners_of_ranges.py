"""What only shows where two unknown figures meet, and what a shop types every day."""

from __future__ import annotations

import copy
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bearings.engineering.assessment import Assessment, check_stack
from bearings.engineering.comparison import compare
from bearings.engineering.quantities import Bearing
from bearings.stack_file import parse_stack
from tests.bearings.factories import angular, deep_groove, duty, guide, settled, stack, thrust_roller

ROOT = Path(__file__).parents[2]
LIFTED: dict[str, Any] = {
    "stack_file": 2,
    "motor": {
        "rated_speed_rpm": 1185, "synchronous_speed_rpm": 1200, "down_thrust_n": 130_000, "up_thrust_n": 29_000,
        "rotor_weight_n": 12_000, "maximum_down_thrust_n": 140_000, "up_thrust_duty": "momentary",
        "maximum_thrust_duty": "momentary", "fixed_speed": True, "non_reverse": True, "radial_load_n": 0,
    },
    "lubrication": {"method": "oil_bath", "iso_vg": 150, "temperature_c": 65},
    "items": [
        {"kind": "bearing", "type": "spherical_roller_thrust", "wide_face": "down", "designation": "T 44",
         "maker": "Maker A (invented)", "variant": "none", "bore_mm": 220, "outside_diameter_mm": 360,
         "height_mm": 85, "dynamic_rating_n": 2_600_000, "static_rating_n": 5_000_000, "limiting_speed_rpm": 2000},
    ],
    "guides": [
        {"type": "deep_groove_ball", "designation": "G 24", "bore_mm": 120, "outside_diameter_mm": 260,
         "height_mm": 55, "dynamic_rating_n": 208_000, "static_rating_n": 186_000, "limiting_speed_rpm": 3200,
         "carries": "up", "end_play_um": 300, "radial_load_n": 1500},
    ],
}  # fmt: skip


def lifted(*without: str) -> Assessment:
    """A rotor that the up thrust lifts off its washers, with some figures taken away."""
    values = copy.deepcopy(LIFTED)
    for name in without:
        (values["motor"] if name in values["motor"] else values["guides"][0]).pop(name)
    return check_stack(parse_stack(values))


def verdict(assessment: Assessment, subject: str) -> str:
    return next(one.verdict for one in assessment.subjects if one.subject == subject)


def missing(assessment: Assessment, subject: str) -> set[str]:
    return {gap.field for one in assessment.subjects if one.subject == subject for gap in one.missing}


def test_what_stops_only_where_two_unknown_figures_meet_is_not_proven_without_them():
    assert verdict(lifted(), "directions") == "stop"
    for without in (["rotor_weight_n"], ["end_play_um"], ["rotor_weight_n", "end_play_um"]):
        assert verdict(lifted(*without), "directions") == "not_proven", without


def test_figures_that_decide_only_together_are_both_asked_for():
    assert missing(lifted("rotor_weight_n", "end_play_um"), "directions") == {
        "motor.rotor_weight_n", "end_play_um",
    }  # fmt: skip


def matched(**second: Any) -> Assessment:
    one = {"designation": "7320 X", "maker": "Maker A (invented)", "variant": "none", "pairing": "matched"}
    pair = (angular("d", **one, set_id="S-14"), angular("d", **{**one, **second}))
    return check_stack(settled(stack(*pair)))


def test_one_matched_bearing_asks_for_the_set_of_all_that_share_its_thrust():
    assert verdict(matched(pairing="universal", set_id="S-14"), "set") == "ok"
    assert verdict(matched(pairing="universal", set_id="S-15"), "set") == "warn"
    assert missing(matched(pairing="universal"), "set") == {"set_id"}


@pytest.mark.parametrize(
    ("field", "spelled"),
    [
        ("designation", "7320x"),
        ("designation", "7320  X"),
        ("maker", "MAKER A (INVENTED)"),
        ("variant", "NONE"),
    ],
)
def test_how_a_shop_spells_an_identity_is_no_difference(field, spelled):
    assert verdict(matched(set_id="S-14", **{field: spelled}), "set") == "ok"


@pytest.mark.parametrize("field", ["designation", "maker", "variant", "set_id"])
@pytest.mark.parametrize("blank", ["", "  "])
def test_a_blank_entry_is_as_unknown_as_an_absent_one(field, blank):
    item = {**LIFTED["items"][0], field: blank}
    (read,) = parse_stack({**LIFTED, "items": [item]}).items
    assert getattr(read, field) is None


def test_a_stop_that_hides_behind_a_missing_figure_leaves_the_headline_unproven():
    roller = thrust_roller("d", designation="T 44", reference_speed_rpm=900.0)
    built = settled(stack(roller, guides=(guide(deep_groove()),), motor=duty()))
    built = replace(built, lubrication=replace(built.lubrication, heat_removed_w=1.0))
    assert "heat" in check_stack(built).headline.because
    assert check_stack(built).headline.verdict == "stop"
    nameless = tuple(
        replace(one, designation=None) if isinstance(one, Bearing) else one for one in built.items
    )
    found = check_stack(replace(built, items=nameless))
    assert (verdict(found, "heat"), found.headline.verdict) == ("not_proven", "not_proven")


def test_a_guides_radial_load_counts_where_it_carries_thrust():
    values = copy.deepcopy(LIFTED)
    values["guides"][0] |= {"carries": "both", "end_play_um": 0, "radial_load_n": 150_000}
    (row,) = (one for one in check_stack(parse_stack(values)).static if one.ref == "g1")
    # Fr alone: 0.6 x 150 000 + 0.5 x 17 000 is less than Fr (deep groove, ISO 76).
    assert row.equivalent_static_load_n == pytest.approx(150_000)


def test_a_face_that_only_the_second_stack_shows_was_not_specified():
    unknown = stack(replace(angular("d"), wide_face=None))
    assert not compare(unknown, stack(angular("d"))).same
    assert compare(stack(angular("d")), unknown).only_not_shown


@pytest.mark.parametrize("command", [["check_stack", "normal"], ["compare_stacks", "normal", "complete"]])
def test_an_answer_that_cannot_be_written_is_no_verdict(command):
    name, *files = command
    paths = [str(ROOT / "bearings" / "examples" / f"{file}.json") for file in files]
    with open("/dev/full", "w") as full:
        ended = subprocess.run(
            [sys.executable, str(ROOT / "manage.py"), name, *paths], stdout=full, stderr=subprocess.PIPE,
            env={**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings"}, cwd=ROOT, check=False,
        )  # fmt: skip
    assert ended.returncode == 70
    assert b"not a verdict" in ended.stderr


def test_bearings_that_idle_in_another_case_are_not_named_with_those_of_the_worst():
    built = settled(
        stack(
            *(angular(face, pair_preload_n=0.0) for face in "ddu"),
            motor=duty(up_thrust_n=40_000.0, up_thrust_duty="continuous"),
        )
    )
    (found,) = (one for one in check_stack(built).findings if one.code == "unloaded-in-running")
    case = next(one for one in check_stack(built).judged_cases if one.name == found.params["case"])
    idle = {row.ref for row in case.bearings if row.unloaded}
    assert set(found.refs) <= idle
