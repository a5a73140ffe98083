"""Filters of the project's templates: figures in the shop's style, what a refused form lost."""

from __future__ import annotations

from django import forms, template

from bearings.public import grouped

register = template.Library()


@register.filter
def spaced(value: float | int | None, digits: int = 0) -> str:
    """Write a number with its thousands apart as the shop does: 1,780; an unknown one as a dash."""
    if value is None:
        return "–"
    return grouped(value, digits)


@register.filter
def comes_back_empty(form: forms.BaseForm) -> bool:
    """Whether a refused form holds a password or PIN, which no page shows again."""
    return any(isinstance(field.widget, forms.PasswordInput) for field in form.fields.values())


@register.filter
def lookup(mapping: dict[str, object], key: str) -> object:
    """Return a mapping's value by a key that the template holds in a variable."""
    return mapping.get(key)
