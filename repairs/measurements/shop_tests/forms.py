"""The form of a shop test, made of the test's own fields: large rows, each a number with its unit, or a choice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Units, plain
from repairs.edge.typed_numbers import NumberError, read_typed
from repairs.measurements.engineering.shape import Field, Row, Subject, Value
from repairs.measurements.shop_tests.services import TestEntry
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords
from repairs.motors.units import QUANTITIES, Unit, preferred_unit, written_unit

YES_NO: Final = (("yes", gettext_lazy("yes")), ("no", gettext_lazy("no")))
LONGEST_TEXT: Final = 300
LONGEST_SERIES: Final = 200_000
_CELL: Final = {"inputmode": "decimal", "autocomplete": "off", "data-row": ""}


class MeasuredField(forms.CharField):
    """A number as it is read off an instrument, with another unit behind it where one is typed."""

    def __init__(self, field: Field, units: Units, **options: Any) -> None:
        super().__init__(required=False, max_length=40, widget=forms.TextInput(attrs=dict(_CELL)), **options)
        self.measured, self.units = field, units

    @property
    def unit(self) -> Unit:
        """The unit that stands beside the box."""
        return preferred_unit(self.measured.quantity, self.units)

    def clean(self, value: Any) -> tuple[float, dict[str, str]] | None:
        """Return the number in the canonical unit and what was typed; refuse what lies outside the range."""
        text = super().clean(value).strip()
        if not text:
            return None
        number, unit = self._read(text)
        si = unit.to_si(float(number))
        if not self.measured.low <= si <= self.measured.high:
            raise forms.ValidationError(self._range_words(number, unit))
        return si, {"typed": plain(float(number), 12), "unit": unit.name}

    def _read(self, text: str) -> tuple[float, Unit]:
        try:
            number, behind, _text = read_typed(text)
        except NumberError as error:
            raise forms.ValidationError(str(error)) from error
        if not behind:
            return float(number), self.unit
        unit = written_unit(self.measured.quantity, behind)
        if unit is None:
            names = ", ".join(one.name for one in QUANTITIES[self.measured.quantity] if one.name)
            other = _("“{unit}” is no unit of this reading. Use {units}.")
            words = other if names else _("Enter a number without a unit.")
            raise forms.ValidationError(words.format(unit=behind, units=names))
        return float(number), unit

    def _range_words(self, number: float, unit: Unit) -> str:
        low, high = (plain(unit.from_si(one), 4) for one in (self.measured.low, self.measured.high))
        words = _("{value} is out of range. Accepted: {low} to {high} {unit}.")
        return words.format(value=plain(number), low=low, high=high, unit=unit.name).replace(" .", ".")


class SeriesField(forms.CharField):
    """Readings over time, one line each: the columns in their order, apart by tabs, semicolons or blanks."""

    def __init__(self, field: Field, units: Units, **options: Any) -> None:
        super().__init__(
            required=False,
            max_length=LONGEST_SERIES,
            widget=forms.Textarea(attrs={"rows": 6, "autocomplete": "off", "data-series": ""}),
            **options,
        )
        self.measured, self.units = field, units

    def clean(self, value: Any) -> tuple[tuple[Row, ...], dict[str, Any]] | None:
        """Return the rows in canonical units; a dash or an empty cell was not read."""
        text = super().clean(value)
        lines = [line for line in text.splitlines() if line.strip()]
        if not lines:
            return None
        rows = tuple(self._row(number, line) for number, line in enumerate(lines, 1))
        return rows, {"typed": text, "unit": ""}

    def _row(self, number: int, line: str) -> Row:
        mark = ";" if ";" in line else "\t" if "\t" in line else None
        cells = [cell.strip() for cell in line.split(mark)]
        if len(cells) > len(self.measured.columns):
            words = _(
                "Line {number} has {count} values. Accepted: at most {most}, apart by blanks or semicolons."
            )
            raise forms.ValidationError(
                words.format(number=number, count=len(cells), most=len(self.measured.columns))
            )
        found: list[float | None] = []
        for column, cell in zip(self.measured.columns, cells, strict=False):
            try:
                read = None if cell in {"-", "–"} else MeasuredField(column, self.units).clean(cell)
            except forms.ValidationError as error:
                words = _("Line {number}: {error}")
                raise forms.ValidationError(words.format(number=number, error=error.messages[0])) from error
            found.append(None if read is None else read[0])
        return (*found, *[None] * (len(self.measured.columns) - len(found)))


class TestForm(forms.Form):
    """One shop test as it is typed. Its rules are shown, not asked."""

    __test__ = False
    instrument = forms.CharField(label=gettext_lazy("Instrument (tag)"), max_length=80, required=False)
    note = forms.CharField(label=gettext_lazy("Note"), max_length=300, required=False)
    reason = forms.CharField(label=gettext_lazy("Reason for correction"), max_length=300, required=False)

    def __init__(
        self,
        subject: Subject,
        words: SubjectWords,
        data: Mapping[str, Any] | None = None,
        *,
        units: Units = "si",
        initial: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__(data, initial=dict(initial or {}))
        self.subject, self.words, self.units = subject, words, units
        # A lead says what a figure is held to; nobody who measures is asked.
        self.asked = [field for field in subject.fields if not field.rule]
        for field in self.asked:
            self.fields[field.code] = self._field(field)
        self.order_fields([field.code for field in self.asked])

    def _field(self, field: Field) -> forms.Field:
        label = self.words.fields[field.code]
        hint = self.words.hints.get(field.code, "")
        if field.quantity in {"choice", "yes_no"}:
            own = [(one, self.words.choices[one]) for one in field.choices]
            choices = YES_NO if field.quantity == "yes_no" else own
            return forms.ChoiceField(
                label=label, required=False, choices=choices, widget=forms.RadioSelect, help_text=hint
            )
        if field.quantity == "text":
            return forms.CharField(label=label, required=False, max_length=LONGEST_TEXT, help_text=hint)
        if field.quantity == "series":
            columns = ", ".join(self._column(column) for column in field.columns)
            words = _("One line for each reading: {columns}.").format(columns=columns)
            return SeriesField(field, self.units, label=label, help_text=hint or words)
        return MeasuredField(field, self.units, label=label, help_text=hint)

    def _column(self, column: Field) -> str:
        name = self.words.fields[column.code]
        unit = preferred_unit(column.quantity, self.units).name if column.quantity in QUANTITIES else ""
        return f"{name} ({unit})" if unit else str(name)

    @property
    def rows(self) -> Iterator[forms.BoundField]:
        """The fields of the test, for the page."""
        for field in self.asked:
            yield self[field.code]

    def _read(self) -> Iterator[tuple[str, Value, Any]]:
        for field in self.asked:
            found = self.cleaned_data.get(field.code)
            if found in (None, ""):
                continue
            if isinstance(found, tuple):
                yield field.code, found[0], found[1]
            else:
                yield field.code, found, {"typed": found, "unit": ""}

    def entry(self, confirmed: Iterable[str] = ()) -> TestEntry:
        """Return what was entered; what cannot be read is left away, and is refused where the form is kept."""
        read = list(self._read())
        return TestEntry(
            test=self.subject.code,
            values={code: value for code, value, _typed in read},
            typed={code: typed for code, _value, typed in read},
            instrument=self.cleaned_data.get("instrument", ""),
            note=self.cleaned_data.get("note", ""),
            confirmed=tuple(confirmed),
        )


def initial_of(typed: Mapping[str, Any], units: Units, subject: Subject) -> dict[str, str]:
    """Return a kept test as it is typed into the form again: the figure, with its unit where it is another one."""
    quantities = {field.code: field.quantity for field in subject.fields}
    found = {}
    for code, entry in typed.items():
        text, unit = str(entry["typed"]), entry.get("unit", "")
        quantity = quantities.get(code, "")
        usual = preferred_unit(quantity, units).name if quantity in QUANTITIES else ""
        found[code] = f"{text} {unit}" if unit and unit != usual else text
    return found


def value_words(value: Value | None, quantity: str, units: Units, words: SubjectWords) -> str:
    """Return a kept entry in the reader's units."""
    if isinstance(value, str):
        return str(words.choices.get(value, {"yes": _("yes"), "no": _("no")}.get(value, value)))
    if isinstance(value, int | float) and quantity in QUANTITIES:
        return Written(units).of(value, quantity)
    return ""
