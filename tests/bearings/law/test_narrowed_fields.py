"""Fields that a subject leaves out for one stack: wherever they stand, it says of that stack what it says anyway."""

from __future__ import annotations

from random import Random

import pytest

from bearings.engineering.judgement import Judgement
from bearings.engineering.subjects import SUBJECTS
from bearings.engineering.subjects.subject import WARM_FIELDS
from tests.bearings.law.consistent_stacks import consistent_stack
from tests.bearings.law.removing import removable, without

CHUNKS, STACKS_IN_CHUNK, POINTS = 6, 25, 6


def judgements(seed: str):
    """Stacks without a few fields up to most of them, so that loads are known of some and of others not."""
    for number in range(STACKS_IN_CHUNK):
        random = Random(f"{seed} {number}")
        stack = consistent_stack(random)
        fields = removable(stack)
        taken = random.sample(fields, min(len(fields), random.choice((4, 8, 16, 30))))
        yield random, Judgement(without(stack, taken))


def moved(random: Random, judgement: Judgement, numbers: list[int]):
    """Return a point of the ranges, and the same with the numbered fields at other places."""
    point = [random.randrange(one.places) for one in judgement.unknown]
    other = list(point)
    for number in numbers:
        other[number] = random.randrange(judgement.unknown[number].places)
    return tuple(point), tuple(other)


def said(look):
    """Return all of a look that a verdict, a list of what is missing or a list of findings is made of."""
    return look.verdict, look.missing, look.hides_stop, {(one.code, one.severity) for one in look.findings}


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_a_field_that_is_left_out_for_a_stack_changes_nothing_of_what_is_said(chunk):
    seen = set()
    for random, judgement in judgements(f"narrowed {chunk}"):
        for subject in SUBJECTS:
            if not subject.applies(judgement.middle):
                continue
            read = judgement.read_by(subject)
            left_out = [n for n, one in enumerate(judgement.unknown) if subject.reads(one.field)]
            left_out = [n for n in left_out if n not in read]
            for _ in range(POINTS if left_out else 0):
                seen.add(subject.name)
                point, other = moved(random, judgement, left_out)
                assert said(judgement.look(subject, point)) == said(judgement.look(subject, other))
    assert seen >= {"capacity", "life", "skidding", "set", "directions", "heat"}


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_what_warms_a_shaft_changes_nothing_that_is_judged_cold(chunk):
    """The set reads cold loads alone: neither heat nor fits change what it says."""
    subject = next(one for one in SUBJECTS if one.name == "set")
    tried = 0
    for random, judgement in judgements(f"warm {chunk}"):
        numbers = [n for n, one in enumerate(judgement.unknown) if one.field in WARM_FIELDS]
        if not numbers or not subject.applies(judgement.middle):
            continue
        point, other = moved(random, judgement, numbers)
        assert judgement.look(subject, point) == judgement.look(subject, other)
        tried += point != other
    assert tried > 3
