"""Forms of signing in at a shared tablet."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from repairs.people.pin_forms import pin_field


class PinForm(forms.Form):
    """The PIN of whoever was picked."""

    pin = pin_field(_("PIN"))


class PasswordForm(forms.Form):
    """The password, where the PIN is shut or forgotten."""

    password = forms.CharField(
        label=_("Password"),
        strip=False,
        max_length=128,
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
    )


class CodeForm(forms.Form):
    """The code that enrols a tablet."""

    code = forms.CharField(
        label=_("Code"),
        max_length=20,
        help_text=_("Twelve letters and digits. Capitals and dashes do not matter."),
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}
        ),
    )
