"""Every shop test is reached by a file, field by field, and reader and published schema accept the same."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bearings.public import Units
from repairs.management.commands.write_readings_schemas import FOLDER
from repairs.measurements.engineering.limits import to_digits
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.machine_fields import FIELDS as MACHINE
from repairs.measurements.engineering.machine_fields import WHOLE
from repairs.measurements.engineering.shape import Field, Subject
from repairs.measurements.engineering.subjects import SUBJECTS
from repairs.measurements.readings_file import (
    judge_file,
    parse_readings,
    readings_answer,
    readings_text,
    specs,
)
from repairs.measurements.shop_tests.machine import PLATE_KEYS
from repairs.motors.plate_fields import BY_KEY
from repairs.motors.units import QUANTITIES


def _validator(name: str) -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(json.loads((FOLDER / name).read_text(encoding="utf-8")))


FILE = _validator("readings_file.schema.json")
ANSWER = _validator("readings_answer.schema.json")
UNITS: tuple[Units, ...] = ("si", "us")
each = pytest.mark.parametrize("subject", SUBJECTS, ids=lambda one: one.code)


def _number(field: Field) -> st.SearchStrategy[Any]:
    """A number of the whole range, alone or in one of its units; within it also after rounding."""
    usual = st.floats(max(field.low, -50.0), min(field.high, 200.0)) if field.low < 200 else st.nothing()
    numbers = st.sampled_from([field.low, field.high]) | usual
    if field.code in WHOLE:
        return st.integers(int(field.low), int(field.high))
    ways: list[st.SearchStrategy[Any]] = [numbers | st.floats(field.low, field.high)]
    for unit in specs.units_of(field.quantity):
        low, high = (to_digits(unit.from_si(one)) for one in (field.low, field.high))
        value = st.sampled_from([low, high]) | st.floats(low, high)
        ways.append(st.fixed_dictionaries({"value": value, "unit": st.just(unit.name)}))
    return st.one_of(ways)


def _value(field: Field) -> st.SearchStrategy[Any]:
    if field.quantity in QUANTITIES:
        return st.none() | _number(field)
    if field.quantity == "series":
        row = st.tuples(*(st.none() | _number(one) for one in field.columns)).map(list)
        return st.lists(row, max_size=6)
    return st.sampled_from(field.choices or ("yes", "no"))


def _object(fields: tuple[Field, ...]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({}, optional={one.code: _value(one) for one in fields})


def _limits(subject: Subject) -> st.SearchStrategy[list[dict[str, Any]]]:
    of_result = [
        st.fixed_dictionaries(
            {
                "result": st.just(code),
                "low": st.floats(0, 10),
                "high": st.floats(10, 100),
                "level": st.sampled_from(specs.LEVELS),
                "source": st.just("drawing"),
            },
            optional={"unit": st.sampled_from([one.name for one in specs.units_of(quantity)] or [None])},
        )
        for code, quantity in subject.results.items()
    ]
    return st.lists(st.one_of(of_result), max_size=2, unique_by=lambda one: (one["result"], one["level"]))


@each
@settings(max_examples=20, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_any_file_of_a_test_is_accepted_by_both_and_answered(subject: Subject, data: st.DataObject) -> None:
    test = {
        "test": subject.code,
        "entries": data.draw(_object(subject.fields)),
        "limits": data.draw(_limits(subject)),
    }
    values = {"readings_file": 1, "motor": data.draw(_object(MACHINE)), "tests": [test]}
    FILE.validate(values)
    file = parse_readings(json.dumps(values).encode())
    given_ones = {code for code, value in test["entries"].items() if value is not None}
    assert set(file.tests[0].entries) == given_ones
    assert {name for name, value in file.machine._asdict().items() if value is not None} == {
        name for name, value in values["motor"].items() if value is not None
    }
    found = judge_file(file)
    answer = json.loads(json.dumps(readings_answer(found), allow_nan=False))
    ANSWER.validate(answer)
    assert [one["result"] for one in answer["tests"][0]["results"]] == list(subject.results)
    assert all(
        one["value"] is not None
        for one in answer["tests"][0]["results"]
        if one["verdict"] in {"pass", "fail"}
    )
    for units in UNITS:
        assert "None" not in readings_text(found, units)


@each
def test_nothing_entered_is_reached_too(subject: Subject) -> None:
    """Every test answers each of its results without an entry, and what its limit is where that is known."""
    found = judge_file(parse_readings({"readings_file": 1, "tests": [{"test": subject.code}]}))
    answer = readings_answer(found)
    ANSWER.validate(json.loads(json.dumps(answer)))
    assert answer["verdict"] in {"not_checked", "noted"}


def test_a_quotient_that_no_number_holds_is_not_checked() -> None:
    entries = {"r_1min": 1e-300, "r_10min": 1e12, "winding_c": 40, "method": "ten_degree"}
    motor = {"insulation_class": "F", "winding": "form", "voltage_v": 4160}
    test = {"test": "insulation", "entries": entries}
    answer = readings_answer(
        judge_file(parse_readings({"readings_file": 1, "motor": motor, "tests": [test]}))
    )
    index = answer["tests"][0]["results"][1]
    assert (index["result"], index["value"], index["verdict"]) == ("polarization_index", None, "not_checked")
    assert json.dumps(answer, allow_nan=False)


REFUSED: list[Any] = [
    {"test": "insulating"},
    {"entries": {}},
    {"test": "insulation", "entries": {"r_1": 5}},
    {"test": "insulation", "entries": {"r_1min": -1}},
    {"test": "insulation", "entries": {"r_1min": True}},
    {"test": "insulation", "entries": {"r_1min": {"value": 5}}},
    {"test": "insulation", "entries": {"r_1min": {"value": 5, "unit": "V"}}},
    {"test": "insulation", "entries": {"winding_c": {"value": 303, "unit": "°F"}}},
    {"test": "insulation", "entries": {"method": "both"}},
    {"test": "insulation", "limits": [{"result": "insulation", "low": 1, "level": "shop"}]},
    {"test": "insulation", "limits": [{"result": "insulation", "low": 1, "level": "shop", "source": " "}]},
    {"test": "insulation", "limits": [{"result": "insulation", "level": "shop", "source": "x"}]},
    {"test": "insulation", "limits": [{"result": "runout", "low": 1, "level": "shop", "source": "x"}]},
    {"test": "run_temperatures", "entries": {"temperatures": [[0, 1, 2, 3, 4, 5, 6, 7, 8]]}},
    {"test": "run_temperatures", "entries": {"temperatures": [[]]}},
    {"test": "run_temperatures", "entries": {"temperatures": [7]}},
]


@pytest.mark.parametrize("test", REFUSED)
def test_schema_and_reader_refuse_the_same(test: dict[str, Any]) -> None:
    values = {"readings_file": 1, "tests": [test]}
    assert not FILE.is_valid(values)
    with pytest.raises(ValueError, match=r"tests\[0\]"):
        parse_readings(values)


def test_every_quantity_of_a_test_has_one_unit_for_its_figures() -> None:
    fields = [*MACHINE, *(one for subject in SUBJECTS for one in subject.fields)]
    quantities = {inner.quantity for one in fields for inner in (one, *one.columns)} & set(QUANTITIES)
    for quantity in quantities | {one for subject in SUBJECTS for one in subject.results.values()}:
        assert specs.canonical(quantity).to_si(7.0) == 7.0


def test_the_motor_is_asked_for_what_the_engine_knows_in_the_ranges_of_the_plate() -> None:
    by_code = {one.code: one for one in MACHINE}
    assert tuple(by_code) == Machine._fields
    for name, key in PLATE_KEYS.items():
        plate, field = BY_KEY[key], by_code[name]
        assert (field.quantity, field.low, field.high) == (plate.quantity, plate.low, plate.high), name
        assert (name in WHOLE) == plate.whole
