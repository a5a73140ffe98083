"""Under other limits of the shop, what is told of a stored answer is what the whole check tells."""

from __future__ import annotations

import json
from dataclasses import fields, replace
from functools import cache
from random import Random
from typing import Any

import pytest

from bearings.answer import assessment_answer
from bearings.engineering.assessment import check_stack
from bearings.engineering.quantities import Part, Policy, SetFactors, Stack
from bearings.engineering.subjects import SUBJECTS
from bearings.engineering.subjects.subject import FILLED_BY
from bearings.other_limits import changed_limits, under_other_limits
from bearings.stack_file import stack_values
from tests.bearings.factories import angular, guide, settled, stack
from tests.bearings.law.consistent_stacks import consistent_stack
from tests.bearings.law.removing import removable, without

# Far from the usual on both sides, so that each limit turns verdicts.
OTHER: dict[str, tuple[Any, ...]] = {
    "minimum_speed_margin": (0.0, 0.6, 2.0),
    "stop_l10h": (10.0, 1e9),
    "warn_l10h": (10.0, 1e9),
    "minimum_static_safety_ball": (0.2, 40.0),
    "minimum_static_safety_spherical_roller_thrust": (0.5, 200.0),
    "tandem_stand_out_um": (0.0, 20.0),
    "spacer_pair_um": (0.0, 50.0),
    "unloaded_warn_ndm": (1_000.0, 5_000_000.0),
    "assumed_shaft_warmer_k": (0.0, 30.0),
    "assumed_temperature_c": (40.0, 110.0),
    "warm_preload_share": (0.0001, 1.0),
    "gauge_force_n": (50.0, 5_000.0),
    "set_factors": (
        SetFactors(single=0.3, tandem_pair=0.3, opposed_pair=0.2, opposed_single_side=0.2, opposed_many=0.2),
        SetFactors(single=2.0, tandem_pair=2.0, opposed_pair=2.0, opposed_single_side=2.0, opposed_many=2.0),
    ),
}
STACKS = 25


@cache
def stacks() -> tuple[Stack, ...]:
    """Whole stacks, the same without some of their fields, and one with a pair of spacers."""
    found = []
    for seed in range(STACKS):
        random = Random(f"other limits {seed}")
        whole = consistent_stack(random)
        taken = random.sample(removable(whole), k=random.choice((0, 0, 1, 3)))
        found.append(without(whole, taken))
    apart = (
        Part(kind="spacer", ring="inner", height_mm=30.0),
        Part(kind="spacer", ring="outer", height_mm=30.02),
    )
    return (*found, settled(stack(angular("d"), *apart, angular("u"))))


def stored(one: Stack) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(json.dumps(assessment_answer(check_stack(one))))
    return answer


def test_every_limit_is_tried():
    assert set(OTHER) == {one.name for one in fields(Policy)}
    named = {name for subject in SUBJECTS for name in subject.limits or ()} | FILLED_BY
    assert named == set(OTHER) - {"gauge_force_n"}


@pytest.mark.parametrize("limit", sorted(OTHER.keys() - FILLED_BY))
def test_a_subject_that_does_not_name_a_limit_says_the_same_under_any(limit):
    """Verdict, findings and what is missing, to the last figure."""
    turned = set()
    for one in stacks():
        before = {row.subject: row for row in check_stack(one).subjects}
        for value in OTHER[limit]:
            now = check_stack(replace(one, policy=replace(one.policy, **{limit: value}))).subjects
            turned |= {row.subject for row in now if row != before[row.subject]}
    assert turned == {subject.name for subject in SUBJECTS if limit in (subject.limits or ())}


@pytest.mark.parametrize("limit", OTHER)
def test_what_is_told_under_another_limit_is_what_the_whole_check_tells(limit):
    partly = 0
    for one in stacks():
        answer, before = stored(one), json.loads(json.dumps(stack_values(one)))
        for value in OTHER[limit]:
            now = replace(one, policy=replace(one.policy, **{limit: value}))
            changed = changed_limits(before, stack_values(now))
            if not changed:
                continue
            assert changed == {limit}
            told = under_other_limits(check_stack(now), answer, changed)
            whole = check_stack(now)
            if told is not None:
                partly += 1
                assert told.verdict == whole.headline.verdict
                assert set(told.findings) == {
                    (str(row.severity), row.code, row.ref or "") for row in whole.findings
                }
    assert bool(partly) is (limit not in FILLED_BY)


def test_any_other_difference_asks_for_the_whole_check():
    one = settled(stack(angular("d"), angular("u")))
    values = stack_values(one)
    assert changed_limits(values, stack_values(one)) == frozenset()
    slower = replace(one, motor=replace(one.motor, rated_speed_rpm=1_000.0))
    assert changed_limits(values, stack_values(slower)) is None
    guided = replace(one, guides=(guide(),))
    assert changed_limits(values, stack_values(guided)) is None
    limits = replace(one.policy, stop_l10h=5.0, spacer_pair_um=1.0)
    assert changed_limits(values, stack_values(replace(one, policy=limits))) == {
        "stop_l10h",
        "spacer_pair_um",
    }


def test_what_is_open_beside_a_headline_that_stopped_is_judged_again():
    """Nobody wrote down whether it may stop the stack as well, and now it may be all that is open."""
    slow = angular("d", limiting_speed_rpm=100.0, pair_preload_n=None)
    one = settled(stack(slow, replace(slow, wide_face="up")))
    one = replace(one, motor=replace(one.motor, shaft_warmer_k=None))
    answer = stored(one)
    open_beside = {
        row["subject"] for row in answer["subjects"] if not row["decides"] and row["verdict"] == "not_proven"
    }
    assert answer["headline"]["verdict"] == "stop"
    assert open_beside
    factors = SetFactors(opposed_pair=100.0)
    now = replace(one, policy=replace(one.policy, set_factors=factors))
    told = under_other_limits(check_stack(now), answer, frozenset({"set_factors"}))
    whole = check_stack(now)
    assert whole.headline.verdict != "stop"
    assert told is not None
    assert told.verdict == whole.headline.verdict
