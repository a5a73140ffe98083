"""The commissioning sheet as a form, and what was entered on it in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Any, Final

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Units
from repairs.documents.models import StartUpRecord
from repairs.documents.site_fields import BY_CODE, SiteField
from repairs.documents.start_up_records import SiteEntry
from repairs.measurements.shop_tests.forms import MeasuredField
from repairs.measurements.words.figures import Written
from repairs.motors.units import QUANTITIES

# A start-up is written down when it is made, or copied from paper later.
OLDEST: Final = timedelta(days=3 * 365)


class StartUpForm(forms.Form):
    """What is checked at the site; every entry may stay blank, not all of them."""

    name = forms.CharField(label=gettext_lazy("Your name"), max_length=80)
    done_on = forms.DateField(
        label=gettext_lazy("Date of start-up"), widget=forms.DateInput(attrs={"type": "date"})
    )
    note = forms.CharField(
        label=gettext_lazy("Remarks"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(
        self, asked: Sequence[SiteField], data: Mapping[str, Any] | None = None, *, units: Units = "si"
    ) -> None:
        super().__init__(data)
        self.asked = list(asked)
        for field in self.asked:
            self.fields[field.code] = _form_field(field, units)

    def clean_done_on(self) -> date:
        """Refuse a day that lies ahead or far back: it is a slip of the hand."""
        on: date = self.cleaned_data["done_on"]
        today = timezone.localdate()
        # Where the site is a day ahead of the shop, its today is not refused.
        if not today - OLDEST <= on <= today + timedelta(days=1):
            raise forms.ValidationError(_("Enter a date that is not in the future and at most 3 years back."))
        return on

    def clean(self) -> dict[str, Any]:
        """Refuse a sheet without any entry."""
        found: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors and not any(True for _entry in self._read()):
            raise forms.ValidationError(_("Enter at least one check."))
        return found

    def _read(self) -> Iterator[tuple[str, Any]]:
        for field in self.asked:
            value = self.cleaned_data.get(field.code)
            if value in (None, ""):
                continue
            if isinstance(value, tuple):
                number, typed = value
                yield field.code, {**typed, "value": number}
            else:
                yield field.code, {"choice": value}

    def entry(self) -> SiteEntry:
        """Return what was entered."""
        return SiteEntry(
            name=self.cleaned_data["name"],
            done_on=self.cleaned_data["done_on"],
            entries=dict(self._read()),
            note=self.cleaned_data["note"],
        )


def _form_field(field: SiteField, units: Units) -> forms.Field:
    if field.choices:
        return forms.ChoiceField(
            label=str(field.label), required=False, choices=field.choices, widget=forms.RadioSelect
        )
    return MeasuredField(field.measured, units, label=str(field.label))


def entered_rows(record: StartUpRecord, units: Units) -> list[tuple[str, str]]:
    """Return what was entered, in the order of the sheet, in the reader's units."""
    return [
        (str(field.label), _words(field, record.entries[code], units))
        for code, field in BY_CODE.items()
        if code in record.entries
    ]


def _words(field: SiteField, entry: Mapping[str, Any], units: Units) -> str:
    if "choice" in entry:
        return str(dict(field.choices).get(entry["choice"], entry["choice"]))
    if field.quantity not in QUANTITIES:
        return str(entry.get("typed", ""))
    return Written(units).of(entry["value"], field.quantity)
