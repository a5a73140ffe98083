"""A shop test in words: results with limit and source, notes, what is missing, working. One presenter for all pages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Units
from repairs.measurements.engineering.limits import Limit
from repairs.measurements.engineering.shape import Answer, Missing, Note, Result, Working
from repairs.measurements.engineering.subjects import BY_CODE as TESTS
from repairs.measurements.shop_tests.judging import doubt_key
from repairs.measurements.shop_tests.sheets import OWN, Sheet
from repairs.measurements.words import BY_CODE as WORDS
from repairs.measurements.words.figures import Written
from repairs.measurements.words.own import own_words
from repairs.measurements.words.shape import SubjectWords
from repairs.measurements.words.sources import source_words
from repairs.motors.plate_fields import BY_KEY
from repairs.motors.units import QUANTITIES

# How a plate or a job says what a limit needs to know of the motor, where it is no field of the plate.
MACHINE_WORDS: Final[Mapping[str, object]] = {
    "voltage_v": BY_KEY["voltage_v"].label,
    "power_w": BY_KEY["power_w"].label,
    "speed_rpm": BY_KEY["rated_speed_rpm"].label,
    "frequency_hz": BY_KEY["frequency_hz"].label,
    "poles": BY_KEY["poles"].label,
    "current_a": BY_KEY["current_a"].label,
    "power_factor": BY_KEY["power_factor"].label,
    "efficiency": BY_KEY["efficiency_percent"].label,
    "service_factor": BY_KEY["service_factor"].label,
    "year": BY_KEY["year"].label,
    "phases": BY_KEY["phases"].label,
    "winding": gettext_lazy("Winding, random or form wound"),
    "insulation_class": BY_KEY["insulation_class"].label,
    "ambient_c": BY_KEY["ambient_c"].label,
    "rotor_mass_kg": BY_KEY["rotor_weight_n"].label,
    "rabbet_mm": BY_KEY["rabbet_diameter_mm"].label,
    "code_letter": BY_KEY["code_letter"].label,
    "rotation": BY_KEY["rotation"].label,
    "vertical": gettext_lazy("Shaft vertical or horizontal"),
}


@dataclass(frozen=True, slots=True)
class ResultLine:
    """One result as it is read."""

    code: str
    label: str
    value: str
    limit: str
    source: str
    verdict: str


@dataclass(frozen=True, slots=True)
class NoteLine:
    """One note as it is read; ``key`` names a doubt that is confirmed."""

    severity: str
    text: str
    source: str
    key: str = ""


@dataclass(frozen=True, slots=True)
class TestSheet:
    """A test as pages and papers show it."""

    __test__ = False

    title: str
    verdict: str
    results: list[ResultLine] = field(default_factory=list)
    notes: list[NoteLine] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    working: list[dict[str, str]] = field(default_factory=list)


def words_of(test: str, sheet: Sheet | None) -> SubjectWords:
    """Return the words of a test; of the shop's own rows, their labels."""
    return own_words(sheet) if test == OWN and sheet is not None else WORDS[test]


def present(answer: Answer, words: SubjectWords, units: Units) -> TestSheet:
    """Return an answer in the reader's units."""
    write = Written(units)
    return TestSheet(
        title=str(words.title),
        verdict=answer.verdict,
        results=[_result(one, words, write) for one in answer.results],
        notes=[note_line(one, words, write) for one in answer.notes],
        missing=list(dict.fromkeys(missing_words(one, words) for one in answer.missing)),
        working=[_working(one, write) for one in answer.working if one.value is not None],
    )


def _result(result: Result, words: SubjectWords, write: Written) -> ResultLine:
    bounds = (result.limit.low, result.limit.high) if result.limit else ()
    return ResultLine(
        code=result.code,
        label=str(words.results[result.code]),
        value=write.beside(result.value, result.quantity, *bounds) if result.value is not None else "",
        limit=limit_text(result.limit, result.quantity, write),
        source=source_words(result.limit.source) if result.limit else "",
        verdict=result.verdict,
    )


def limit_text(limit: Limit | None, quantity: str, write: Written) -> str:
    """Return a limit as it is read: at least 5 MΩ."""
    if limit is None or quantity not in QUANTITIES:
        return ""
    if limit.low is not None and limit.high is not None:
        low = write.number(limit.low, quantity)
        return _("{low} to {high}").format(low=low, high=write.of(limit.high, quantity))
    if limit.low is not None:
        return _("at least {value}").format(value=write.of(limit.low, quantity))
    return _("at most {value}").format(value=write.of(limit.high, quantity))


def note_line(note: Note, words: SubjectWords, write: Written) -> NoteLine:
    """Return a note in words with its source."""
    return NoteLine(
        severity=note.severity,
        text=words.notes[note.code](note, write),
        source=source_words(note.source) if note.source else "",
        key=doubt_key(note) if note.severity == "doubt" else "",
    )


def missing_words(missing: Missing, words: SubjectWords) -> str:
    """Return what is missing as its form or plate calls it, and who says it where that is not the measurer."""
    name = missing.field.removeprefix("machine.")
    if name == missing.field:
        label = words.fields[name]
        return _("{field} (test rules)").format(field=label) if _is_rule(name, words) else str(label)
    place = _("{field} (test rules)") if name == "winding" else _("{field} (nameplate)")
    return place.format(field=MACHINE_WORDS[name])


def _is_rule(code: str, words: SubjectWords) -> bool:
    """Whether a lead says a field of a test, not whoever measures."""
    test = next((test for test, known in WORDS.items() if known is words), "")
    return any(one.rule for one in TESTS[test].fields if one.code == code) if test else False


def _working(line: Working, write: Written) -> dict[str, str]:
    return {
        "symbol": line.symbol,
        "formula": line.formula,
        "value": f"{write.plain(line.value or 0.0)} {line.unit}".strip(),
        "source": source_words(line.source),
    }
