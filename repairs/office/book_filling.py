"""Fill the sizes of a rating's form from its designation, as far as an open table knows them."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext as _

from bearings.public import boundary_dimensions, field_label, plain
from repairs.office.book_forms import RatingForm

SIZES = ("bore_mm", "outside_diameter_mm", "height_mm")


def filled_form(posted: Mapping[str, str]) -> tuple[RatingForm, str]:
    """Return the form as it was typed with its empty sizes filled, and what was done, in words."""
    values = {name: posted[name] for name in posted}
    designation = values.get("designation", "").strip()
    known = boundary_dimensions(designation)
    if known is None:
        words = _("No open table has the sizes of “{designation}”. Enter them as printed.")
        return RatingForm(initial=values), words.format(designation=designation[:60])
    sizes = {name: size for name in SIZES if (size := getattr(known, name)) is not None}
    empty = [name for name in sizes if not values.get(name, "").strip()]
    values |= {name: f"{sizes[name]:g}" for name in empty}
    return RatingForm(initial=values), f"{_done(empty)} {_source(sizes, known.origin)}"


def _done(empty: list[str]) -> str:
    names = ", ".join(field_label(name) for name in empty)
    return _("Filled: {names}.").format(names=names) if names else _("No fields were empty.")


def _source(sizes: Mapping[str, float], origin: str) -> str:
    """Say what the table has, so that a size that was typed already can be compared."""
    told = ", ".join(f"{field_label(name)} {plain(size)}\u00a0mm" for name, size in sizes.items())
    words = _("Table: {told} ({origin}).").format(told=told, origin=origin)
    missing = [field_label(name) for name in SIZES if name not in sizes]
    if not missing:
        return words
    not_there = _("Not in the table: {names}.").format(names=", ".join(missing))
    return f"{words} {not_there}"
