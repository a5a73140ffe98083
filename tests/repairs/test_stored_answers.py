"""Answers of the checker that were stored by former versions stay readable."""

from __future__ import annotations

from bearings.models import StoredAssessment
from repairs.work_orders.judging import stored_not_checked


def test_what_an_answer_of_the_first_version_could_not_check_is_told_in_its_own_words():
    answer = {"not_checked": [{"check": "life", "reason": "no dynamic rating of bearing 2"}]}
    stored = StoredAssessment(engine_version="0.9.0", stack={}, answer=answer)
    assert stored_not_checked(stored) == ["Life: no dynamic rating of bearing 2"]


def test_what_an_answer_of_today_could_not_check_keeps_its_reason_and_figures():
    answer = {
        "answer": 2,
        "not_checked": [{"check": "life"}],
        "not_checked_params": [{"reason": "no-rating", "params": {"refs": ["1", "2"]}}],
    }
    (told,) = stored_not_checked(StoredAssessment(engine_version="1", stack={}, answer=answer))
    assert (told.check, told.reason, told.params) == ("life", "no-rating", {"refs": ("1", "2")})
