"""Forms of the re-checks: have all stacks checked again, say that a change was seen."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from repairs.rechecks.models import Recheck

ASKED_BY_PEOPLE = (Recheck.Why.EDITION, Recheck.Why.RATING, Recheck.Why.HAND)


class StartForm(forms.Form):
    """Why all stacks are checked again; a reason that no button sends counts as asked for by hand."""

    form_key = forms.CharField(max_length=64)
    why = forms.CharField(required=False, max_length=10)
    about = forms.CharField(required=False, max_length=200)

    def clean_why(self) -> str:
        why = str(self.cleaned_data["why"])
        return why if why in ASKED_BY_PEOPLE else str(Recheck.Why.HAND)


class SeenForm(forms.Form):
    """What is done about a change."""

    note = forms.CharField(
        label=_("Action taken"),
        required=False,
        max_length=300,
        help_text=_("Required for a stack that became STOP. At most 300 characters."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
