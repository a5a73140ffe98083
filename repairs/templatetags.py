"""Filters of the project's templates: figures in the shop's style, what a refused form lost."""

from __future__ import annotations

import json
from decimal import Decimal

from django import forms, template
from django.conf import settings

from bearings.public import Figures, exact, grouped, percent_sign, plain

register = template.Library()


@register.filter
def spaced(value: float | int | None, digits: int = 0) -> str:
    """Write a number with its thousands apart as the shop does: 1,780; an unknown one as a dash."""
    if value is None:
        return "–"
    return grouped(value, digits)


@register.filter
def exactly(value: Decimal | float | None) -> str:
    """Write a number as exactly as it was kept, with its thousands apart; an unknown one as a dash."""
    if value is None:
        return "–"
    return exact(value) if isinstance(value, Decimal) else plain(value)


def _figures(units: str) -> Figures:
    return Figures("us" if units == "us" else "si")


@register.filter
def degrees(celsius: Decimal | float, units: str) -> str:
    """Write a temperature in its reader's unit."""
    return _figures(units).temperature(float(celsius))


@register.filter
def standard_degrees(celsius: float, units: str) -> str:
    """Write a temperature that a standard gives in °C: 68 °F (20 °C)."""
    return _figures(units).standard_temperature(celsius)


@register.filter
def degrees_apart(kelvins: float, units: str) -> str:
    """Write a difference of temperatures in its reader's unit."""
    return _figures(units).difference(kelvins)


@register.simple_tag
def shop_style() -> str:
    """Return what scripts need to write times and numbers as the shop does: hour cycle, zone, thousands, percent."""
    us = settings.SHOP_UNITS == "us"
    return json.dumps(["h12" if us else "h23", settings.TIME_ZONE, grouped(1000)[1:-3], percent_sign()])


@register.filter
def comes_back_empty(form: forms.BaseForm) -> bool:
    """Whether a refused form holds a password or PIN, which no page shows again."""
    return any(isinstance(field.widget, forms.PasswordInput) for field in form.fields.values())


@register.filter
def lookup(mapping: dict[str, object], key: str) -> object:
    """Return a mapping's value by a key that the template holds in a variable."""
    return mapping.get(key)
