"""Judge a shop test of a job: by the engine, against the limits that stand for the person who measures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Final

from django.conf import settings as django_settings

from repairs.measurements.engineering.limits import Level, Limit, Source, to_digits
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer, Entries, Note, Result, Subject, Value, held_to
from repairs.measurements.engineering.subjects import BY_CODE
from repairs.measurements.limits import DECIMALS
from repairs.measurements.models import TestSetting
from repairs.measurements.shop_tests.machine import machine_of, settings_entries, settings_of, typists_of
from repairs.measurements.shop_tests.own_rows import own_subject
from repairs.measurements.shop_tests.sheets import OWN, Sheet
from repairs.measurements.standing_limits import (
    EARLIER,
    MAKER,
    OF_MOTOR,
    POLICY,
    PREDICTED,
    SPECIFIED,
    KnownLimits,
    Standing,
    standing_limit,
    standing_of,
)
from repairs.measurements.words.figures import DIGITS, MOST_DIGITS, USUAL_DIGITS
from repairs.measurements.words.sources import source_words
from repairs.motors.units import QUANTITIES, preferred_unit, unit_of
from repairs.work_orders.models import Job

# Whose word a limit of the shop's list is, as papers name it.
LEVELS: Final[Mapping[int, Level]] = {
    SPECIFIED: "customer",
    MAKER: "maker",
    OF_MOTOR: "maker",
    PREDICTED: "standard",
    POLICY: "shop",
    EARLIER: "customer",
}


@dataclass(frozen=True, slots=True)
class JudgedTest:
    """A test with the limits that stand: what the engine says, and each result's limit as it is kept."""

    subject: Subject
    machine: Machine
    entries: Mapping[str, Value]
    answer: Answer
    standing: Mapping[str, Standing]


def subject_of(test: str, sheet: Sheet | None) -> Subject | None:
    """Return a test by its code; the shop's own rows are those of the step's sheet."""
    if test == OWN:
        return own_subject(sheet) if sheet is not None and sheet.own else None
    return BY_CODE.get(test)


def judge_test(
    job: Job,
    subject: Subject,
    typed: Mapping[str, Value],
    *,
    measurer: int | None,
    at: datetime,
    settings: Mapping[str, TestSetting] | None = None,
) -> JudgedTest:
    """Judge what was entered of a test. Its rules are the job's or the shop's: a measurer chooses none."""
    known = settings if settings is not None else settings_of(job)
    rules = {field.code for field in subject.fields if field.rule}
    measured = {code: value for code, value in typed.items() if code not in rules}
    entries = {**measured, **settings_entries(subject.code, known)}
    machine = machine_of(job, known)
    answer = subject.look(Entries(entries), machine)
    standing: dict[str, Standing] = {}
    for result in answer.results:
        found = _standing(job, subject, result, entries, known, measurer=measurer, at=at)
        if found is not None:
            standing[result.code] = found
    limits = {one.code: limit_of(standing.get(one.code), one) for one in answer.results}
    return JudgedTest(subject, machine, entries, held_to(answer, limits), standing)


def limits_before(
    job: Job, subject: Subject, settings: Mapping[str, TestSetting], known: KnownLimits, at: datetime
) -> dict[str, Limit | None]:
    """Return the limit of each result before anything is entered, whoever measures; None where none is known yet."""
    entries = Entries(settings_entries(subject.code, settings))
    answer = subject.look(entries, machine_of(job, settings))
    found: dict[str, Limit | None] = {}
    for result in answer.results:
        standing = standing_of(result, lambda: ())
        if subject.code != OWN:
            standing = standing_limit(job, result.code, measurer=None, at=at, standard=standing, known=known)
        found[result.code] = limit_of(standing, result)
    return found


def with_limits(judged: JudgedTest, kept: Mapping[str, Standing]) -> JudgedTest:
    """Return a judged test with some of its results held to other limits."""
    standing = {**judged.standing, **kept}
    limits = {one.code: limit_of(standing.get(one.code), one) for one in judged.answer.results}
    return replace(judged, standing=standing, answer=held_to(judged.answer, limits))


def _standing(
    job: Job,
    subject: Subject,
    result: Result,
    entries: Mapping[str, Value],
    settings: Mapping[str, TestSetting],
    *,
    measurer: int | None,
    at: datetime,
) -> Standing | None:
    if subject.code == OWN:
        return standing_of(result, lambda: ())
    standard = standing_of(result, lambda: typists_of(job, settings, subject.code, result.code, entries))
    return standing_limit(job, result.code, measurer=measurer, at=at, standard=standard)


def limit_of(standing: Standing | None, result: Result) -> Limit | None:
    """Return a limit that stands for a result as the engine compares it, in the canonical unit."""
    if standing is None:
        return None
    unit = unit_of(result.quantity, standing.unit)
    low, high = (None if one is None else unit.to_si(float(one)) for one in (standing.low, standing.high))
    standard = result.standard
    if standard is not None and standing.source == source_words(standard.source)[: len(standing.source)]:
        return Limit(low, high, standard.source, standard.level)
    return Limit(low, high, Source(standing.source, sureness="entered"), LEVELS[standing.origin])


def kept_value(value: float, quantity: str, standing: Standing | None) -> tuple[Decimal, str]:
    """Return a result as its reading keeps it: in its limit's unit, else in the shop's, with the digits people read.

    The test keeps the exact figure. Digits are added until the rounded one lies on the same side of its limits.
    """
    name = (
        standing.unit if standing is not None else preferred_unit(quantity, django_settings.SHOP_UNITS).name
    )
    unit = unit_of(quantity, name) if quantity in QUANTITIES else None
    number = unit.from_si(value) if unit is not None else value
    exact = Decimal(repr(round(number, DECIMALS)))
    for digits in range(DIGITS.get(quantity, USUAL_DIGITS), MOST_DIGITS):
        rounded = Decimal(repr(round(to_digits(number, digits), DECIMALS)))
        if _side(rounded, standing) == _side(exact, standing):
            return rounded, name
    return exact, name


def _side(number: Decimal, standing: Standing | None) -> tuple[int, int]:
    """Return where a number lies of both limits: below, on, above."""
    if standing is None:
        return 0, 0
    return _order(number, standing.low), _order(number, standing.high)


def _order(number: Decimal, limit: Decimal | None) -> int:
    return 0 if limit is None else (number > limit) - (number < limit)


def doubt_key(note: Note) -> str:
    """Name a doubt, so that a confirmation is of this one and of no other value."""
    return f"{note.code}:{note.params.get('field', '')}:{note.params.get('value', '')}"


def sheet_codes(sheet: Sheet | None) -> list[str]:
    """Return the tests of a sheet in their order; the shop's own rows last."""
    if sheet is None:
        return []
    known = [row.test for row in sheet.tests if row.test in BY_CODE]
    return [*known, *([OWN] if sheet.own else [])]
