"""What is published of readings files is what the shop tests give today."""

from __future__ import annotations

import json

import jsonschema
import pytest

from repairs.management.commands.write_readings_schemas import EXAMPLES, FOLDER, SCHEMAS, published

TEXTS = dict(published())


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_the_published_file_is_what_the_shop_tests_give(name: str) -> None:
    # Not shown line by line: the schema has thousands.
    same = (FOLDER / name).read_text(encoding="utf-8") == TEXTS[name]
    assert same, "run: .venv/bin/python manage.py write_readings_schemas"


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_the_published_schema_is_one(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(json.loads(TEXTS[name]))


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_agrees_with_the_schema_and_says_that_it_is_invented(name: str) -> None:
    values = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    jsonschema.validate(values, json.loads(TEXTS["readings_file.schema.json"]))
    jsonschema.validate(
        json.loads(TEXTS[f"{name}.answer.json"]), json.loads(TEXTS["readings_answer.schema.json"])
    )
    assert values["note"].startswith("Invented")


def test_nothing_else_lies_beside_them() -> None:
    names = {path.name for path in FOLDER.iterdir()}
    assert names == {*TEXTS, *(f"{name}.json" for name in EXAMPLES)}
