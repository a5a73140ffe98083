"""What a field of a shop test accepts in a file: made of the test's own fields, for reader and schema alike."""

from __future__ import annotations

from typing import Final

from bearings.public_files import FieldSpec
from repairs.measurements.engineering.limits import to_digits
from repairs.measurements.engineering.machine_fields import WHOLE
from repairs.measurements.engineering.shape import Field
from repairs.motors.units import PERCENT, QUANTITIES, Unit

VERSION: Final = 1
MOST_TESTS: Final = 200
# Rows of one series: peaks of a spectrum and minutes of a run are fewer.
MOST_ROWS: Final = 2000
# A limit has no range of its own: whatever a figure can be.
FARTHEST: Final = 1e12
YES_NO: Final = ("yes", "no")
LEVELS: Final = ("customer", "maker", "shop")
FIELDS_OF_FILE: Final = ("readings_file", "note", "motor", "tests")
FIELDS_OF_TEST: Final = ("test", "entries", "limits")
FIELDS_OF_LIMIT: Final = ("result", "low", "high", "unit", "level", "source")
FIELDS_OF_NUMBER: Final = ("value", "unit")


def units_of(quantity: str) -> tuple[Unit, ...]:
    """Return the units that a quantity may be given in; none where it has no name to give."""
    named = tuple(unit for unit in QUANTITIES[quantity] if unit.name)
    return (*named, PERCENT) if quantity == "ratio" else named


def canonical(quantity: str) -> Unit:
    """Return the unit of a figure that names none, and of every figure of an answer."""
    return next(unit for unit in QUANTITIES[quantity] if unit.factor == 1 and not unit.offset)


def spec_of(field: Field, unit: Unit | None = None) -> FieldSpec:
    """Return what a field accepts; of a number in one of its units, whose ends are those of the test to nine digits."""
    if field.quantity not in QUANTITIES:
        choices = YES_NO if field.quantity == "yes_no" else field.choices
        return FieldSpec(
            name=field.code,
            kind="text" if field.quantity == "text" else "choice",
            description="",
            choices=choices,
        )
    read = unit or canonical(field.quantity)
    return FieldSpec(
        name=field.code,
        kind="integer" if field.code in WHOLE else "number",
        description="",
        unit=read.name or "1",
        minimum=to_digits(read.from_si(field.low)),
        maximum=to_digits(read.from_si(field.high)),
    )


def limit_field(code: str, quantity: str) -> Field:
    """Return one side of a limit of a result as a field."""
    return Field(code, quantity, -FARTHEST, FARTHEST)


CHOICE_OF_LEVEL: Final = FieldSpec(name="level", kind="choice", description="", choices=LEVELS)
SOURCE: Final = FieldSpec(name="source", kind="text", description="")
NOTE: Final = FieldSpec(name="note", kind="text", description="")
