"""What was typed of a plate as it is kept, and how it reads back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from bearings.public import grouped, plain
from repairs.edge.typed_numbers import NumberError, read_typed
from repairs.motors.plate_fields import STATES, PlateField
from repairs.motors.plate_figures import INFERRED_MARK, SPANNED, figure_of, mark_of
from repairs.motors.units import QUANTITIES, US_WORDS, preferred_unit, unit_of, with_unit


def read_entry(
    field: PlateField, state: str, typed: str, unit_name: str, units: str
) -> tuple[dict[str, object] | None, str]:
    """Return what is stored for one field and what is wrong with it (an empty text when nothing is).

    An empty field that is called read was not asked yet and is not stored. A mark typed in the field says how it was
    read: ``-`` is missing, ``?`` illegible, ``~`` before a value inferred.
    """
    typed = typed.strip()
    if state not in STATES:
        state = "read"
    if mark := mark_of(typed):
        state, typed = mark, ""
    elif typed.startswith(INFERRED_MARK):
        state, typed = "inferred", typed[1:].strip()
    if state in {"illegible", "missing"}:
        return {"state": state, "typed": "", "unit": "", "si": None}, ""
    if not typed:
        return None, ""
    if field.kind == "choice":
        if typed not in dict(field.choices):
            words = ", ".join(str(words) for _value, words in field.choices)
            return None, _("“{value}” is not accepted. Accepted: {choices}.").format(
                value=typed, choices=words
            )
        return {"state": state, "typed": typed, "unit": "", "si": typed}, ""
    if field.kind == "text":
        if len(typed) > 200:
            return None, _("{count} characters. Enter at most 200.").format(count=grouped(len(typed)))
        return {"state": state, "typed": typed, "unit": "", "si": typed}, ""
    return _read_number(field, state, typed, unit_name, units)


def _read_number(
    field: PlateField, state: str, typed: str, unit_name: str, units: str
) -> tuple[dict[str, object] | None, str]:
    unit = unit_of(field.quantity, unit_name) if unit_name else field.usual_unit(units)
    try:
        text, unit, si = figure_of(field, typed, unit)
    except NumberError as error:
        return None, _("{error} Accepted: {range}.").format(
            error=error, range=field.accepted(units, unit.name)
        )
    accepted = field.accepted(units, unit.name if unit in QUANTITIES[field.quantity] else "")
    if field.whole and si != int(si):
        return None, _("{value} is not accepted. Accepted: {range}.").format(value=typed, range=accepted)
    if not _inside(field, si):
        value = with_unit(_as_written(field, text), unit.name, units, field.quantity)
        return None, _("{value} is out of range. Accepted: {range}.").format(value=value, range=accepted)
    return {"state": state, "typed": text, "unit": unit.name, "si": si}, ""


def _inside(field: PlateField, si: float) -> bool:
    """Whether a value is accepted; a limit typed as it is printed must pass, though it converts a hair beside it."""
    slack = 1e-3 if len(QUANTITIES[field.quantity]) > 1 else 0.0
    return field.low - slack * abs(field.low) <= si <= field.high + slack * abs(field.high)


def shown(field: PlateField, entry: dict[str, object] | None, units: str) -> str:
    """Return a plate entry for reading: as printed, figures as this shop writes them; illegible and missing say so."""
    if entry is None:
        return ""
    state = entry.get("state")
    if state in {"illegible", "missing"}:
        return str(STATES[state])
    if field.kind == "choice":
        return str(dict(field.choices).get(str(entry.get("si")), entry.get("si")))
    unit = str(entry.get("unit", ""))
    typed = str(entry.get("typed", ""))
    written = _as_written(field, typed)
    if field.kind == "number" and entry.get("si") == 0 and unit_of(field.quantity, unit).offset == 0:
        # Nothing is nothing in every unit.
        unit = preferred_unit(field.quantity, units).name
    text = with_unit(written, unit, units, field.quantity)
    if field.kind == "number" and (other := _in_preferred(field, entry, units)):
        text = f"{text} ({other})"
    return f"{text}, {_inferred_words(field, entry, units)}" if state == "inferred" else text


def _as_written(field: PlateField, typed: str) -> str:
    """Return the figures of an entry with thousands apart and all the decimals of the plate; a fraction stays one."""
    if field.kind != "number" or ("/" in typed and not field.several):
        return typed
    between = SPANNED if SPANNED in typed else "/"
    try:
        numbers = [read_typed(part).number for part in typed.split(between)]
    except NumberError:
        return typed
    return between.join(grouped(float(one), max(0, -int(one.as_tuple().exponent))) for one in numbers)


def has_several(typed: str) -> bool:
    """Whether an entry is more than one bare figure: a fraction, several figures, a span."""
    return "/" in typed or SPANNED in typed


def _inferred_words(field: PlateField, entry: dict[str, object], units: str) -> str:
    """Say that a value is inferred; of one from the thrust sheet, from which revision, and what the plate says."""
    if "sheet" not in entry:
        return str(STATES["inferred"])
    words = _("from thrust sheet, rev. {number}").format(number=entry["sheet"])
    if entry.get("fallback"):
        words = f"{words} ({_('rule of thumb, no source')})"
    own = shown(field, plate_entry(entry), units)
    return _("{words}; plate: {value}").format(words=words, value=own) if own else words


def plate_entry(entry: dict[str, Any] | None) -> dict[str, Any] | None:
    """Return what the plate itself says, behind a figure that the thrust sheet put in its place."""
    return entry.get("plate") if entry and "sheet" in entry else entry


def _in_preferred(field: PlateField, entry: Mapping[str, Any], units: str) -> str:
    """Return the value in the reader's unit when it was typed in another one."""
    unit = preferred_unit(field.quantity, units)
    if entry.get("si") is None or (entry["si"] == 0 and unit.offset == 0):
        return ""
    if len(QUANTITIES[field.quantity]) < 2 or unit.name == entry.get("unit"):
        return _understood(field, entry, units)
    if units == "us" and entry.get("unit") in US_WORDS:
        return _understood(field, entry, units)
    figure = with_unit(plain(unit.from_si(entry["si"]), 4), unit.name, units, field.quantity)
    return _("{figure} counts").format(figure=figure) if _is_one_of_several(field, entry) else figure


def _understood(field: PlateField, entry: Mapping[str, Any], units: str) -> str:
    """Return the figure that counts where the plate prints a fraction, or one of several."""
    if not has_several(str(entry.get("typed", ""))):
        return ""
    unit = unit_of(field.quantity, str(entry.get("unit", "")))
    figure = with_unit(plain(unit.from_si(entry["si"]), 7), unit.name, units, field.quantity)
    return _("{figure} counts").format(figure=figure) if _is_one_of_several(field, entry) else figure


def _is_one_of_several(field: PlateField, entry: Mapping[str, Any]) -> bool:
    """Whether several figures were typed (230/460, -20 to 40), not a fraction alone (7 1/2)."""
    if SPANNED in str(entry["typed"]):
        return True
    try:
        read_typed(str(entry["typed"]))
    except NumberError:
        return bool(field.several)
    return False
