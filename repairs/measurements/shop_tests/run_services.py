"""A run while it goes on: rows are kept as they are read, and together become one test when the run ends."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from django.db import transaction
from django.utils.translation import gettext as _

from bearings.public import plain
from repairs.ledger.services import Actor, record_event
from repairs.measurements.engineering.shape import Row, Value
from repairs.measurements.engineering.subjects.run_temperatures import CODES
from repairs.measurements.models import RunRow, TestRecord
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.work_orders.entry_origin import note_origin, tell_signers
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Step
from repairs.work_orders.open_job import lock_open_job

TEST: Final = "run_temperatures"
MINUTE: Final = CODES[0]
DAY: Final = 24 * 60
# A clock this far ahead of the run's first one is taken for a time before it.
LONGEST_RUN: Final = 20 * 60
LONGEST_MINUTE: Final = 100_000.0
_CLOCK: Final = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)")


@dataclass(frozen=True, slots=True, kw_only=True)
class RowEntry:
    """One row as a person entered it: ``time`` is minutes since start, or the clock."""

    time: str
    values: Mapping[str, float]
    typed: Mapping[str, Any] = field(default_factory=dict)
    facts: Mapping[str, str] = field(default_factory=dict)


def current_run(step: Step) -> int:
    """Return the number of the run that goes on at a step, or begins with the next row. One query."""
    return TestRecord.objects.filter(step=step, test=TEST, replaces__isnull=True).count() + 1


def rows_of(step: Step, run: int) -> list[RunRow]:
    """Return the rows of a run that stand, in order of time. One query."""
    return list(RunRow.objects.of_run(step, run).standing())


@transaction.atomic
def add_row(*, actor: Actor, job: Job, step: Step, run: int, entry: RowEntry) -> RunRow:
    """Keep one row of a run that goes on."""
    job = _open_run(job, step, run)
    if not entry.values:
        raise WorkOrderError(_("Enter at least one temperature."))
    standing = rows_of(step, run)
    minute, clock = _minute(entry.time, standing)
    if any(one.minute == minute for one in standing):
        words = _("This run has a row at {minute} min already. Strike that row out first, or fix the time.")
        raise WorkOrderError(words.format(minute=plain(minute)), "time")
    row = RunRow(
        job=job,
        step=step,
        run=run,
        minute=minute,
        clock=clock,
        values=dict(entry.values),
        typed=dict(entry.typed),
        facts=dict(entry.facts),
        person_id=actor.person_id,
        person_name=actor.name,
    )
    late = note_origin(row, actor=actor, step=step)
    row.save()
    if late:
        tell_signers(
            actor=actor, step=step, words=_("Run reading at {minute} min").format(minute=plain(minute))
        )
    record_event(
        actor=actor,
        verb="run_row.added",
        subject=row,
        job_number=job.number,
        before=None,
        after={"run": run, "minute": minute, "values": row.values},
    )
    return row


@transaction.atomic
def strike_row(*, actor: Actor, row: RunRow) -> RunRow:
    """Strike out a row that was wrong. It stays readable; the row to take its place is a new one."""
    job = _open_run(row.job_id, row.step, row.run)
    if row.strikes_id is not None or RunRow.objects.filter(strikes=row).exists():
        raise WorkOrderError(_("This row is struck out already."))
    made = RunRow(
        job=job,
        step=row.step,
        run=row.run,
        minute=row.minute,
        strikes=row,
        person_id=actor.person_id,
        person_name=actor.name,
    )
    note_origin(made, actor=actor, step=row.step)
    made.save()
    record_event(
        actor=actor,
        verb="run_row.struck",
        subject=made,
        job_number=job.number,
        before={"minute": row.minute, "values": row.values, "by": row.person_name},
        after=None,
    )
    return made


@transaction.atomic
def finish_run(*, actor: Actor, job: Job, step: Step, run: int, entry: TestEntry) -> TestRecord:
    """Make the test of a run from its rows and from what is said at its end."""
    job = _open_run(job, step, run)
    rows = rows_of(step, run)
    if not rows:
        raise WorkOrderError(_("Enter at least one row before you finish the run."))
    if entry.values.get("stopped") == "other" and not entry.note.strip():
        raise WorkOrderError(_("Enter why the run was stopped."), "note")
    whole = TestEntry(
        test=TEST,
        values={**entry.values, "temperatures": series(rows)},
        typed={**entry.typed, "temperatures": {"typed": typed_lines(rows), "unit": ""}},
        instrument=entry.instrument,
        note=entry.note,
        confirmed=entry.confirmed,
    )
    return record_test(actor=actor, job=job, step=step, entry=whole)


def series(rows: Iterable[RunRow]) -> tuple[Row, ...]:
    """Return rows as the series of the test."""
    return tuple((row.minute, *(row.values.get(code) for code in CODES[1:])) for row in rows)


def facts_of(rows: Iterable[RunRow]) -> dict[str, Value]:
    """Return what was said of bearings and load; a later row's word counts."""
    found: dict[str, Value] = {}
    for row in sorted(rows, key=lambda one: one.pk):
        found |= {code: value for code, value in row.facts.items() if value}
    return found


def typed_lines(rows: Iterable[RunRow]) -> str:
    """Return rows as they would be typed into the test's own box: each figure with its unit."""
    return "\n".join("; ".join([plain(row.minute), *map(row_text, _typed(row))]) for row in rows)


def _typed(row: RunRow) -> list[Mapping[str, str]]:
    return [row.typed.get(code, {}) for code in CODES[1:]]


def row_text(typed: Mapping[str, str]) -> str:
    """Return a figure as it was typed, with its unit; a dash where nothing was read."""
    return f"{typed['typed']} {typed.get('unit', '')}".strip() if typed else "-"


def _open_run(job: Job | int, step: Step, run: int) -> Job:
    """Return the open job of a run that goes on, its row locked."""
    now = lock_open_job(job)
    if step.job_id != now.pk:
        raise WorkOrderError(_("This step belongs to another job."), "step")
    going = current_run(step)
    if run < going:
        raise WorkOrderError(_("This run is finished. Correct the finished test, or enter a new run."))
    if run > going:
        raise WorkOrderError(_("This run has not begun. Open the page again."))
    return now


def _minute(text: str, standing: list[RunRow]) -> tuple[float, str]:
    """Return minutes since the start and the clock, where that was typed."""
    written = text.strip()
    if _CLOCK.fullmatch(written):
        return _of_clock(written, standing), written.zfill(5)
    try:
        minute = float(written.removesuffix("min").replace(",", "."))
    except ValueError:
        minute = -1.0
    if not 0 <= minute <= LONGEST_MINUTE:
        words = _("“{text}” is no time of a run. Enter minutes since start (45), or the clock (14:05).")
        raise WorkOrderError(words.format(text=written[:20]), "time")
    return minute, ""


def _of_clock(clock: str, standing: list[RunRow]) -> float:
    base = next((one for one in standing if one.clock), None)
    if base is None:
        if standing:
            raise WorkOrderError(_("The run began without a clock time. Enter minutes since start."), "time")
        return 0.0
    since = (_minutes_of_day(clock) - _minutes_of_day(base.clock)) % DAY
    if since > LONGEST_RUN:
        words = _("{clock} is before the first reading ({first}). Fix the time.")
        raise WorkOrderError(words.format(clock=clock, first=base.clock), "time")
    return base.minute + since


def _minutes_of_day(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)
