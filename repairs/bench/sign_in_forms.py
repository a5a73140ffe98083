"""Forms of signing in at a shared tablet."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.validators import RegexValidator
from django.utils.translation import gettext_lazy as _

from repairs.people.pin_rules import FEWEST_DIGITS, MOST_DIGITS


class PinInput(forms.PasswordInput):
    """Never shown again, and not of the kind that a browser offers to keep: several people share this one."""

    input_type = "text"


def pin_field(label: Any) -> forms.CharField:
    """Return a field for a PIN; the numeric keys come up by themselves where no script draws them."""
    words = _("A PIN is made of %(fewest)d to %(most)d figures.") % {
        "fewest": FEWEST_DIGITS,
        "most": MOST_DIGITS,
    }
    attributes = {"inputmode": "numeric", "autocomplete": "off", "class": "pin__digits", "enterkeyhint": "go"}
    return forms.CharField(
        label=label,
        max_length=MOST_DIGITS,
        validators=[RegexValidator(rf"\A[0-9]{{{FEWEST_DIGITS},{MOST_DIGITS}}}\Z", words)],
        widget=PinInput(attrs=attributes),
        error_messages={"max_length": words},
    )


class PinForm(forms.Form):
    """The PIN of whoever was picked."""

    pin = pin_field(_("PIN"))


class NewPinForm(forms.Form):
    """A PIN that a person chooses in place of the one they were given."""

    pin = pin_field(_("Your new PIN"))
    again = pin_field(_("The same once more"))

    def clean(self) -> dict[str, object]:
        """Both must be the same, because nobody sees what they type."""
        cleaned: dict[str, object] = super().clean() or {}
        if not self.errors and cleaned["pin"] != cleaned["again"]:
            self.add_error("again", _("This differs from the first one. Type the same figures twice."))
        return cleaned


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
        help_text=_("Ten letters and figures; capitals and the dash make no difference."),
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}
        ),
    )
