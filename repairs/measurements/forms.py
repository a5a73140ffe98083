"""The generic entry for a reading."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from repairs.measurements.models import Reading

_DECIMAL = {"inputmode": "decimal", "autocomplete": "off"}


def _number(label: Any, *, required: bool) -> forms.DecimalField:
    return forms.DecimalField(
        label=label,
        required=required,
        max_digits=18,
        decimal_places=6,
        widget=forms.TextInput(attrs=_DECIMAL),
        help_text=_("a number, with a point before decimals"),
    )


class ReadingForm(forms.Form):
    """What was measured, how much, in which unit, against which limit and where the limit comes from."""

    quantity = forms.CharField(label=_("What was measured"), max_length=120)
    value = _number(_("Value"), required=True)
    unit = forms.CharField(label=_("Unit"), max_length=20)
    moment = forms.ChoiceField(label=_("When"), choices=Reading.Moment.choices)
    limit_low = _number(_("At least"), required=False)
    limit_high = _number(_("At most"), required=False)
    limit_source = forms.CharField(
        label=_("Source of the limit"),
        max_length=160,
        required=False,
        help_text=_(
            "customer, drawing, standard with edition, or shop default; without it the reading is not checked"
        ),
    )
    instrument = forms.CharField(label=_("Instrument"), max_length=80, required=False)
    note = forms.CharField(label=_("Note"), max_length=300, required=False)
