import json
import re

import pytest
from hypothesis import given, settings

from bearings.answer import assessment_answer
from bearings.engineering.assessment import check_stack
from bearings.engineering.subjects import FINDING_CODES
from bearings.management.commands.write_schemas import FOLDER, SCHEMAS, schema_text
from bearings.stack_file import ROOMS, StackFileError, parse_stack
from bearings.stack_file.schema import CODE_MEANINGS
from tests.bearings.strategies import stack_values_of


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_the_published_schema_is_what_the_field_table_gives(name):
    assert (FOLDER / name).read_text(encoding="utf-8") == schema_text(name)


@pytest.mark.parametrize(("branch", "version"), [("then", 1), ("else", 2)])
def test_every_field_of_the_table_is_in_the_schema_with_its_range(branch, version):
    text = json.loads(schema_text("stack_file.schema.json"))[branch]
    motor = text["properties"]["motor"]["properties"]

    assert set(motor) == {name for name, spec in ROOMS["motor"].items() if spec.since <= version}
    assert motor["rated_speed_rpm"]["maximum"] == ROOMS["motor"]["rated_speed_rpm"].maximum


@settings(max_examples=25, deadline=None)
@given(stack_values_of())
def test_the_schema_and_the_reader_accept_the_same_random_stacks(values):
    jsonschema = pytest.importorskip("jsonschema")
    schema = json.loads(schema_text("stack_file.schema.json"))

    parse_stack(values)
    jsonschema.validate(json.loads(json.dumps(values)), schema)


@pytest.mark.parametrize(
    ("version", "motor", "face"),
    [
        (1, {"fixed_speed": True}, "down"),
        (1, {}, None),
        (2, {"fixed_speed": True, "maximum_speed_rpm": 9.0}, None),
    ],
)
def test_the_schema_and_the_reader_refuse_the_same(version, motor, face):
    """A new field in version 1, an unknown face in version 1, a drive's speed beside the word that there is none."""
    jsonschema = pytest.importorskip("jsonschema")
    bearing = {"kind": "bearing", "type": "angular_contact_ball"} | ({"wide_face": face} if face else {})
    values = {"stack_file": version, "motor": {"rated_speed_rpm": 9.0} | motor, "items": [bearing]}

    with pytest.raises(StackFileError):
        parse_stack(values)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(values, json.loads(schema_text("stack_file.schema.json")))


def test_every_finding_code_is_described():
    assert set(CODE_MEANINGS) == set(FINDING_CODES)
    assert all(re.match(r"(stop|warn|note)", meaning) for meaning in CODE_MEANINGS.values())


def test_the_schema_and_the_reader_agree_on_the_example():
    jsonschema = pytest.importorskip("jsonschema")
    example = json.loads((FOLDER.parents[1] / "tests" / "reference" / "triple.json").read_text())

    jsonschema.validate(example, json.loads(schema_text("stack_file.schema.json")))


@settings(max_examples=15, deadline=None)
@given(stack_values_of())
def test_every_answer_agrees_with_its_schema(values):
    jsonschema = pytest.importorskip("jsonschema")
    answer = assessment_answer(check_stack(parse_stack(values)))

    jsonschema.validate(json.loads(json.dumps(answer)), json.loads(schema_text("answer.schema.json")))
