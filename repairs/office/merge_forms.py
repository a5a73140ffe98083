"""The form that confirms a merge."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from repairs.office.customer_forms import KeyedForm


class MergeForm(KeyedForm):
    """Which record goes, as which versions both were seen, and the word that they are one."""

    merged = forms.IntegerField(widget=forms.HiddenInput)
    kept_version = forms.IntegerField(widget=forms.HiddenInput)
    merged_version = forms.IntegerField(widget=forms.HiddenInput)
    confirmed = forms.BooleanField(
        label=_("I compared both records: they are the same."),
        error_messages={"required": _("Compare both records and check this box.")},
    )
