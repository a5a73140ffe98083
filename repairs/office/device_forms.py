"""Forms about shared tablets and PINs."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from repairs.people.pin_forms import NewPinForm


class OwnPinForm(NewPinForm):
    """A PIN that a person chooses in the office, where the password shows who it is."""

    password = forms.CharField(
        label=_("Your password"),
        strip=False,
        max_length=128,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )
    field_order = ("password", "pin", "again")


class OwnPasswordForm(forms.Form):
    """A new password, and the one before to show who it is."""

    password = forms.CharField(
        label=_("Current password"),
        strip=False,
        max_length=128,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password", "id": "id_password_now"}),
    )
    new = forms.CharField(
        label=_("New password"),
        strip=False,
        max_length=128,
        help_text=_("At least 8 characters. Not all digits, not a common password."),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    again = forms.CharField(
        label=_("Repeat new password"),
        strip=False,
        max_length=128,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password", "id": "id_new_again"}),
    )

    def clean_again(self) -> str:
        again = str(self.cleaned_data["again"])
        if "new" in self.cleaned_data and again != self.cleaned_data["new"]:
            raise forms.ValidationError(_("The two new passwords do not match. Type both again."))
        return again


class KeyForm(forms.Form):
    """A button that does something once."""

    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64)


class NewDeviceForm(KeyForm):
    """A tablet that is not in the list yet."""

    name = forms.CharField(
        label=_("Tablet name"),
        max_length=60,
        help_text=_(
            "Where it is kept, such as Bench 2 or Winding room. Every entry made on it shows this name."
        ),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


class UnlockForm(KeyForm):
    """Why somebody else's PIN is opened again."""

    note = forms.CharField(
        label=_("Identity confirmed by"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
