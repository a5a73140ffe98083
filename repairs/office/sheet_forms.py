"""Forms of a step's sheet and of an instrument."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Units, plain
from repairs.measurements.engineering.shape import Field
from repairs.measurements.engineering.subjects import SUBJECTS
from repairs.measurements.shop_tests.forms import MeasuredField
from repairs.measurements.shop_tests.sheets import OwnRow, Sheet, TestRow
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.units import preferred_unit

# Kinds of numbers that a shop's own row is in, by quantity.
QUANTITY_WORDS: Final = {
    "plain": gettext_lazy("number"),
    "small_length": gettext_lazy("size"),
    "temperature": gettext_lazy("temperature"),
    "torque": gettext_lazy("torque"),
    "force": gettext_lazy("force"),
    "volume": gettext_lazy("volume"),
    "mass": gettext_lazy("weight"),
    "insulation": gettext_lazy("insulation resistance"),
    "resistance": gettext_lazy("resistance"),
    "voltage": gettext_lazy("voltage"),
    "current": gettext_lazy("current"),
    "speed": gettext_lazy("speed"),
    "percent": gettext_lazy("percent"),
    "minutes": gettext_lazy("minutes"),
}
ANSWERS: Final = (
    ("number", gettext_lazy("number")),
    ("yes_no", gettext_lazy("yes or no")),
    ("text", gettext_lazy("words")),
)
BLANK_ROWS: Final = 2


class InstrumentForm(forms.Form):
    """An instrument's tag, what it is, when its calibration is due."""

    tag = forms.CharField(label=gettext_lazy("Tag"), max_length=40)
    name = forms.CharField(label=gettext_lazy("What it is"), max_length=80)
    calibration_due = forms.DateField(
        label=gettext_lazy("Calibration due"), required=False, widget=forms.DateInput(attrs={"type": "date"})
    )
    active = forms.BooleanField(label=gettext_lazy("In use"), required=False, initial=True)


class SheetForm(forms.Form):
    """A step's sheet: which tests, which results must pass, and the shop's own rows."""

    def __init__(self, data: Mapping[str, Any] | None = None, *, sheet: Sheet, units: Units) -> None:
        super().__init__(data)
        self.units, self.sheet = units, sheet
        asked = {row.test: set(row.required) for row in sheet.tests}
        for place, subject in enumerate(self._ordered()):
            code, words = subject.code, WORDS[subject.code]
            self.fields[f"test-{code}"] = forms.BooleanField(
                label=words.title, required=False, initial=code in asked
            )
            self.fields[f"place-{code}"] = forms.IntegerField(
                label=_("Place of {test}").format(test=words.title), min_value=1, max_value=99, initial=place + 1,
                required=False,
            )  # fmt: skip
            choices = [(result, words.results[result]) for result in subject.results]
            self.fields[f"required-{code}"] = forms.MultipleChoiceField(
                label=_("Must be measured"),
                required=False,
                choices=choices,
                initial=sorted(asked.get(code, ())),
                widget=forms.CheckboxSelectMultiple,
            )
        self.count = self._count()
        for number in range(self.count):
            self._add_row(number, sheet.own[number] if number < len(sheet.own) else None)

    def _ordered(self) -> list[Any]:
        order = {row.test: place for place, row in enumerate(self.sheet.tests)}
        return sorted(SUBJECTS, key=lambda one: order.get(one.code, len(order)))

    def _count(self) -> int:
        shown = len(self.sheet.own) + BLANK_ROWS
        while self.data and f"label-{shown}" in self.data:
            shown += 1
        return shown + (BLANK_ROWS if self.data.get("do") == "more" else 0)

    def _add_row(self, number: int, row: OwnRow | None) -> None:
        quantity = row.quantity if row else "plain"
        units = [(one, self._quantity(one)) for one in dict.fromkeys((*QUANTITY_WORDS, quantity))]
        made: dict[str, forms.Field] = {
            "label": forms.CharField(label=_("Row"), max_length=100, required=False, initial=row.label if row else ""),
            "answer": forms.ChoiceField(label=_("Answer"), choices=ANSWERS, initial=row.answer if row else "number"),
            "quantity": forms.ChoiceField(label=_("Unit"), choices=units, initial=quantity),
            "low": forms.CharField(label=_("Min"), max_length=40, required=False, initial=self._limit(row, "low")),
            "high": forms.CharField(label=_("Max"), max_length=40, required=False, initial=self._limit(row, "high")),
            "must": forms.ChoiceField(
                label=_("Must be"), required=False, initial=row.must if row else "",
                choices=[("", _("any")), ("yes", _("yes")), ("no", _("no"))],
            ),
            "required": forms.BooleanField(label=_("Required"), required=False, initial=bool(row and row.required)),
        }  # fmt: skip
        for name, field in made.items():
            self.fields[f"{name}-{number}"] = field

    def _quantity(self, quantity: str) -> str:
        words = str(QUANTITY_WORDS.get(quantity, quantity))
        unit = preferred_unit(quantity, self.units).name
        return f"{words} ({unit})" if unit else words

    def _limit(self, row: OwnRow | None, name: str) -> str:
        value = getattr(row, name) if row else None
        if row is None or value is None:
            return ""
        return plain(preferred_unit(row.quantity, self.units).from_si(value))

    def clean(self) -> dict[str, Any]:
        """Read the limits of the shop's own rows in their units."""
        data = super().clean() or {}
        for number in range(self.count):
            quantity = data.get(f"quantity-{number}") or "plain"
            field = MeasuredField(Field("own", quantity, -1e9, 1e9), self.units)
            for name in ("low", "high"):
                try:
                    read = field.clean(data.get(f"{name}-{number}", ""))
                except forms.ValidationError as error:
                    self.add_error(f"{name}-{number}", error)
                    continue
                data[f"{name}-{number}"] = None if read is None else read[0]
        return data

    @property
    def test_rows(self) -> list[tuple[forms.BoundField, forms.BoundField, forms.BoundField]]:
        """Box, place and required results of every test, for the page."""
        codes = [subject.code for subject in self._ordered()]
        return [(self[f"test-{code}"], self[f"place-{code}"], self[f"required-{code}"]) for code in codes]

    @property
    def own_rows(self) -> list[dict[str, forms.BoundField]]:
        """The boxes of each own row, for the page."""
        names = ("label", "answer", "quantity", "low", "high", "must", "required")
        return [{name: self[f"{name}-{number}"] for name in names} for number in range(self.count)]

    def tests(self) -> list[TestRow]:
        """Return the tests that were chosen, in their order."""
        data = self.cleaned_data
        chosen = [one.code for one in self._ordered() if data.get(f"test-{one.code}")]
        chosen.sort(key=lambda code: data.get(f"place-{code}") or 99)
        return [TestRow(code, tuple(data[f"required-{code}"])) for code in chosen]

    def own(self) -> list[OwnRow]:
        """Return the shop's own rows; one whose name is empty goes."""
        data = self.cleaned_data
        found = []
        for number in range(self.count):
            label = (data.get(f"label-{number}") or "").strip()
            before = self.sheet.own[number] if number < len(self.sheet.own) else None
            if not label:
                continue
            answer = data[f"answer-{number}"]
            is_number = answer == "number"
            found.append(
                OwnRow(
                    code=before.code if before else "",
                    label=label,
                    answer=answer,
                    quantity=data[f"quantity-{number}"] if is_number else "plain",
                    low=data[f"low-{number}"] if is_number else None,
                    high=data[f"high-{number}"] if is_number else None,
                    must=data[f"must-{number}"] if answer == "yes_no" else "",
                    required=data[f"required-{number}"],
                )
            )
        return found
