"""The published JSON Schemas of readings file and answer, generated from the shop tests."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final, get_args

from bearings.public_files import FieldSpec
from repairs.measurements.engineering.limits import Level, Sureness
from repairs.measurements.engineering.machine_fields import FIELDS as MACHINE
from repairs.measurements.engineering.machine_fields import WHOLE
from repairs.measurements.engineering.shape import Field, Severity, Subject, Verdict
from repairs.measurements.engineering.subjects import SUBJECTS
from repairs.measurements.readings_file import specs
from repairs.measurements.shop_tests.presenting import MACHINE_WORDS
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.units import QUANTITIES

Schema = dict[str, Any]
DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
LONGEST_TEXT: Final = 200
TEXT: Final[Schema] = {"type": "string"}
MAYBE: Final[Schema] = {"type": ["number", "null"]}


def readings_file_schema() -> Schema:
    """Return the JSON Schema of the readings file."""
    return {
        "$schema": DIALECT,
        "title": "Readings file, version 1",
        "description": (
            "Readings of shop tests with the motor they were taken on. A number stands in the unit that its field "
            "names, or with another one as an object of value and unit. A field that is absent or null was not "
            "measured. Also refused: repeated keys, low above high, two limits of one level for one result, more than "
            "1 MiB, JSON nested deeper than 16, bytes that are not UTF-8, a byte-order mark."
        ),
        "type": "object",
        "additionalProperties": False,
        "required": ["readings_file", "tests"],
        "properties": {
            "readings_file": {"const": specs.VERSION, "description": "version of the readings file"},
            "note": _text("what the file is; not judged", required=False),
            "motor": _object(MACHINE, MACHINE_WORDS, "what of the motor the limits depend on"),
            "tests": {
                "type": "array",
                "minItems": 1,
                "maxItems": specs.MOST_TESTS,
                "items": {
                    "type": "object",
                    "additionalProperties": False,
                    "required": ["test"],
                    "properties": {
                        "test": {"enum": [one.code for one in SUBJECTS]},
                        "entries": {"type": ["object", "null"]},
                        "limits": {"type": ["array", "null"]},
                    },
                    "allOf": [_test(one) for one in SUBJECTS],
                },
            },
        },
        "$defs": _definitions(),
    }


def _test(subject: Subject) -> Schema:
    words = WORDS[subject.code]
    return {
        "if": {"properties": {"test": {"const": subject.code}}},
        "then": {
            "properties": {
                "entries": _object(subject.fields, words.fields, str(words.title)),
                "limits": {
                    "type": ["array", "null"],
                    "maxItems": len(subject.results) * len(specs.LEVELS),
                    "items": {"oneOf": list(_limits(subject))},
                },
            }
        },
    }


def _limits(subject: Subject) -> Iterator[Schema]:
    """Yield the schema of a limit of one result for each quantity that a test answers."""
    for quantity in dict.fromkeys(subject.results.values()):
        codes = [code for code, one in subject.results.items() if one == quantity]
        names = ", ".join(f"{code}: {WORDS[subject.code].results[code]}" for code in codes)
        yield {
            "description": names,
            "$ref": f"#/$defs/limit_{quantity}",
            "properties": {"result": {"enum": codes}},
        }


def _limit(quantity: str) -> Schema:
    """Return the schema of a limit of one quantity: one end at least, in one of its units."""
    side = {"type": ["number", "null"], "minimum": -specs.FARTHEST, "maximum": specs.FARTHEST}
    names = [one.name for one in specs.units_of(quantity)]
    return {
        "type": "object",
        "description": f"limit of a result{_in(quantity)}",
        "additionalProperties": False,
        "required": ["result", "level", "source"],
        "properties": {
            "result": TEXT,
            "low": side,
            "high": side,
            "unit": {"enum": [*names, None]},
            "level": {"enum": list(specs.LEVELS)},
            "source": _text("who says so: drawing, purchase order, page of a manual"),
        },
        "anyOf": [{"required": [end], "properties": {end: {"type": "number"}}} for end in ("low", "high")],
    }


def _definitions() -> dict[str, Schema]:
    """Return what the fields share: a number of each quantity in each range, limits of each quantity."""
    given = [*MACHINE, *(one for subject in SUBJECTS for one in subject.fields)]
    numbers = [one for field in given for one in (field, *field.columns) if one.quantity in QUANTITIES]
    limits = sorted({one for subject in SUBJECTS for one in subject.results.values()})
    return {
        **{_name(one): _measured(one) for one in sorted(numbers, key=_name)},
        **{f"limit_{one}": _limit(one) for one in limits},
    }


def _name(field: Field) -> str:
    whole = "whole_" if field.code in WHOLE else ""
    low, high = (repr(int(one) if one == int(one) else one) for one in (field.low, field.high))
    return f"{whole}{field.quantity}_{low}_to_{high}"


def _object(fields: Iterable[Field], words: Mapping[str, object], description: str) -> Schema:
    return {
        "type": ["object", "null"],
        "description": description,
        "additionalProperties": False,
        "properties": {one.code: _field(one, words) for one in fields},
    }


def _field(field: Field, words: Mapping[str, object]) -> Schema:
    described: Schema = {"description": f"{words[field.code]}{_in(field.quantity)}"}
    if field.quantity == "series":
        names = ", ".join(f"{words[one.code]}{_in(one.quantity)}" for one in field.columns)
        return {
            "description": f"{words[field.code]}; each row: {names}",
            "type": ["array", "null"],
            "maxItems": specs.MOST_ROWS,
            "items": {
                "type": "array",
                "minItems": 1,
                "prefixItems": [_field(one, words) for one in field.columns],
                "items": False,
            },
        }
    if field.quantity in QUANTITIES:
        return described | {"$ref": f"#/$defs/{_name(field)}"}
    if field.quantity == "text":
        return _text(str(words[field.code]), required=False)
    return described | {"enum": [*specs.spec_of(field).choices, None]}


def _number(spec: FieldSpec) -> Schema:
    return {"type": spec.kind, "minimum": spec.minimum, "maximum": spec.maximum}


def _measured(field: Field) -> Schema:
    """Return the schema of a number: alone in its canonical unit, with a unit as an object, or not measured."""
    units = [
        {
            "type": "object",
            "additionalProperties": False,
            "required": list(specs.FIELDS_OF_NUMBER),
            "properties": {"value": _number(specs.spec_of(field, unit)), "unit": {"const": unit.name}},
        }
        for unit in specs.units_of(field.quantity)
    ]
    return {"anyOf": [_number(specs.spec_of(field)), *units, {"type": "null"}]}


def _in(quantity: str) -> str:
    name = specs.canonical(quantity).name if quantity in QUANTITIES else ""
    return f" [{name}]" if name else ""


def _text(description: str, *, required: bool = True) -> Schema:
    kind: Schema = {"type": "string"} if required else {"type": ["string", "null"]}
    least: Schema = {"pattern": r"\S"} if required else {}
    return kind | least | {"maxLength": LONGEST_TEXT, "description": description}


def _row(**properties: Schema) -> Schema:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": list(properties),
        "properties": properties,
    }


def _rows(**properties: Schema) -> Schema:
    return {"type": "array", "items": _row(**properties)}


def readings_answer_schema() -> Schema:
    """Return the JSON Schema of the answer."""
    verdict: Schema = {"enum": list(get_args(Verdict))}
    sureness: Schema = {"enum": list(get_args(Sureness))}
    source = {"source": TEXT, "sureness": {"enum": [*get_args(Sureness), None]}}
    limit = _row(low=MAYBE, high=MAYBE, level={"enum": list(get_args(Level))}, source=TEXT, sureness=sureness)
    results = _rows(
        result={"enum": [code for one in SUBJECTS for code in one.results]},
        label=TEXT,
        value=MAYBE,
        unit=TEXT,
        limit=limit | {"type": ["object", "null"]},
        informs={"type": "boolean", "description": "true: no limit applies; the figure is only reported"},
        verdict=verdict,
    )
    notes = _rows(
        code=TEXT,
        severity={"enum": list(get_args(Severity)), "description": "a doubt asks whether an entry is meant"},
        message=TEXT,
        figures={"type": "object", "additionalProperties": {"type": ["number", "string", "null"]}},
        **source,
    )
    missing = _rows(field=TEXT, result={"type": ["string", "null"]}, asks=TEXT)
    working = _rows(symbol=TEXT, formula=TEXT, value=MAYBE, unit=TEXT, **source)
    return {
        "$schema": DIALECT,
        "title": "Answer to a readings file, version 1",
        "description": (
            "Figures stand in the unit beside them and are not rounded; null is not known, and missing says what to "
            "enter. The verdict of all is the worst: fail, not_checked, pass; noted where nothing is judged."
        ),
    } | _row(
        readings_answer={"const": 1, "description": "version of the answer"},
        verdict=verdict,
        tests=_rows(
            test={"enum": [one.code for one in SUBJECTS]},
            title=TEXT,
            verdict=verdict,
            results=results,
            notes=notes,
            missing=missing,
            working=working,
        ),
    )
