"""The fields that a PIN is typed into."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.validators import RegexValidator
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from repairs.people.pin_rules import FEWEST_DIGITS, MOST_DIGITS


class PinInput(forms.PasswordInput):
    """Never shown again, and not of the kind that a browser offers to keep: several people share this one."""

    input_type = "text"


def pin_field(label: Any) -> forms.CharField:
    """Return a field for a PIN; the numeric keys come up by themselves where no script draws them."""
    words = format_lazy(_("A PIN has {fewest} to {most} digits."), fewest=FEWEST_DIGITS, most=MOST_DIGITS)
    attributes = {
        "inputmode": "numeric", "autocomplete": "off", "class": "pin__digits", "enterkeyhint": "go",
        "maxlength": MOST_DIGITS,
    }  # fmt: skip
    # One rule for length and figures: a PIN that is too long is refused once.
    return forms.CharField(
        label=label,
        validators=[RegexValidator(rf"\A[0-9]{{{FEWEST_DIGITS},{MOST_DIGITS}}}\Z", words)],
        widget=PinInput(attrs=attributes),
    )


class NewPinForm(forms.Form):
    """A PIN that a person chooses in place of the one they were given."""

    pin = pin_field(_("New PIN"))
    again = pin_field(_("Repeat new PIN"))

    def clean(self) -> dict[str, object]:
        """Both must be the same, because nobody sees what they type."""
        cleaned: dict[str, object] = super().clean() or {}
        if not self.errors and cleaned["pin"] != cleaned["again"]:
            self.add_error("again", _("The PINs do not match. Enter the same digits twice."))
        return cleaned
