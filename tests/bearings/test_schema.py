import json
import re

import pytest
from hypothesis import given, settings

from bearings.answer import assessment_answer
from bearings.engineering.assessment import check_stack
from bearings.engineering.checks.registry import FINDING_CODES
from bearings.management.commands.write_schemas import FOLDER, SCHEMAS, schema_text
from bearings.stack_file import ROOMS, parse_stack
from bearings.stack_file.schema import CODE_MEANINGS
from tests.bearings.strategies import stack_values_of


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_the_published_schema_is_what_the_field_table_gives(name):
    assert (FOLDER / name).read_text(encoding="utf-8") == schema_text(name)


def test_every_field_of_the_table_is_in_the_schema_with_its_range():
    text = json.loads(schema_text("stack_file.schema.json"))
    motor = text["properties"]["motor"]["properties"]

    assert set(motor) == set(ROOMS["motor"])
    assert motor["rated_speed_rpm"]["maximum"] == ROOMS["motor"]["rated_speed_rpm"].maximum


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
