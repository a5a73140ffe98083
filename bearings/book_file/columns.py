"""The columns of a rating file and the units that each may be written in."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from decimal import Decimal
from typing import Final

from bearings.book import FIGURES, RATING_TEXTS
from bearings.stack_file.fields import BEARING
from bearings.stack_file.specs import FieldSpec


@dataclasses.dataclass(frozen=True, slots=True)
class FileUnit:
    """A unit that a column may be written in: what one of it comes to, counted from its ``zero``."""

    factor: Decimal = Decimal(1)
    zero: Decimal = Decimal(0)

    def read(self, number: Decimal) -> float:
        """Return a number of this unit in the field's unit."""
        return float((number - self.zero) * self.factor)

    def shown(self, value: float) -> float:
        """Return a value of the field in this unit."""
        return float(Decimal(value) / self.factor + self.zero)


_SAME: Final = FileUnit()
# Five ninths of a kelvin, counted from 32: exact by definition, but for the last of 28 figures.
_FAHRENHEIT: Final = FileUnit(Decimal(5) / Decimal(9), Decimal(32))
# Exact by definition: inch, pound-force (0.45359237 kg times 9.80665 m/s2), kilogram-force.
_UNITS: Final[dict[str, dict[str, FileUnit]]] = {
    "N": {
        "N": _SAME,
        "kN": FileUnit(Decimal(1000)),
        "lbf": FileUnit(Decimal("4.4482216152605")),
        "kgf": FileUnit(Decimal("9.80665")),
    },
    "mm": {"mm": _SAME, "in": FileUnit(Decimal("25.4"))},
    "rpm": {"rpm": _SAME, "r/min": _SAME},
    "deg": {"deg": _SAME, "°": _SAME},
    "mm2": {"mm2": _SAME, "mm²": _SAME, "in2": FileUnit(Decimal("645.16"))},
    "degC": {"degC": _SAME, "°C": _SAME, "degF": _FAHRENHEIT, "°F": _FAHRENHEIT},
    "1": {},
    "": {},
}
_SUFFIXES: Final = ("_n", "_mm", "_deg", "_rpm", "_mm2", "_c")
REQUIRED: Final = ("designation", "type")


@dataclasses.dataclass(frozen=True, slots=True)
class Column:
    """One column: its name in the file, the field that it fills, and what its units come to in the field's unit."""

    name: str
    field: str
    units: Mapping[str, FileUnit] = dataclasses.field(default_factory=dict)
    spec: FieldSpec | None = None

    @property
    def numeric(self) -> bool:
        """Whether the column holds numbers."""
        return self.spec is not None and self.spec.kind != "choice"

    @property
    def unit(self) -> str:
        """The unit that an export is written in; empty where there is none."""
        return next(iter(self.units), "")

    def unit_of(self, typed: str) -> FileUnit | None:
        """Return a typed unit; None when it is not known here."""
        if not self.units:
            return _SAME if typed in {"", "1", "-"} else None
        known = {name.casefold(): value for name, value in self.units.items()}
        return known.get(typed.casefold())


def _name(figure: str) -> str:
    for suffix in _SUFFIXES:
        if figure.endswith(suffix):
            return figure.removesuffix(suffix)
    return figure


COLUMNS: Final[dict[str, Column]] = {
    column.name: column
    for column in (
        *(Column(name, name) for name in RATING_TEXTS if name not in {"speed_meaning", "note"}),
        *(Column(_name(name), name, _UNITS[BEARING[name].unit], BEARING[name]) for name in FIGURES),
        Column("speed_meaning", "speed_meaning"),
        Column("note", "note"),
    )
}
BY_FIELD: Final = {column.field: column for column in COLUMNS.values()}
