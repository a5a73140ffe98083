"""Rules that every shop test keeps."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Field, Subject
from repairs.measurements.engineering.subjects import BY_CODE, SUBJECTS, check_test
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.units import QUANTITIES

NO_UNITS = {"choice", "yes_no", "series"}
each = pytest.mark.parametrize("subject", SUBJECTS, ids=lambda one: one.code)


def _fields(fields: tuple[Field, ...]) -> list[Field]:
    return [inner for one in fields for inner in (one, *_fields(one.columns))]


@each
def test_every_field_has_units_a_range_and_words(subject: Subject) -> None:
    words = WORDS[subject.code]
    for field in _fields(subject.fields):
        assert field.quantity in QUANTITIES or field.quantity in NO_UNITS
        assert field.low < field.high
        assert words.fields[field.code]
        assert bool(field.columns) == (field.quantity == "series")
        assert bool(field.choices) == (field.quantity == "choice")
        assert all(words.choices[choice] for choice in field.choices)
    assert set(words.results) == set(subject.results)


@each
def test_nothing_entered_is_never_a_pass(subject: Subject) -> None:
    answer = check_test(subject.code, {}, Machine())
    assert answer.verdict in {"not_checked", "noted"}
    assert {one.code for one in answer.results} == set(subject.results)
    assert {one.result for one in answer.missing} <= set(subject.results)
    named = {field.code for field in _fields(subject.fields)}
    for one in answer.missing:
        assert one.field in named or one.field.removeprefix("machine.") in Machine._fields


def test_result_codes_are_short_and_belong_to_one_test() -> None:
    codes = [code for one in SUBJECTS for code in one.results]
    assert len(codes) == len(set(codes))
    assert all(len(code) <= 20 for code in codes)
    assert set(WORDS) == set(BY_CODE)
