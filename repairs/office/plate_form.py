"""The nameplate as a form: one line for each field, with its unit and how it was read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _

from repairs.motors.nameplate import has_several, plate_entry, read_entry, shown
from repairs.motors.plate_fields import BY_KEY, FIELDS, GROUPS, STATES, PlateField
from repairs.motors.plate_figures import (
    ILLEGIBLE_MARK,
    INFERRED_MARK,
    MISSING_MARK,
    SUPPLY,
    mark_of,
    supply_of,
)
from repairs.motors.units import OTHER_NAMES, QUANTITIES, unit_words

UNREADABLE = ("illegible", "missing")
MARKS = {"missing": MISSING_MARK, "illegible": ILLEGIBLE_MARK}
# Under the field that is called so stands the motor's own serial number, as on the plate.
SERIAL_AFTER = "model"


@dataclass(frozen=True, slots=True)
class PlateRow:
    """One field as the page shows it."""

    key: str
    label: str | Promise
    kind: str
    value: str
    unit: str
    units: list[tuple[str, str]]
    state: str
    choices: tuple[tuple[str, str | Promise], ...]
    hint: str
    understood: str
    error: str


@dataclass(frozen=True, slots=True)
class PlateGroup:
    """Fields under one heading; it stands open when there is something to see in it."""

    name: str
    title: str | Promise
    rows: list[PlateRow]
    filled: int
    is_open: bool


def _same_as_stored(entry: dict[str, object], stored: dict[str, object] | None) -> bool:
    """Whether an entry came back as it was shown; what is stored may say more, such as where it came from."""
    if stored is None or any(entry[name] != stored.get(name) for name in ("state", "typed")):
        return False
    unit = str(stored.get("unit", ""))
    return entry["unit"] == OTHER_NAMES.get(unit, unit)


class PlateForm:
    """What is typed about a plate, read in the units of each line; nothing typed is lost when it is refused."""

    def __init__(self, typed: Mapping[str, str] | None, plate: Mapping[str, Any], units: str) -> None:
        self.typed, self.plate, self.units = typed, plate, units
        self.errors: dict[str, str] = {}
        self.nameplate = dict(plate)
        if typed is not None:
            self.typed, named = _with_supply(typed)
            for field in FIELDS:
                self._read(field, self.typed)
            for key in named:
                self._compare_supply(key, named[key])

    def _compare_supply(self, key: str, said: str) -> None:
        """Refuse where phases, hertz and volts in one (3-60-460) say other than a field of their own."""
        field, entry = BY_KEY[key], self.nameplate.get(key) or {}
        wanted, _problem = read_entry(field, "read", said, "", self.units)
        if key not in self.errors and wanted is not None and entry.get("si") != wanted["si"]:
            self.errors[key] = _(
                "“{value}” is entered here, but {said} in another field. Clear one of the two."
            ).format(value=shown(field, entry, self.units), said=said)

    def _read(self, field: PlateField, typed: Mapping[str, str]) -> None:
        value, state = typed.get(f"plate-{field.key}", "").strip(), typed.get(f"state-{field.key}", "read")
        state = self._state(field, value, state)
        if state in UNREADABLE and value and not mark_of(value):
            self.errors[field.key] = _(
                "“{value}” is entered, but the field is marked {state}. Clear one of the two."
            ).format(value=value[:40], state=STATES[state])
            return
        value = "" if state in UNREADABLE else value
        entry, problem = read_entry(field, state, value, typed.get(f"unit-{field.key}", ""), self.units)
        if problem:
            self.errors[field.key] = problem
        elif entry is None:
            self.nameplate.pop(field.key, None)
        elif not _same_as_stored(entry, self.plate.get(field.key)):
            self.nameplate[field.key] = entry

    def _state(self, field: PlateField, value: str, state: str) -> str:
        """Return how a field was read: what was changed last says so, the mark in the field or the choice beside it."""
        before = (self.plate.get(field.key) or {}).get("state", "read")
        mark = mark_of(value)
        if mark:
            return state if state in UNREADABLE and state != before else mark
        # A figure typed over a mark was read, so was one whose mark was taken away; the choice beside it is what the
        # page was sent with.
        typed_over = UNREADABLE if field.kind == "choice" else (*UNREADABLE, "inferred")
        return "read" if value and state in typed_over and state == before else state

    def is_valid(self) -> bool:
        return not self.errors

    def refused(self) -> list[tuple[str, str | Promise, str]]:
        """Return key, label and reason of every refused field, in the order of the page."""
        return [(f.key, f.label, self.errors[f.key]) for f in FIELDS if f.key in self.errors]

    def groups(self, open_groups: frozenset[str]) -> list[PlateGroup]:
        """Return the page's groups; those named, those filled in and those with a refusal stand open."""
        groups = []
        for name, title in GROUPS:
            rows = [self._row(field) for field in FIELDS if field.group == name]
            filled = sum(1 for row in rows if row.value)
            refused = any(row.error for row in rows)
            groups.append(PlateGroup(name, title, rows, filled, name in open_groups or refused))
        return groups

    def _row(self, field: PlateField) -> PlateRow:
        entry = self.plate.get(field.key) or {}
        unit = str(entry.get("unit") or field.usual_unit(self.units).name)
        unit = OTHER_NAMES.get(unit, unit)
        state = str(entry.get("state", "read"))
        value = MARKS.get(state) or str(entry.get("typed", ""))
        if state == "inferred" and field.kind != "choice":
            value = f"{INFERRED_MARK}{value}"
        if self.typed is not None:
            value = self.typed.get(f"plate-{field.key}", "")
            unit = self.typed.get(f"unit-{field.key}", unit)
            state = self.typed.get(f"state-{field.key}", "read")
        units = [one.name for one in QUANTITIES[field.quantity]] if field.kind == "number" else []
        return PlateRow(
            key=field.key,
            label=field.label,
            kind=field.kind,
            value=value,
            unit=unit if field.kind == "number" else "",
            units=[(name, unit_words(name, self.units, field.quantity)) for name in units]
            if len(units) > 1
            else [],
            state=state,
            choices=field.choices,
            hint=field.accepted(self.units, unit if unit in units else ""),
            understood=self._understood(field, value),
            error=self.errors.get(field.key, ""),
        )

    def _understood(self, field: PlateField, value: str) -> str:
        """Say what was understood of a field that is not refused, where more was typed than a bare figure."""
        if field.key in self.errors or not value or (field.kind != "number" and not mark_of(value)):
            return ""
        entry = plate_entry(self.nameplate.get(field.key)) or {}
        is_bare = (
            entry.get("state") == "read" and entry.get("typed") == value.strip() and not has_several(value)
        )
        return "" if is_bare else shown(field, entry, self.units)


def _with_supply(typed: Mapping[str, str]) -> tuple[dict[str, str], dict[str, str]]:
    """Return what was typed with phases, hertz and volts in their own fields where one of them names all three."""
    spread, named = dict(typed.items()), dict[str, str]()
    for key in SUPPLY:
        found = supply_of(typed.get(f"plate-{key}", ""))
        for own, value in found.items():
            if own == key or not spread.get(f"plate-{own}", "").strip():
                spread[f"plate-{own}"] = value
            named[own] = value
    return spread, named
