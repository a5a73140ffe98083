"""What the open steps ask to be measured, as blank rows for a hand, beside the limits that are known before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypedDict

from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.documents.content.reader import Reader
from repairs.measurements.engineering.shape import Field, Subject
from repairs.measurements.models import TestSetting
from repairs.measurements.shop_tests.forms import YES_NO
from repairs.measurements.shop_tests.judging import limits_before, subject_of
from repairs.measurements.shop_tests.machine import settings_of
from repairs.measurements.shop_tests.presenting import limit_text, words_of
from repairs.measurements.shop_tests.sheets import OWN, Sheet, sheets_for
from repairs.measurements.standing_limits import KnownLimits, read_limits
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords
from repairs.measurements.words.sources import source_words
from repairs.motors.units import QUANTITIES, unit_words
from repairs.work_orders.models import Job, Step

# As many blanks as a row of a series gets on paper; more go into the tablet.
SERIES_BLANKS: Final = 8
# Choices of more letters than these are written, not ticked: boxes would fill the page.
BOXED_LETTERS: Final = 30


class BlankTest(TypedDict):
    """One test to write in."""

    title: str
    limits: list[dict[str, str]]
    fields: list[dict[str, object]]
    series: list[dict[str, object]]


class BlankSheet(TypedDict):
    """The tests of one open step."""

    no: str
    title: str
    tests: list[BlankTest]


@dataclass(frozen=True, slots=True)
class _Known:
    """What every test of a job is asked with, read once."""

    job: Job
    settings: Mapping[str, TestSetting]
    limits: KnownLimits
    units: Units


def sheets_part(job: Job, steps: Sequence[Step], reader: Reader) -> dict[str, object]:
    """Return the sheets of the steps that are still to do; none where no open step asks for a test."""
    waiting = {no: step for no, step in enumerate(steps, 1) if step.state == Step.State.WAITING}
    sheets = sheets_for({step.kind for step in waiting.values()}, job.motor.build)
    asked = {no: sheet for no, step in waiting.items() if (sheet := sheets[step.kind]) is not None}
    if not asked:
        return {}
    known = _Known(job, settings_of(job), read_limits(job), reader.units)
    rows = [_blank_sheet(no, waiting[no].title, sheet, known) for no, sheet in asked.items()]
    return {"sheets": rows}


def _blank_sheet(no: int, title: str, sheet: Sheet, known: _Known) -> BlankSheet:
    codes = [row.test for row in sheet.tests] + ([OWN] if sheet.own else [])
    subjects = [subject for code in codes if (subject := subject_of(code, sheet)) is not None]
    tests = [_blank_test(subject, words_of(subject.code, sheet), known) for subject in subjects]
    return {"no": str(no), "title": title, "tests": tests}


def _blank_test(subject: Subject, words: SubjectWords, known: _Known) -> BlankTest:
    fields = [field for field in subject.fields if not field.rule]
    return {
        "title": str(words.title),
        "limits": _limits(subject, words, known),
        "fields": [_blank(field, words, known.units) for field in fields if field.quantity != "series"],
        "series": [
            _series(field, words, known.units)
            for field in fields
            if field.quantity == "series" and field.needed
        ],
    }


def _limits(subject: Subject, words: SubjectWords, known: _Known) -> list[dict[str, str]]:
    """Return the limits that are known before anything is measured, results of one limit together."""
    write, grouped = Written(known.units), dict[tuple[str, str], list[str]]()
    limits = limits_before(known.job, subject, known.settings, known.limits, timezone.now())
    for code, limit in limits.items():
        if limit is not None:
            text = limit_text(limit, subject.results[code], write)
            grouped.setdefault((text, source_words(limit.source)), []).append(str(words.results[code]))
    return [
        {"what": "; ".join(names), "limit": text, "source": source}
        for (text, source), names in grouped.items()
    ]


def _blank(field: Field, words: SubjectWords, units: Units) -> dict[str, object]:
    """Return one field to write in: its unit, or boxes to tick where the choices are few and short."""
    boxes = _boxes(field, words)
    if sum(len(box) for box in boxes) > BOXED_LETTERS:
        boxes = []
    row: dict[str, object] = {
        "label": str(words.fields[field.code]), "unit": _unit(field, units), "boxes": boxes,
    }  # fmt: skip
    return {**row, "text": True} if field.quantity == "text" else row


def _boxes(field: Field, words: SubjectWords) -> list[str]:
    if field.quantity == "yes_no":
        return [str(word) for _code, word in YES_NO]
    return [str(words.choices[code]) for code in field.choices]


def _unit(field: Field, units: Units) -> str:
    if field.quantity not in QUANTITIES:
        return ""
    return unit_words(Written(units).unit(field.quantity).name, units)


def _series(field: Field, words: SubjectWords, units: Units) -> dict[str, object]:
    return {
        "label": str(words.fields[field.code]),
        "rows": [_column(column, words, units) for column in field.columns],
        "blanks": SERIES_BLANKS,
    }


def _column(field: Field, words: SubjectWords, units: Units) -> str:
    name, unit = str(words.fields[field.code]), _unit(field, units)
    return _("{name}, {unit}").format(name=name, unit=unit) if unit else name


def adds_nothing(printed: Iterable[object], live: Iterable[object]) -> bool:
    """Whether a paper has every sheet that is still asked for, as it is asked for now: only steps were done since."""
    known = list(printed)
    return all(sheet in known for sheet in live)
