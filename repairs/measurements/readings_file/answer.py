"""The answer to a readings file as JSON values, with its sentences."""

from __future__ import annotations

from math import isfinite
from typing import Any, Final

from bearings.public import Units
from repairs.measurements.engineering.limits import Limit, Source
from repairs.measurements.engineering.shape import Answer, Missing, Note, Result, Working
from repairs.measurements.readings_file.judging import FileAnswer
from repairs.measurements.readings_file.specs import canonical
from repairs.measurements.shop_tests.presenting import missing_words, note_line
from repairs.measurements.words import BY_CODE as WORDS
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords
from repairs.measurements.words.sources import source_words

VERSION: Final = 1


def readings_answer(answer: FileAnswer, units: Units = "si") -> dict[str, Any]:
    """Return the whole answer; ``units`` changes the sentences only, figures stay canonical."""
    return {
        "readings_answer": VERSION,
        "verdict": answer.verdict,
        "tests": [_test(test.code, one, units) for test, one in answer.tests],
    }


def _test(code: str, answer: Answer, units: Units) -> dict[str, Any]:
    words, write = WORDS[code], Written(units)
    return {
        "test": code,
        "title": str(words.title),
        "verdict": answer.verdict,
        "results": [_result(one, words) for one in answer.results],
        "notes": [_note(one, words, write) for one in answer.notes],
        "missing": [_missing(one, words) for one in dict.fromkeys(answer.missing)],
        "working": [_working(one) for one in answer.working],
    }


def _result(result: Result, words: SubjectWords) -> dict[str, Any]:
    return {
        "result": result.code,
        "label": str(words.results[result.code]),
        "value": finite(result.value),
        "unit": canonical(result.quantity).name,
        "limit": _limit(result.limit),
        "informs": result.informs,
        "verdict": result.verdict,
    }


def _limit(limit: Limit | None) -> dict[str, Any] | None:
    if limit is None:
        return None
    return {"low": limit.low, "high": limit.high, "level": limit.level, **_source(limit.source)}


def _source(source: Source | None) -> dict[str, Any]:
    return {
        "source": "" if source is None else source_words(source),
        "sureness": None if source is None else source.sureness,
    }


def _note(note: Note, words: SubjectWords, write: Written) -> dict[str, Any]:
    return {
        "code": note.code,
        "severity": note.severity,
        "message": note_line(note, words, write).text,
        "figures": {key: finite(value) for key, value in note.params.items()},
        **_source(note.source),
    }


def _missing(missing: Missing, words: SubjectWords) -> dict[str, Any]:
    field = missing.field
    start = "machine."
    return {
        "field": f"motor.{field.removeprefix(start)}" if field.startswith(start) else field,
        "result": missing.result or None,
        "asks": missing_words(missing, words),
    }


def _working(line: Working) -> dict[str, Any]:
    return {
        "symbol": line.symbol,
        "formula": line.formula,
        "value": finite(line.value),
        "unit": line.unit,
        **_source(line.source),
    }


def finite(value: Any) -> Any:
    """Return a figure as JSON can hold it: beyond all numbers there is none."""
    return None if isinstance(value, float) and not isfinite(value) else value
