"""The one shape of a shop test: what is entered, how it is judged, what it answers.

A test is a :class:`Subject`: its fields (the only table of them: form, file, schema and words take theirs from here)
and a function that turns entries and the motor into an :class:`Answer`. Numbers are in the canonical unit of their
quantity, the first one of ``QUANTITIES`` in ``repairs/motors/units.py``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import isfinite
from typing import Final, Literal, NamedTuple

from repairs.measurements.engineering.limits import Limit, Source, counting
from repairs.measurements.engineering.machine import Machine

Verdict = Literal["pass", "fail", "not_checked", "noted"]
Severity = Literal["stop", "warn", "note", "doubt"]
Row = tuple[float | None, ...]
Value = float | str | tuple[Row, ...]
Param = float | str | None
NO_LIMITS: Final[Mapping[str, tuple[Limit, ...]]] = {}


class Field(NamedTuple):
    """One entry of a test.

    ``quantity`` names its units, or is "choice", "yes_no", "text" or "series". Numbers lie from ``low`` to ``high``,
    both accepted, in the canonical unit. ``needed``: without it the test has no main verdict. ``setting``: a fact
    that holds for a job and is offered to each of its tests. ``rule``: it decides what a figure is held to, so a lead
    says it for shop or job, never whoever measures. ``more``: seldom measured, folded on the form.
    ``columns`` are the fields of a series' rows.
    """

    code: str
    quantity: str
    low: float = 0.0
    high: float = 1e9
    needed: bool = True
    choices: tuple[str, ...] = ()
    setting: bool = False
    rule: bool = False
    more: bool = False
    columns: tuple[Field, ...] = ()


class Entries:
    """What was entered of one test, by field; a field that is absent was not measured."""

    def __init__(self, values: Mapping[str, Value]) -> None:
        self._values = dict(values)

    def number(self, code: str) -> float | None:
        """Return a number, None where it was not entered."""
        value = self._values.get(code)
        return float(value) if isinstance(value, int | float) else None

    def numbers(self, *codes: str) -> tuple[float, ...] | None:
        """Return several numbers, None where one of them is missing."""
        found = tuple(self.number(code) for code in codes)
        return None if None in found else tuple(one for one in found if one is not None)

    def choice(self, code: str) -> str | None:
        """Return a choice, None where none was made."""
        value = self._values.get(code)
        return value if isinstance(value, str) and value else None

    def yes(self, code: str) -> bool | None:
        """Return what a yes-or-no question was answered, None where it was not."""
        return {"yes": True, "no": False}.get(self.choice(code) or "")

    def series(self, code: str) -> tuple[Row, ...]:
        """Return the rows of a series, none where nothing was entered."""
        value = self._values.get(code)
        return value if isinstance(value, tuple) else ()


class Result(NamedTuple):
    """One figure that a test is judged by. ``standard`` is the limit of a standard or of common practice.

    ``informs``: no limit is asked for; it is told and compared with other visits.
    """

    code: str
    quantity: str
    value: float | None
    standard: Limit | None = None
    informs: bool = False
    limit: Limit | None = None
    verdict: Verdict = "not_checked"


class Missing(NamedTuple):
    """A field without which a result is not checked; of the test, or ``machine.`` and a name of the motor.

    Where no result is named, the test as a whole is not checked without it.
    """

    field: str
    result: str


class Note(NamedTuple):
    """Something to say beside the verdict. A "doubt" asks whether an entry is meant; it never changes it."""

    code: str
    severity: Severity
    params: Mapping[str, Param]
    source: Source | None = None


class Working(NamedTuple):
    """One figure of the working: symbol, formula, value, unit, source."""

    symbol: str
    formula: str
    value: float | None
    unit: str
    source: Source


class Answer(NamedTuple):
    """What a test says of what was entered."""

    results: tuple[Result, ...] = ()
    notes: tuple[Note, ...] = ()
    missing: tuple[Missing, ...] = ()
    working: tuple[Working, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """The worst: a stop or a failed result, then what could not be checked, then pass; else only noted."""
        verdicts = {one.verdict for one in self.results}
        if "fail" in verdicts or any(one.severity == "stop" for one in self.notes):
            return "fail"
        if "not_checked" in verdicts or any(not one.result for one in self.missing):
            return "not_checked"
        return "pass" if "pass" in verdicts else "noted"

    def result(self, code: str) -> Result:
        """Return one result by its code."""
        return next(one for one in self.results if one.code == code)


class Subject(NamedTuple):
    """One shop test. ``results`` are the codes it answers, with their quantities, whatever was entered."""

    code: str
    fields: tuple[Field, ...]
    results: Mapping[str, str]
    look: Callable[[Entries, Machine], Answer]


def judged(answer: Answer, held: Mapping[str, tuple[Limit, ...]] = NO_LIMITS) -> Answer:
    """Return an answer with each result held to the limit that counts; without one it is not checked, never passed."""
    return answer._replace(results=tuple(_judged(one, held.get(one.code, ())) for one in answer.results))


def held_to(answer: Answer, limits: Mapping[str, Limit | None]) -> Answer:
    """Return an answer with each result held to exactly the limit that somebody found to stand for it."""
    return answer._replace(results=tuple(_held(one, limits.get(one.code)) for one in answer.results))


def _judged(result: Result, held: tuple[Limit, ...]) -> Result:
    standard = () if result.standard is None else (result.standard,)
    return _held(result, counting((*held, *standard)))


def _held(result: Result, limit: Limit | None) -> Result:
    if result.value is not None and not isfinite(result.value):
        # Entries at the ends of their ranges can make a quotient that no number holds: that is no figure to judge.
        result = result._replace(value=None)
    if result.value is None or limit is None:
        verdict: Verdict = "noted" if result.informs else "not_checked"
    else:
        verdict = "pass" if limit.holds(result.value) else "fail"
    return result._replace(limit=limit, verdict=verdict)
