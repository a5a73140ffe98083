"""Forms about people."""

from __future__ import annotations

from django import forms
from django.conf import settings
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.utils.translation import gettext_lazy as _

from repairs.people.models import User
from repairs.people.permissions import Role

PASSWORD_HINT = _("At least 8 characters. Not all digits, not a common word, not the name.")


def _password_field() -> forms.CharField:
    widget = forms.PasswordInput(attrs={"autocomplete": "new-password"})
    return forms.CharField(
        label=_("Password"), widget=widget, strip=False, max_length=128, help_text=PASSWORD_HINT
    )


class SettingsForm(forms.Form):
    """What people set for themselves."""

    units = forms.ChoiceField(label=_("Units"), choices=User.Units.choices)
    language = forms.ChoiceField(label=_("Language"), choices=settings.LANGUAGES)
    version = forms.IntegerField(widget=forms.HiddenInput)


class PersonForm(SettingsForm):
    """What an administrator sets for a person."""

    first_name = forms.CharField(label=_("First name"), max_length=150)
    last_name = forms.CharField(label=_("Last name"), max_length=150, required=False)
    role = forms.ChoiceField(label=_("Role"), choices=Role.choices)
    is_active = forms.BooleanField(
        label=_("Active (can sign in)"),
        required=False,
        help_text=_("Turn this off when someone leaves. What they signed stays under their name."),
    )
    field_order = ("first_name", "last_name", "role", "units", "language", "is_active")


class NewPersonForm(forms.Form):
    """Somebody who is not in the list yet."""

    username = forms.CharField(
        label=_("Sign-in name"),
        max_length=150,
        validators=[UnicodeUsernameValidator()],
        help_text=_("Letters, digits and @ . + - _ only."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    first_name = forms.CharField(label=_("First name"), max_length=150)
    last_name = forms.CharField(label=_("Last name"), max_length=150, required=False)
    role = forms.ChoiceField(label=_("Role"), choices=Role.choices, initial=Role.TECHNICIAN)
    units = forms.ChoiceField(
        label=_("Units"), choices=User.Units.choices, initial=lambda: settings.SHOP_UNITS
    )
    language = forms.ChoiceField(label=_("Language"), choices=settings.LANGUAGES)
    password = _password_field()
    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64)


class PasswordForm(forms.Form):
    """A new password."""

    password = _password_field()
    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64)
