"""The columns of a rating file and the units that each may be written in."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from decimal import Decimal
from typing import Final

from bearings.book import FIGURES, RATING_TEXTS
from bearings.stack_file.fields import BEARING
from bearings.stack_file.specs import FieldSpec

# Exact by definition: inch, pound-force (0.45359237 kg times 9.80665 m/s2), kilogram-force.
_FORCE: Final = {
    "N": Decimal(1),
    "kN": Decimal(1000),
    "lbf": Decimal("4.4482216152605"),
    "kgf": Decimal("9.80665"),
}
_SIZE: Final = {"mm": Decimal(1), "in": Decimal("25.4")}
_UNITS: Final[dict[str, dict[str, Decimal]]] = {
    "N": _FORCE,
    "mm": _SIZE,
    "rpm": {"rpm": Decimal(1), "r/min": Decimal(1)},
    "deg": {"deg": Decimal(1), "°": Decimal(1)},
    "mm2": {"mm2": Decimal(1), "mm²": Decimal(1), "in2": Decimal("645.16")},
    "1": {},
}
_SUFFIXES: Final = ("_n", "_mm", "_deg", "_rpm", "_mm2")
REQUIRED: Final = ("designation", "type")


@dataclasses.dataclass(frozen=True, slots=True)
class Column:
    """One column: its name in the file, the field that it fills, and what its units come to in the field's unit."""

    name: str
    field: str
    units: Mapping[str, Decimal] = dataclasses.field(default_factory=dict)
    spec: FieldSpec | None = None

    @property
    def numeric(self) -> bool:
        """Whether the column holds figures."""
        return self.spec is not None

    @property
    def unit(self) -> str:
        """The unit that an export is written in; empty where there is none."""
        return next(iter(self.units), "")

    def factor(self, typed: str) -> Decimal | None:
        """Return what one of a typed unit comes to; None when the unit is not known here."""
        if not self.units:
            return Decimal(1) if typed in {"", "1", "-"} else None
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
