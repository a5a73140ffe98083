"""Whatever is entered, every shop test answers: without a crash, in words, and never with a pass for nothing."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bearings.public import Units
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Field, Row, Subject, Value
from repairs.measurements.engineering.subjects import SUBJECTS, check_test
from repairs.measurements.words import BY_CODE as WORDS
from repairs.measurements.words.figures import Written

UNITS: tuple[Units, ...] = ("si", "us")
MACHINES = st.builds(
    Machine,
    voltage_v=st.none() | st.floats(100, 14_000),
    power_w=st.none() | st.floats(100, 1e7),
    speed_rpm=st.none() | st.floats(100, 3600),
    frequency_hz=st.none() | st.sampled_from([50.0, 60.0]),
    poles=st.none() | st.integers(2, 20),
    current_a=st.none() | st.floats(0.5, 2000),
    power_factor=st.none() | st.floats(0.3, 1),
    efficiency=st.none() | st.floats(0.3, 1),
    service_factor=st.none() | st.sampled_from([1.0, 1.15]),
    year=st.none() | st.integers(1930, 2026),
    phases=st.none() | st.sampled_from([1, 3]),
    winding=st.none() | st.sampled_from(["random", "form"]),
    insulation_class=st.none() | st.sampled_from(["A", "B", "F", "H", "X"]),
    ambient_c=st.none() | st.floats(20, 60),
    vertical=st.none() | st.booleans(),
    rotor_mass_kg=st.none() | st.floats(1, 20_000),
    rabbet_mm=st.none() | st.floats(50, 1500),
)


def _numbers(field: Field) -> st.SearchStrategy[float]:
    """Values of the whole range, most of them where people measure."""
    usual = st.floats(max(field.low, -50.0), min(field.high, 200.0)) if field.low < 200 else st.nothing()
    return st.sampled_from([field.low, field.high]) | usual | st.floats(field.low, field.high)


def _value(field: Field) -> st.SearchStrategy[Value]:
    if field.quantity == "choice":
        return st.sampled_from(field.choices)
    if field.quantity == "yes_no":
        return st.sampled_from(["yes", "no"])
    if field.quantity == "series":
        row: st.SearchStrategy[Row] = st.tuples(*(st.none() | _numbers(one) for one in field.columns))
        return st.lists(row, max_size=8).map(tuple)
    return _numbers(field)


def _entries(subject: Subject) -> st.SearchStrategy[Mapping[str, Value]]:
    return st.fixed_dictionaries({}, optional={one.code: _value(one) for one in subject.fields})


@pytest.mark.parametrize("subject", SUBJECTS, ids=lambda one: one.code)
@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(data=st.data(), machine=MACHINES)
def test_any_entry_is_answered_in_words(subject: Subject, data: st.DataObject, machine: Machine) -> None:
    entries = data.draw(_entries(subject))
    answer = check_test(subject.code, entries, machine)
    assert [one.code for one in answer.results] == list(subject.results)
    for result in answer.results:
        assert result.quantity == subject.results[result.code]
        assert result.value is not None or result.verdict in {"not_checked", "noted"}
        assert result.value is None or isinstance(result.value, int | float)
        assert not (result.verdict == "pass" and result.limit is None)
    for note in answer.notes:
        for units in UNITS:
            sentence = WORDS[subject.code].notes[note.code](note, Written(units))
            assert sentence
            assert "None" not in sentence
    assert {one.result for one in answer.missing} <= set(subject.results)
    # What was left open is named or told, unless the test failed anyway.
    open_ones = {one.code for one in answer.results if one.verdict == "not_checked" and one.value is None}
    assert not open_ones or answer.missing or answer.notes or answer.verdict == "fail"
