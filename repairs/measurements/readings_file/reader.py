"""From JSON values to tests that can be judged, or to everything that is wrong with them at once."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple, cast

from django.utils.translation import gettext as _

from bearings.public_files import (
    WHOLE_FILE,
    FieldSpec,
    FileReader,
    StackFileError,
    accepted,
    check_value,
    read_json,
)
from repairs.measurements.engineering.limits import Level, Limit, Source
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.machine_fields import FIELDS as MACHINE
from repairs.measurements.engineering.shape import Field, Row, Subject, Value
from repairs.measurements.engineering.subjects import BY_CODE
from repairs.measurements.readings_file import specs
from repairs.motors.units import QUANTITIES, Unit

# No figure of a shop comes near; a whole number beyond it has no place in the machine's arithmetic.
LARGEST: Final = 1e300


class FileTest(NamedTuple):
    """One test of a file: entries in canonical units, the limits of customer, maker and shop by result."""

    code: str
    entries: Mapping[str, Value]
    limits: Mapping[str, tuple[Limit, ...]]


class ReadingsFile(NamedTuple):
    """A motor and its tests, in the file's order."""

    machine: Machine
    tests: tuple[FileTest, ...]


class ReadingsReader(FileReader):
    """Reads one readings file."""

    def file(self, value: object) -> ReadingsFile:
        """Return the whole file; raise with every mistake where there is one."""
        if not isinstance(value, dict):
            message = _('Not a readings file. Accepted: an object that begins with "readings_file": 1.')
            self.refuse(WHOLE_FILE, value, message)
            raise StackFileError(tuple(self.mistakes))
        found = self.members("", value, specs.FIELDS_OF_FILE)
        version = found.get("readings_file")
        if isinstance(version, bool) or version != specs.VERSION:
            self.refuse("readings_file", version, _("Unknown version. Accepted: 1."))
        self._checked("note", specs.NOTE, found.get("note"))
        machine = self.machine(found.get("motor"))
        raw = self.entries("tests", found.get("tests"), specs.MOST_TESTS)
        if found.get("tests") in (None, []):
            message = _("No test in the file. Accepted: 1 to %(most)d tests.")
            self.refuse("tests", found.get("tests"), message % {"most": specs.MOST_TESTS})
        tests = [self.test(f"tests[{place}]", one) for place, one in enumerate(raw)]
        if self.mistakes:
            raise StackFileError(tuple(self.mistakes))
        return ReadingsFile(machine, tuple(one for one in tests if one is not None))

    def machine(self, value: object) -> Machine:
        """Return what is known of the motor."""
        found = self.fields("motor", value, MACHINE)
        if "vertical" in found:
            found["vertical"] = found["vertical"] == "yes"
        return Machine(**found)

    def test(self, path: str, value: object) -> FileTest | None:
        """Return one test, or nothing when it has a mistake."""
        if not isinstance(value, dict):
            self.refuse(path, value, _("Not an object. Accepted: an object in braces."))
            return None
        found = self.members(path, value, specs.FIELDS_OF_TEST)
        which = FieldSpec(name="test", kind="choice", description="", choices=tuple(BY_CODE))
        code = self._checked(f"{path}.test", which, found.get("test"), required=True)
        if code is None:
            return None
        subject = BY_CODE[str(code)]
        entries = self.fields(f"{path}.entries", found.get("entries"), subject.fields)
        return FileTest(subject.code, entries, self.limits(f"{path}.limits", found.get("limits"), subject))

    def fields(self, path: str, value: object, fields: Sequence[Field]) -> dict[str, Any]:
        """Return the values of an object by field; null counts as not measured."""
        found = self.members(path, value, tuple(one.code for one in fields))
        read = {one.code: self.value(f"{path}.{one.code}", one, found.get(one.code)) for one in fields}
        return {code: one for code, one in read.items() if one is not None}

    def value(self, path: str, field: Field, raw: object) -> Value | None:
        """Return one entry in its canonical unit."""
        if raw is None:
            return None
        if field.quantity == "series":
            rows = self.entries(path, raw, specs.MOST_ROWS)
            return tuple(self.row(f"{path}[{place}]", field, one) for place, one in enumerate(rows))
        if field.quantity in QUANTITIES:
            return self.number(path, field, raw)
        return cast("str | None", self._checked(path, specs.spec_of(field), raw))

    def row(self, path: str, field: Field, raw: object) -> Row:
        """Return one row of a series: a number for each column, null where it was not read."""
        cells = self.entries(path, raw, len(field.columns))
        if raw in (None, []):
            names = ", ".join(one.code for one in field.columns)
            message = _("Empty row. Accepted: a list of %(columns)s.")
            self.refuse(path, raw, message % {"columns": names})
        read = [
            None if cell is None else self.number(f"{path}.{column.code}", column, cell)
            for column, cell in zip(field.columns, cells, strict=False)
        ]
        return (*read, *[None] * (len(field.columns) - len(read)))

    def number(self, path: str, field: Field, raw: object) -> float | None:
        """Return a number in its canonical unit: as it is, or an object of a value and its unit."""
        if not isinstance(raw, dict):
            return self._number(path, field, raw, specs.canonical(field.quantity))
        found = self.members(path, raw, specs.FIELDS_OF_NUMBER)
        unit = self.unit(f"{path}.unit", field.quantity, found.get("unit"))
        if unit is None:
            return None
        return self._number(f"{path}.value", field, found.get("value"), unit)

    def unit(self, path: str, quantity: str, raw: object) -> Unit | None:
        """Return a unit by its name, whichever of two equal signs for ohm and micro it is written with."""
        known = specs.units_of(quantity)
        if not known:
            self.refuse(path, raw, _("This reading has no unit. Enter the number alone."))
            return None
        names = ", ".join(f'"{one.name}"' for one in known)
        written = _alike(raw) if isinstance(raw, str) else None
        found = next((one for one in known if _alike(one.name) == written), None)
        if found is None:
            wrong = _("Required.") if raw is None else _("Not a unit of this reading.")
            self.refuse(path, raw, _("%(wrong)s Accepted: %(units)s.") % {"wrong": wrong, "units": names})
        return found

    def _number(self, path: str, field: Field, raw: object, unit: Unit) -> float | None:
        value = self._checked(path, specs.spec_of(field, unit), raw, required=True)
        if value is None:
            return None
        si = unit.to_si(float(value))
        return int(si) if isinstance(value, int) else si

    def _checked(self, path: str, spec: FieldSpec, raw: object, *, required: bool = False) -> Any:
        """Return an acceptable value; refuse another one with what is accepted."""
        if isinstance(raw, int) and not isinstance(raw, bool) and abs(raw) > LARGEST:
            raw = float("inf") if raw > 0 else float("-inf")
        value, wrong = check_value(spec, raw)
        if wrong is None and value is None and required:
            wrong = _("Required. %(accepted)s") % {"accepted": accepted(spec)}
        if wrong is not None:
            self.refuse(path, raw, wrong)
        return value

    def limits(self, path: str, value: object, subject: Subject) -> dict[str, tuple[Limit, ...]]:
        """Return the limits of a test by result; none twice of one level."""
        held: dict[str, tuple[Limit, ...]] = {}
        for place, one in enumerate(self.entries(path, value, len(subject.results) * len(specs.LEVELS))):
            read = self.limit(f"{path}[{place}]", one, subject)
            if read is None:
                continue
            code, limit = read
            if any(other.level == limit.level for other in held.get(code, ())):
                message = _("This result has a limit of this level already. Keep one.")
                self.refuse(f"{path}[{place}].level", limit.level, message)
            held[code] = (*held.get(code, ()), limit)
        return held

    def limit(self, path: str, value: object, subject: Subject) -> tuple[str, Limit] | None:
        """Return the limit of one result in its canonical unit, or nothing when it has a mistake."""
        if not isinstance(value, dict):
            self.refuse(path, value, _("Not an object. Accepted: an object in braces."))
            return None
        before = len(self.mistakes)
        found = self.members(path, value, specs.FIELDS_OF_LIMIT)
        which = FieldSpec(name="result", kind="choice", description="", choices=tuple(subject.results))
        code = self._checked(f"{path}.result", which, found.get("result"), required=True)
        level = self._checked(f"{path}.level", specs.CHOICE_OF_LEVEL, found.get("level"), required=True)
        source = self._checked(f"{path}.source", specs.SOURCE, found.get("source"), required=True)
        if code is None:
            return None
        low, high = self._sides(path, found, subject.results[code])
        if len(self.mistakes) > before:
            return None
        return code, Limit(low, high, Source(source, sureness="entered"), cast(Level, level))

    def _sides(
        self, path: str, found: Mapping[str, object], quantity: str
    ) -> tuple[float | None, float | None]:
        unit: Unit | None = specs.canonical(quantity)
        if found.get("unit") is not None:
            unit = self.unit(f"{path}.unit", quantity, found["unit"])
        if unit is None:
            return None, None
        low, high = (
            None
            if found.get(side) is None
            else self._number(f"{path}.{side}", specs.limit_field(side, quantity), found[side], unit)
            for side in ("low", "high")
        )
        if found.get("low") is None and found.get("high") is None:
            self.refuse(path, None, _("A limit without an end. Enter low, high or both."))
        if low is not None and high is not None and low > high:
            self.refuse(f"{path}.low", found["low"], _("Low is above high. Swap the two."))
        return low, high


def _alike(name: str) -> str:
    return unicodedata.normalize("NFKC", name[:40])


def parse_readings(source: bytes | dict[str, object]) -> ReadingsFile:
    """Return the tests of a file's bytes or values; raise :class:`StackFileError` when refused."""
    return ReadingsReader().file(read_json(source) if isinstance(source, bytes) else source)
