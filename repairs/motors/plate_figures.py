"""Figures as plates print them, read: two voltages, two speeds, hp beside kW, words beside a figure."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final, Literal, NamedTuple

from django.utils.translation import gettext as _

from repairs.edge.typed_numbers import NumberError, Typed, read_typed
from repairs.motors.plate_fields import PlateField
from repairs.motors.units import PERCENT, QUANTITIES, Unit, unit_words, written_unit

# A person types these alone in a field: the plate has no such figure, or nobody can read it.
MISSING_MARK: Final = "-"
ILLEGIBLE_MARK: Final = "?"
# Before a value that is not on the plate, but known from elsewhere.
INFERRED_MARK: Final = "~"
_MISSING: Final = re.compile(r"[-\u2013\u2014\u2212]+|n\.?\s*/\s*a\.?|missing", re.IGNORECASE)
_ILLEGIBLE: Final = re.compile(r"\?+|illegible|unreadable", re.IGNORECASE)

_GRADE: Final = re.compile(r"(?:iso[\s-]*)?(?:vg[\s-]*)?(?=\d)", re.IGNORECASE)
_BETWEEN: Final = re.compile(r"\s*[/&]\s*|\s+or\s+", re.IGNORECASE)
# Plates of several voltages print a range with a hyphen: 208-230/460, 62-56/28 A. Anywhere else it is a slip.
_BETWEEN_RANGED: Final = re.compile(r"\s*[/&-]\s*|\s+or\s+", re.IGNORECASE)
# An ambient is printed as a span: -20 to 40C, -20...+40 C, -20/+40, -20 - +40.
_SPAN: Final = re.compile(
    r"\s+to\s+|\s*(?:\.{2,3}|\u2026|/)\s*|(?<=[\dCF\u00b0])\s*[-\u2013\u2212]\s*(?=\+?\d)", re.IGNORECASE
)
SPANNED: Final = " to "
_PER_MINUTE: Final = re.compile(r"\b(?:r|rev|1)\s*/\s*min\b\.?", re.IGNORECASE)
_HYPHEN: Final = re.compile(r"(?<=\d)\s*-\s*(?=[^\W\d_])")
_WORD_BEFORE: Final = re.compile(r"(?P<word>[^\W\d_%][^\W\d_]*(?:\.[^\W\d_]+)*\.?)[\s:=]*(?=\S)")
_WORDS_FOR_PHASES: Final = {"single": "1", "one": "1", "three": "3"}
# Two figures of one power, in hp and in kW, are each rounded as printed.
SAME_POWER: Final = 0.03


def mark_of(typed: str) -> Literal["", "missing", "illegible"]:
    """Return what a mark typed alone in a field says: ``-`` is not on the plate, ``?`` cannot be read."""
    text = typed.strip()
    if _MISSING.fullmatch(text):
        return "missing"
    return "illegible" if _ILLEGIBLE.fullmatch(text) else ""


class _Part(NamedTuple):
    typed: Typed
    unit: Unit | None


def figure_of(field: PlateField, typed: str, unit: Unit) -> tuple[str, Unit, float]:
    """Return the text of a figure without what stands before and behind it, its unit, and the value in SI."""
    parts = [_part(field, text) for text in _texts(field, typed)]
    last = next((part.unit for part in reversed(parts) if part.unit), None)
    units = [part.unit or last or unit for part in parts]
    values = [one.to_si(float(part.typed.number)) for part, one in zip(parts, units, strict=True)]
    texts = [part.typed.text for part in parts]
    if len({one.name for one in units}) > 1:
        if max(values) - min(values) > SAME_POWER * min(map(abs, values)):
            words = _("“{typed}” has two figures that do not agree. Enter one of them.")
            raise NumberError(words.format(typed=typed.strip()[:40]))
        return texts[0], units[0], values[0]
    si = min(values) if field.several == "lowest" else max(values)
    between = SPANNED if field.quantity == "temperature" else "/"
    if last is None and field.quantity == "ratio" and field.high < si <= 100 * field.high:
        # Plates print a power factor as 0.87 and as 87.
        return between.join(texts), PERCENT, PERCENT.to_si(si)
    if last is None and field.quantity == "percent" and 0 < si < 1 <= field.low:
        # And an efficiency as 93.6 and as .936.
        return f"{100 * parts[0].typed.number:f}".rstrip("0").rstrip("."), units[0], 100 * si
    return between.join(texts), units[0], si


def _texts(field: PlateField, typed: str) -> list[str]:
    """Return the figures of an entry one by one; a fraction is one figure."""
    text = _PER_MINUTE.sub("rpm", typed.strip()).replace("(", "/").replace(")", "")
    text = _HYPHEN.sub(" ", text)
    if field.is_grade:
        text = _GRADE.sub("", text, count=1)
    if field.several and field.quantity == "temperature":
        return _SPAN.split(text)
    if not field.several or text.startswith("-") or _is_one_figure(field, text):
        return [text]
    return (_BETWEEN_RANGED if field.quantity in {"voltage", "current"} else _BETWEEN).split(text)


def _is_one_figure(field: PlateField, text: str) -> bool:
    """Whether a slash belongs to a fraction: half a horsepower is usual, half a volt is not."""
    if field.quantity != "power":
        return False
    try:
        _part(field, text)
    except NumberError:
        return False
    return True


def _part(field: PlateField, text: str) -> _Part:
    """Read one figure with the unit and the words that are printed before or behind it."""
    before: Unit | None = None
    rest = text.strip()
    if field.key == "phases":
        first = rest.casefold().partition(" ")[0].partition("-")[0]
        rest = rest.replace(rest[: len(first)], _WORDS_FOR_PHASES.get(first, rest[: len(first)]), 1)
    while match := _WORD_BEFORE.match(rest):
        unit = written_unit(field.quantity, match["word"])
        if unit is None and _bare(match["word"]) not in field.beside:
            break
        before, rest = unit or before, rest[match.end() :]
    read = read_typed(rest)
    behind = " ".join(word for word in read.unit.split() if _bare(word) not in field.beside)
    unit = written_unit(field.quantity, behind) if behind else before
    if behind and unit is None:
        known = ", ".join(unit_words(one.name, "si") for one in QUANTITIES[field.quantity] if one.name)
        words = _("Unknown unit “{unit}”. Use {units}.")
        raise NumberError(words.format(unit=behind[:20], units=known or _("a number without a unit")))
    if behind and field.quantity == "voltage" and _bare(behind) == "kv":
        volts = 1000 * read.number
        return _Part(Typed(volts, "V", f"{volts.normalize():f}"), QUANTITIES["voltage"][0])
    return _Part(read, unit)


def _bare(word: str) -> str:
    return word.casefold().replace(".", "").strip(",;:")


# "3-60-460": phases, hertz and volts in one, in whatever order.
_TOKEN: Final = re.compile(r"(?P<number>\d+(?:[.,]\d+)*)\s*(?P<unit>[^\W\d_]*)\.?")
_TOKENS_APART: Final = re.compile(r"\s*[-/,;]\s*|\s+(?=\d)")
HERTZ: Final = frozenset({"25", "50", "60"})
SUPPLY: Final = ("phases", "frequency_hz", "voltage_v")


def supply_of(typed: str) -> Mapping[str, str]:
    """Return phases, hertz and volts where an entry names all of them (3-60-460, 460V/3PH/60HZ); else nothing."""
    found: dict[str, list[str]] = {key: [] for key in SUPPLY}
    for text in _TOKENS_APART.split(typed.strip()):
        token = _TOKEN.fullmatch(text)
        key = _kind_of(token["number"], token["unit"].casefold()) if token else ""
        if token is None or not key:
            return {}
        found[key].append(token["number"])
    if any(not numbers for numbers in found.values()) or len(found["phases"]) > 1:
        return {}
    return {key: "/".join(numbers) for key, numbers in found.items()}


def _kind_of(number: str, unit: str) -> str:
    if unit in {"ph", "phase", "phases", "ø", "φ"} or (not unit and number in {"1", "3"}):
        return "phases"
    if unit in {"hz", "cy", "cyc", "cycles", "cps"} or (not unit and number in HERTZ):
        return "frequency_hz"
    return "voltage_v" if unit in {"v", "volt", "volts", "vac"} or (not unit and len(number) > 2) else ""
