"""What the pages of the bearing book show of ratings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NotRequired, TypedDict

from django import forms
from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from bearings.public import (
    Assembly,
    Bearing,
    Figures,
    Rating,
    field_label,
    field_spec,
    parse_item,
    plain,
    rating_as_bearing,
    rating_figures,
    type_name,
)
from repairs.motors.spec_figures import figure_words
from repairs.office.book_forms import GROUPS
from repairs.work_orders.judging import ONE_WAY_TYPES
from repairs.work_orders.picturing import picture

Rows = list[dict[str, object]]


def rating_rows(ratings: Iterable[Rating]) -> Rows:
    """Return ratings as lines of a table: what each is, its size, and the speeds that tell variants apart."""
    rows = []
    for rating in ratings:
        figures = rating_figures(rating)
        rows.append(
            {
                "rating": rating,
                "inside": " · ".join(word for word in (rating.variant, rating.cage) if word),
                "type": kind_words(rating),
                "envelope": _envelope(rating),
                "limiting": _shown(rating, figures, "limiting_speed_rpm"),
                "reference": _shown(rating, figures, "reference_speed_rpm"),
                "dynamic": _shown(rating, figures, "dynamic_rating_n"),
            }
        )
    return rows


def kind_words(rating: Rating) -> str:
    """Return the trade's name of a rating's type."""
    kind: Any = rating.type
    return type_name(kind)


def _envelope(rating: Rating) -> str:
    sizes = (rating.bore_mm, rating.outside_diameter_mm, rating.height_mm)
    return " × ".join("?" if size is None else plain(size) for size in sizes) if any(sizes) else ""


def _shown(rating: Rating, figures: Mapping[str, Any], name: str) -> str:
    if name in figures:
        return plain(figures[name])
    return _("not printed") if name in rating.not_printed else _("not entered")


class FigureRow(TypedDict):
    """One figure of the book in words, or why there is none."""

    label: str
    absent: NotRequired[str]
    text: NotRequired[str]
    also: NotRequired[str]


def figure_rows(rating: Rating, units: str) -> list[tuple[Any, list[FigureRow]]]:
    """Return every figure of a rating, group by group, or that it is not printed or not entered yet."""
    figures = rating_figures(rating)
    reader = Figures("us" if units == "us" else "si", exact=True)
    return [
        (title, [_figure_row(rating, figures, name, reader) for name in names]) for title, names in GROUPS
    ]


def _figure_row(rating: Rating, figures: Mapping[str, Any], name: str, reader: Figures) -> FigureRow:
    label = capfirst(field_label(name).partition(",")[0])
    if name not in figures:
        return {"label": label, "absent": _shown(rating, figures, name)}
    value = figures[name]
    return {"label": label, "text": figure_words(name, value), "also": _in_us_units(name, value, reader)}


def _in_us_units(name: str, value: Any, reader: Figures) -> str:
    unit = field_spec("bearing", name).unit
    # The factor A stands in a formula of its own units; a converted one would only be mistaken for a force.
    if reader.units != "us" or unit not in {"N", "mm", "degC"} or name == "minimum_load_factor_n":
        return ""
    return reader.of(value, unit)


def drawing_of(rating: Rating, units: str) -> SafeString:
    """Return the section of the single bearing; one that carries one way is drawn with its wide face down."""
    face = {"wide_face": "down"} if rating.type in ONE_WAY_TYPES else {}
    item, _mistakes = parse_item({**rating_as_bearing(rating), **face})
    if not isinstance(item, Bearing):
        return SafeString()
    # Made by bearings.drawing, which escapes every text.
    return mark_safe(picture(Assembly(items=(item,)), units=units, prefix="bearing", size="compact"))


def differing_fields(stored: forms.Form, typed: forms.Form) -> list[tuple[str, str, str]]:
    """Return (label, what is stored now, what was typed) of every field that differs."""
    rows = []
    for name, field in typed.fields.items():
        if isinstance(field.widget, forms.HiddenInput) or name == "as_printed":
            continue
        now, mine = stored[name].value(), typed[name].value()
        if field.clean(now) != field.clean(mine):
            rows.append((_label(typed, name), _said(field, now), _said(field, mine)))
    return rows


def _said(field: forms.Field, value: Any) -> str:
    if isinstance(field, forms.BooleanField):
        return _("ticked") if field.to_python(value) else _("not ticked")
    return "" if value is None else str(value)


def _label(form: forms.Form, name: str) -> str:
    figure = name.removesuffix("_not_printed")
    label = str(form.fields[figure].label)
    return label if figure == name else _("{figure}: not printed").format(figure=label)
