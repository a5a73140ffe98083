"""Fields of which more is never worse (or never better): trying them together gives what trying each alone gives."""

from __future__ import annotations

from random import Random

import pytest

from bearings.engineering.judgement import Judgement
from bearings.engineering.subjects import SUBJECTS
from bearings.engineering.subjects.subject import RANK
from tests.bearings.law.consistent_stacks import consistent_stack
from tests.bearings.law.removing import removable, without

ONE_WAY = [subject for subject in SUBJECTS if subject.one_way]
NAMES = {name for subject in ONE_WAY for name in subject.one_way}
CHUNKS, STACKS_IN_CHUNK = 6, 20


def open_stacks(seed: str):
    """Stacks without any of the one-way fields and without a few others."""
    for number in range(STACKS_IN_CHUNK):
        random = Random(f"{seed} {number}")
        stack = consistent_stack(random)
        fields = removable(stack)
        taken = [field for field in fields if field[0] in NAMES]
        yield without(stack, [*taken, *random.sample(fields, min(3, len(fields)))])


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_trying_one_way_fields_together_gives_the_verdict_of_trying_each_alone(chunk):
    """Verdict, what is missing, and whether a stop lies in the range; the tries are fewer."""
    fewer = 0
    for stack in open_stacks(f"one way {chunk}"):
        for subject in ONE_WAY:
            together, alone = Judgement(stack), Judgement(stack)
            found, slow = together.result(subject), alone.result(subject._replace(one_way={}))
            assert (found.verdict, found.missing, found.stop_in_range) == (
                slow.verdict,
                slow.missing,
                slow.stop_in_range,
            )
            fewer += len(together._looks) < len(alone._looks)
    assert fewer > 0


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_more_of_a_one_way_field_is_never_on_the_wrong_side(chunk):
    """The better end of each, the rest in the middle, has neither a worse verdict nor a smaller margin."""
    tried = 0
    for stack in open_stacks(f"one way {chunk}"):
        judgement = Judgement(stack)
        for subject in ONE_WAY:
            if not subject.applies(judgement.middle):
                continue
            for number in judgement.read_by(subject):
                unknown = judgement.unknown[number]
                high_is_better = subject.one_way.get(unknown.field)
                if high_is_better is None:
                    continue
                low, high = (
                    judgement.look(subject, judgement.alone(number, place)) for place in (0, unknown.high)
                )
                better, worse = (high, low) if high_is_better else (low, high)
                assert RANK[better.verdict] <= RANK[worse.verdict]
                assert better.margin >= worse.margin
                tried += 1
    assert tried > 0
