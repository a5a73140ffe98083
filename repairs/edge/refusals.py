"""What the framework's own refusals say: which value is accepted, in the shop's words."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core import validators
from django.utils.translation import gettext_lazy


def say_refusals_plainly() -> None:
    """Give the framework's validators and fields sentences that tell a person what to enter."""
    validators.MinValueValidator.message = gettext_lazy("Enter %(limit_value)s or more.")
    validators.MaxValueValidator.message = gettext_lazy("Enter %(limit_value)s or less.")
    validators.MaxLengthValidator.message = gettext_lazy(
        "Use %(limit_value)d characters at most (you typed %(show_value)d)."
    )
    digits: dict[str, Any] = {
        "max_digits": gettext_lazy("Digits in all: %(max)s at most."),
        "max_decimal_places": gettext_lazy("Digits after the decimal point: %(max)s at most."),
        "max_whole_digits": gettext_lazy("Digits before the decimal point: %(max)s at most."),
    }
    validators.DecimalValidator.messages |= digits
    a_date = gettext_lazy("Enter a date such as 2026-11-30.")
    forms.DateField.default_error_messages = {"invalid": a_date, "required": a_date}
    say_what_is_required()


def say_what_is_required() -> None:
    """Let an empty field that must not be empty say what belongs in it."""
    required: dict[type[forms.Field], Any] = {
        forms.Field: gettext_lazy("Empty. Fill in this field."),
        forms.IntegerField: gettext_lazy("Empty. Enter a number."),
        forms.BooleanField: gettext_lazy("Check this box."),
        forms.ChoiceField: gettext_lazy("Choose one."),
        forms.ModelChoiceField: gettext_lazy("Choose one."),
        forms.FileField: gettext_lazy("Choose a file."),
    }
    for kind, words in required.items():
        kind.default_error_messages = {**kind.__dict__.get("default_error_messages", {}), "required": words}
