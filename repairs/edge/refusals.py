"""What the framework's own refusals say: which value is accepted, in the shop's words."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core import validators
from django.utils.translation import gettext_lazy, ngettext_lazy


def say_refusals_plainly() -> None:
    """Give the framework's validators and fields sentences that tell a person what to enter."""
    validators.MinValueValidator.message = gettext_lazy("Enter %(limit_value)s or more.")
    validators.MaxValueValidator.message = gettext_lazy("Enter %(limit_value)s or less.")
    validators.MaxLengthValidator.message = ngettext_lazy(
        "Use %(limit_value)d character at most (you typed %(show_value)d).",
        "Use %(limit_value)d characters at most (you typed %(show_value)d).",
        "limit_value",
    )
    digits: dict[str, Any] = {
        "max_digits": ngettext_lazy("Use %(max)s digit at most.", "Use %(max)s digits at most.", "max"),
        "max_decimal_places": ngettext_lazy(
            "Use %(max)s decimal at most.", "Use %(max)s decimals at most.", "max"
        ),
        "max_whole_digits": ngettext_lazy(
            "Use %(max)s digit at most before the decimal point.",
            "Use %(max)s digits at most before the decimal point.",
            "max",
        ),
    }
    validators.DecimalValidator.messages |= digits
    forms.DateField.default_error_messages = {"invalid": gettext_lazy("Enter a date such as 2026-11-30.")}
