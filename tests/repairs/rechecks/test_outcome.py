"""What counts as a changed outcome, a worse one, and one that became stop."""

from __future__ import annotations

import pytest

from bearings.public import assessment_answer, check_stack, parse_stack
from repairs.rechecks.outcome import Outcome, follow, outcome_of_answer, outcome_of_assessment
from repairs.work_orders.judging import unstored
from tests.repairs.rechecks.stacks import items_from

FINE = Outcome(margin=0.2, speed="rated", l10h=60000, l10mh=90000, worst="", by_headline=True)
WARNED = frozenset({("warn", "life", "")})
STOPPED = frozenset({("stop", "speed-margin", "")})


def later(**fields) -> Outcome:
    names = ("margin", "speed", "l10h", "l10mh", "worst", "by_headline", "findings")
    return Outcome(**{**{name: getattr(FINE, name) for name in names}, **fields})


def assessed(speed: float | None):
    items = [entry["data"] for entry in items_from(None)]
    for item in items:
        if item["kind"] == "bearing":
            item.pop("limiting_speed_rpm")
            item.update({"limiting_speed_rpm": speed} if speed else {})
    return check_stack(parse_stack({"stack_file": 1, "motor": {"rated_speed_rpm": 1780}, "items": items}))


def test_the_same_outcome_is_not_changed():
    verdict = follow(FINE, later())
    assert (verdict.changed, verdict.worse, verdict.became_stop) == (False, False, False)


@pytest.mark.parametrize(
    ("after", "worse"),
    [
        (later(margin=0.1), True),
        (later(margin=0.3), False),
        (later(margin=None), True),
        (later(l10h=50000), True),
        (later(l10h=70000, l10mh=95000), False),
        (later(l10mh=None), True),
        (later(worst="warn", findings=WARNED), True),
        (later(worst="not_proven"), True),
        (Outcome(), True),
    ],
)
def test_any_other_margin_life_severity_or_finding_is_a_change(after, worse):
    verdict = follow(FINE, after)
    assert (verdict.changed, verdict.worse, verdict.became_stop) == (True, worse, False)


def test_a_stop_that_was_not_there_before_makes_it_become_stop():
    verdict = follow(FINE, later(margin=-0.05, worst="stop", findings=STOPPED))
    assert verdict.new_stops == (("speed-margin", ""),)
    assert verdict.became_stop
    assert not follow(later(worst="stop", findings=STOPPED), FINE).became_stop
    again = follow(later(worst="stop", findings=STOPPED), later(margin=0.1, worst="stop", findings=STOPPED))
    assert (again.changed, again.became_stop) == (True, False)


def test_what_an_answer_of_before_the_headlines_left_open_is_no_change():
    before = later(by_headline=False)
    assert not follow(before, later(worst="not_proven")).changed
    assert follow(before, later(worst="stop", findings=STOPPED)).became_stop


def test_what_was_never_checked_and_is_now_fine_changed_but_is_not_worse():
    verdict = follow(Outcome(), FINE)
    assert (verdict.changed, verdict.worse) == (True, False)


def test_a_stored_answer_and_a_check_of_the_same_stack_have_the_same_outcome():
    assessment = assessed(2700)
    stored = unstored(assessment).answer
    assert outcome_of_answer(stored) == outcome_of_assessment(assessment)
    assert outcome_of_answer(assessment_answer(assessment)).worst == assessment.headline.verdict
    assert outcome_of_answer(None) == outcome_of_assessment(None) == Outcome()


def test_the_margin_is_the_smallest_over_the_speeds_and_unknown_when_a_bearing_has_no_speed():
    # Three bearings, one of them alone against the other two: factor 0.70 of the shop's set factors
    # (common practice, no source), so 0.70 x 2700 / 1780 - 1.
    known = outcome_of_assessment(assessed(2700))
    assert known.margin == pytest.approx(0.70 * 2700 / 1780 - 1)
    assert known.speed == "rated"
    assert outcome_of_assessment(assessed(None)).margin is None
