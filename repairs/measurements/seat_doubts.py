"""Readings of a seat that are more likely a slip of the hand than a worn seat. They are asked about, never changed."""

from __future__ import annotations

from decimal import Decimal
from statistics import median
from typing import Final

from django.utils.translation import gettext as _

from bearings.public import exact
from repairs.measurements.seat_judging import (
    MM_PER_INCH,
    SeatEntry,
    millimetres,
    unit_of_typed,
    with_its_unit,
)

# How far a worn seat may lie from its nominal size, one reading of it from the others, and a ring from its size, before
# somebody is asked: common practice, no source. [mm]
FAR_MM: Final = Decimal(1)
APART_MM: Final = Decimal("0.1")
RING_FAR_MM: Final = Decimal("0.2")


def seat_doubts(entry: SeatEntry) -> list[str]:
    """Return what is unlikely of an entry, in words; an empty list where everything is likely."""
    read = [
        (number, typed, size)
        for number, (sizes, texts) in enumerate(zip(entry.planes_mm, entry.typed, strict=True), 1)
        for size, typed in zip(sizes, texts, strict=True)
        if size is not None
    ]
    doubts = []
    middle = Decimal(median(size for _number, _typed, size in read)) if read else entry.nominal_mm
    for number, typed, size in read:
        if abs(size - entry.nominal_mm) > FAR_MM:
            doubts.append(_far_words(entry, number, typed, size))
        elif abs(size - middle) > APART_MM:
            words = _("Plane {plane}: {typed} is more than 0.1 mm off the other readings.")
            doubts.append(words.format(plane=number, typed=with_its_unit(typed, entry.unit)))
    if entry.ring_mm is not None and abs(entry.ring_mm - entry.nominal_mm) > RING_FAR_MM:
        words = _("The bearing as measured, {typed}, is far from its nominal size of {nominal} mm.")
        ring = with_its_unit(entry.ring_typed, entry.unit)
        doubts.append(words.format(typed=ring, nominal=exact(entry.nominal_mm)))
    return list(dict.fromkeys(doubts))


def plain(value: Decimal) -> str:
    """Return a number without needless decimals, as a field is filled with it."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _far_words(entry: SeatEntry, plane: int, typed: str, size: Decimal) -> str:
    nominal, unit = exact(entry.nominal_mm), unit_of_typed(typed, entry.unit)
    if unit == "mm" and abs(millimetres(size, "in") - entry.nominal_mm) <= FAR_MM:
        words = _("Plane {plane}: {typed} looks like inches; the nominal size is {nominal} mm.")
    elif unit == "in" and abs(size / MM_PER_INCH - entry.nominal_mm) <= FAR_MM:
        words = _("Plane {plane}: {typed} looks like millimeters; the nominal size is {nominal} mm.")
    else:
        words = _("Plane {plane}: {typed} is far from the nominal size of {nominal} mm.")
    return words.format(plane=plane, typed=with_its_unit(typed, entry.unit), nominal=nominal)
