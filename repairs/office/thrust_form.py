"""The thrust sheet as a form: every value optional, each in its own unit; nothing typed is lost when it is refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from bearings.public import (
    Figures,
    ThrustQuestion,
    ThrustResult,
    Units,
    thrust_question_sentence,
    thrust_questions,
    work_out_thrust,
)
from repairs.motors.nameplate import read_entry
from repairs.motors.plate_fields import PlateField
from repairs.motors.thrust_fields import FIELDS, GROUPS, inputs_of
from repairs.motors.units import QUANTITIES, preferred_unit, unit_words
from repairs.office.customer_forms import KeyedForm, VersionedForm


class SheetForm(VersionedForm):
    """What a save says beside the figures."""

    reason = forms.CharField(label=_("Reason for the change"), max_length=200, required=False)


class SignForm(VersionedForm):
    """A signature under the revision that was shown."""


class UseForm(KeyedForm, VersionedForm):
    """Which figure is to stand on the motor, field by field."""

    motor_version = forms.IntegerField(widget=forms.HiddenInput)


@dataclass(frozen=True, slots=True)
class ThrustRow:
    """One field as the page shows it."""

    key: str
    label: str | Promise
    kind: str
    value: str
    unit: str
    units: list[tuple[str, str]]
    choices: tuple[tuple[str, str | Promise], ...]
    hint: str
    error: str


class ThrustForm:
    """What is typed about a pump and its motor; fields that are refused count as unknown in the figures shown."""

    def __init__(self, typed: Mapping[str, str] | None, stored: Mapping[str, Any], units: Units) -> None:
        self.typed, self.stored, self.units = typed, stored, units
        self.errors: dict[str, str] = {}
        self.entries: dict[str, Any] = dict(stored) if typed is None else {}
        if typed is not None:
            for field in FIELDS:
                self._read(field, typed)

    def _read(self, field: PlateField, typed: Mapping[str, str]) -> None:
        value, unit = typed.get(f"thrust-{field.key}", ""), typed.get(f"unit-{field.key}", "")
        entry, problem = read_entry(field, "read", value, unit, self.units)
        if problem:
            self.errors[field.key] = problem
        elif entry is not None:
            self.entries[field.key] = entry

    def is_valid(self) -> bool:
        return not self.errors

    def result(self) -> ThrustResult:
        """Return what follows from the figures as they stand."""
        return work_out_thrust(inputs_of(self.entries))

    def questions(self) -> tuple[ThrustQuestion, ...]:
        """Return what looks unlikely about them."""
        return thrust_questions(inputs_of(self.entries), self.result())

    def asked(self, confirmed: frozenset[str]) -> list[dict[str, object]]:
        """Return the questions in words, with whether a person said already that the figure is right."""
        labels = {field.key: field.label for field in FIELDS}
        return [
            {
                "code": one.code,
                "key": one.about,
                "label": labels[one.about],
                "text": thrust_question_sentence(one, Figures(self.units, exact=True)),
                "confirmed": one.code in confirmed,
            }
            for one in self.questions()
        ]

    def refused(self) -> list[tuple[str, str | Promise, str]]:
        """Return key, label and reason of every refused field, in the order of the page."""
        return [(f.key, f.label, self.errors[f.key]) for f in FIELDS if f.key in self.errors]

    def groups(self) -> list[dict[str, object]]:
        """Return the page's groups with their rows."""
        return [
            {"name": name, "title": title, "rows": [self._row(f) for f in FIELDS if f.group == name]}
            for name, title in GROUPS
        ]

    def _row(self, field: PlateField) -> ThrustRow:
        entry = self.stored.get(field.key) or {}
        unit = str(entry.get("unit") or preferred_unit(field.quantity, self.units).name)
        value = str(entry.get("typed", ""))
        if self.typed is not None:
            value = self.typed.get(f"thrust-{field.key}", "")
            unit = self.typed.get(f"unit-{field.key}", unit)
        names = [one.name for one in QUANTITIES[field.quantity]] if field.kind == "number" else []
        return ThrustRow(
            key=field.key,
            label=field.label,
            kind=field.kind,
            value=value,
            unit=unit if field.kind == "number" else "",
            units=[(name, unit_words(name, self.units, field.quantity)) for name in names]
            if len(names) > 1
            else [],
            choices=field.choices,
            hint=field.accepted(self.units, unit if unit in names else ""),
            error=self.errors.get(field.key, ""),
        )
