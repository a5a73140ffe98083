"""The generic entry for a reading, and its correction."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.edge.typed_numbers import NumberError, read_number, read_typed
from repairs.measurements.asked_readings import BY_CODE
from repairs.measurements.engineering.subjects import SUBJECTS
from repairs.measurements.limits import LARGEST, LEAST_ASKED, refused_number
from repairs.measurements.models import Reading, StandingLimit
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.units import bare_unit

# What a form took, by field.
Cleaned = dict[str, Any]
_WIDGET = {"inputmode": "decimal", "autocomplete": "off"}
_ACCEPTED = gettext_lazy("A number, up to 6 decimals")
_NOT_NEGATIVE = gettext_lazy("0 or more, up to 6 decimals")
_NEEDS_SOURCE = gettext_lazy(
    "Customer, drawing, standard with edition, or shop default. Without a source the reading is not checked."
)


class ReadingNumberField(forms.Field):
    """A number that is kept exactly, or refused with the range that is accepted.

    Where the form has a unit of its own, ``takes_unit`` lets one be typed behind the number as well: ``unit_behind``.
    """

    takes_unit = False
    unit_behind = ""
    # The number's own text, without a unit behind it.
    bare_text = ""

    def __init__(self, *, at_least: Decimal = -LARGEST, **options: Any) -> None:
        options.setdefault("widget", forms.TextInput(attrs=_WIDGET))
        options.setdefault("help_text", _ACCEPTED if at_least < 0 else _NOT_NEGATIVE)
        self.at_least = at_least
        super().__init__(**options)

    def to_python(self, value: Any) -> Decimal | None:
        text = str(value or "").strip()
        if text in self.empty_values:
            return None
        try:
            if self.takes_unit:
                number, self.unit_behind, self.bare_text = read_typed(text)
            else:
                number = read_number(text)
        except NumberError as error:
            raise ValidationError(str(error)) from error
        if message := refused_number(number, at_least=self.at_least):
            raise ValidationError(message)
        return number


class UnitBehind(forms.Form):
    """A form with a unit, which may be typed behind a number too; the two must be the same."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, ReadingNumberField):
                field.takes_unit = "unit" in self.fields

    def clean(self) -> Cleaned:
        data = super().clean() or {}
        for name, field in self.fields.items():
            if isinstance(field, ReadingNumberField) and field.unit_behind:
                self._settle(name, field.unit_behind, data)
        return data

    def _settle(self, name: str, behind: str, data: Cleaned) -> None:
        chosen = str(data.get("unit") or "")
        if not chosen and not str(self.data.get(self.add_prefix("unit"), "")).strip():
            data["unit"] = behind
            self.errors.pop("unit", None)
        elif chosen and bare_unit(chosen) != bare_unit(behind):
            words = _("Number typed in {behind}, unit set to {unit}. Which is it? Change one of them.")
            self.add_error(name, words.format(behind=behind[:20], unit=chosen))


class LimitsForm(UnitBehind):
    """A value and what it is held against."""

    value = ReadingNumberField(label=gettext_lazy("Value"))
    limit_low = ReadingNumberField(label=gettext_lazy("Min"), required=False)
    limit_high = ReadingNumberField(label=gettext_lazy("Max"), required=False)
    limit_source = forms.CharField(
        label=gettext_lazy("Limit source"), max_length=160, required=False, help_text=_NEEDS_SOURCE
    )
    instrument = forms.CharField(label=gettext_lazy("Instrument"), max_length=80, required=False)

    def clean(self) -> Cleaned:
        data = super().clean()
        low, high = data.get("limit_low"), data.get("limit_high")
        if low is not None and high is not None and low > high:
            self.add_error(
                "limit_low",
                _("The lower limit {low} is above the upper limit {high}.").format(low=low, high=high),
            )
        return data


class ReadingForm(LimitsForm):
    """What was measured, how much, in which unit, against which limit and where the limit comes from."""

    quantity = forms.CharField(label=gettext_lazy("Reading"), max_length=120)
    unit = forms.CharField(label=gettext_lazy("Unit"), max_length=20)
    moment = forms.ChoiceField(label=gettext_lazy("When"), choices=Reading.Moment.choices)
    note = forms.CharField(label=gettext_lazy("Note"), max_length=300, required=False)
    field_order = (
        "quantity",
        "value",
        "unit",
        "moment",
        "limit_low",
        "limit_high",
        "limit_source",
        "instrument",
        "note",
    )


class CorrectionForm(forms.Form):
    """The right value of a reading, and why the first one was wrong. Its limit stays."""

    value = ReadingNumberField(label=gettext_lazy("Value"))
    instrument = forms.CharField(label=gettext_lazy("Instrument"), max_length=80, required=False)
    reason = forms.CharField(label=gettext_lazy("Reason for correction"), max_length=300)


class LimitForm(forms.Form):
    """A limit of the shop's policy, or of one job's specification."""

    asked = forms.ChoiceField(
        label=gettext_lazy("Reading"),
        choices=[
            (WORDS[one.code].title, [(code, BY_CODE[code].label) for code in one.results]) for one in SUBJECTS
        ],
    )
    level = forms.ChoiceField(
        label=gettext_lazy("Whose limit"), choices=StandingLimit.Level.choices, required=False
    )
    low = ReadingNumberField(at_least=LEAST_ASKED, label=gettext_lazy("Min"), required=False)
    high = ReadingNumberField(at_least=LEAST_ASKED, label=gettext_lazy("Max"), required=False)
    unit = forms.ChoiceField(
        label=gettext_lazy("Unit"),
        choices=[(unit, unit) for unit in dict.fromkeys(u for one in BY_CODE.values() for u in one.units)],
    )
    source = forms.CharField(
        label=gettext_lazy("Limit source"),
        max_length=140,
        help_text=gettext_lazy("PO, drawing, or standard with year."),
    )

    def __init__(self, *args: Any, of_job: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not of_job:
            del self.fields["level"]

    def clean_level(self) -> str:
        """Return whose word the limit is; the customer's where nobody says."""
        return self.cleaned_data["level"] or StandingLimit.Level.CUSTOMER


class ConcessionForm(forms.Form):
    """Why the shop cannot run the motor, and who of the customer takes it so."""

    reason = forms.CharField(label=gettext_lazy("Why it cannot run here"), max_length=300)
    agreed_by = forms.CharField(label=gettext_lazy("Who consented (customer)"), max_length=120)
    agreed_on = forms.DateField(
        label=gettext_lazy("Consent date"), widget=forms.DateInput(attrs={"type": "date"})
    )
    agreed_how = forms.CharField(label=gettext_lazy("How consent was given"), max_length=120)
