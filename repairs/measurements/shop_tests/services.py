"""Make a shop test: kept with its answer, its figures filed as readings of the step. Correct one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from bearings.public import plain
from repairs.ledger.services import Actor, record_event
from repairs.measurements.engineering.shape import Subject, Value
from repairs.measurements.limits import refused_number
from repairs.measurements.models import Instrument, Reading, TestRecord
from repairs.measurements.shop_tests.codec import answer_data, entries_data, machine_data
from repairs.measurements.shop_tests.judging import (
    JudgedTest,
    doubt_key,
    judge_test,
    kept_value,
    subject_of,
    with_limits,
)
from repairs.measurements.shop_tests.own_rows import own_labels
from repairs.measurements.shop_tests.sheets import OWN, Sheet, sheet_of
from repairs.measurements.standing_limits import EARLIER, Standing, time_of_making
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.units import QUANTITIES
from repairs.work_orders.entry_origin import note_origin, tell_signers
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Step, StepKind
from repairs.work_orders.open_job import lock_open_job

# What is found before the work; from balance on it is what is left.
LEFT_FROM: frozenset[str] = frozenset(
    {StepKind.WINDING, StepKind.MACHINING, StepKind.BALANCE, StepKind.MOUNT, StepKind.END_PLAY, StepKind.FINAL_TEST,
     StepKind.SHIP}
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class TestEntry:
    """What a person entered of a test: ``typed`` as it was written with its unit, ``values`` in canonical units."""

    __test__ = False

    test: str
    values: Mapping[str, Value]
    typed: Mapping[str, Any] = field(default_factory=dict)
    instrument: str = ""
    note: str = ""
    confirmed: tuple[str, ...] = ()


def moment_of(step: Step | None) -> str:
    """Return whether a test at a step tells how the motor came, or how it leaves."""
    left = step is not None and step.kind in LEFT_FROM
    return Reading.Moment.AS_LEFT if left else Reading.Moment.AS_FOUND


@transaction.atomic
def record_test(*, actor: Actor, job: Job, step: Step, entry: TestEntry) -> TestRecord:
    """Keep a shop test with its verdict. Nobody types a limit here; doubts are confirmed or asked again."""
    job = lock_open_job(job)
    if step.job_id != job.pk:
        raise WorkOrderError(_("This step belongs to another job."), "step")
    return _keep(actor, job, step, entry, replaces=None, reason="")


@transaction.atomic
def correct_test(*, actor: Actor, record: TestRecord, entry: TestEntry, reason: str) -> TestRecord:
    """Keep the test that takes another one's place. The first stays readable, with its readings."""
    if not reason.strip():
        raise WorkOrderError(_("Enter why the test is corrected."), "reason")
    job = lock_open_job(record.job_id)
    if TestRecord.objects.filter(replaces=record).exists():
        raise WorkOrderError(_("This test was already corrected. Correct the newer one."))
    if record.step is None:
        raise WorkOrderError(_("This test belongs to no step. Make a new one."))
    return _keep(actor, job, record.step, entry, replaces=record, reason=reason.strip()[:300])


def _keep(
    actor: Actor, job: Job, step: Step, entry: TestEntry, *, replaces: TestRecord | None, reason: str
) -> TestRecord:
    step.job = job
    sheet = sheet_of(step)
    subject = subject_of(entry.test, sheet)
    if subject is None:
        raise WorkOrderError(_("Choose a test from the list."), "test")
    if not entry.values:
        raise WorkOrderError(_("Enter at least one value."))
    at = time_of_making(actor)
    _refuse_values(subject, entry)
    judged = judge_test(job, subject, entry.values, measurer=actor.person_id, at=at)
    earlier = _earlier(replaces)
    if earlier:
        whoever = judge_test(job, subject, entry.values, measurer=None, at=at)
        judged = _with_kept_limits(judged, whoever, earlier, actor)
    _refuse_doubts(judged, entry)
    record = TestRecord(
        job=job,
        step=step,
        moment=replaces.moment if replaces else moment_of(step),
        test=entry.test,
        sheet_version=sheet.version if sheet else 0,
        typed=dict(entry.typed),
        entries=entries_data(judged.entries),
        machine=machine_data(judged.machine),
        answer=answer_data(judged.answer),
        confirmed=list(entry.confirmed),
        verdict=judged.answer.verdict,
        instrument=entry.instrument.strip()[:80],
        calibration_due=_calibration_due(entry.instrument),
        note=entry.note.strip()[:300],
        person_id=actor.person_id,
        person_name=actor.name,
        replaces=replaces,
        reason=reason,
    )
    late = note_origin(record, actor=actor, step=None if replaces else step)
    record.save()
    readings = _file_readings(record, judged, actor, result_labels(entry.test, sheet), earlier)
    _tell(record, actor, step, late=late)
    _record(record, readings, actor)
    return record


def _refuse_values(subject: Subject, entry: TestEntry) -> None:
    """Refuse what no field of the test takes, whoever sends it: a form says the same beside its box."""
    for asked in subject.fields:
        value = entry.values.get(asked.code)
        if isinstance(value, int | float) and not asked.low <= value <= asked.high:
            words = _("{value} is out of range. Accepted: {low} to {high} {unit}.")
            unit = QUANTITIES[asked.quantity][0].name if asked.quantity in QUANTITIES else ""
            told = {"value": plain(value), "low": plain(asked.low), "high": plain(asked.high), "unit": unit}
            raise WorkOrderError(words.format(**told).replace(" .", "."), asked.code)
    if unknown := set(entry.values) - {asked.code for asked in subject.fields}:
        raise WorkOrderError(_("This test has no field {name}.").format(name=sorted(unknown)[0]))


def _earlier(replaces: TestRecord | None) -> dict[str, Reading]:
    """Return the readings that a correction takes the place of, by what they are of."""
    if replaces is None:
        return {}
    return {one.asked: one for one in replaces.readings.filter(replaced_by__isnull=True)}


def _with_kept_limits(
    judged: JudgedTest, whoever: JudgedTest, earlier: Mapping[str, Reading], actor: Actor
) -> JudgedTest:
    """Return a correction held to the limits of what it corrects.

    Who entered such a limit, or what it rests on, does not correct: ``whoever`` tells what stands whoever measures.
    """
    kept: dict[str, Standing] = {}
    for code, row in earlier.items():
        if row.limit_low is None and row.limit_high is None:
            continue
        now = whoever.standing.get(code)
        if row.limit_by_id == actor.user_id or (now is not None and now.typed_by_person(actor.user_id)):
            raise WorkOrderError(_("You entered the limit of this reading. Another person corrects it."))
        kept[code] = Standing(
            low=row.limit_low,
            high=row.limit_high,
            unit=row.unit,
            source=row.limit_source,
            typed_by=row.limit_by_id,
            origin=now.origin if now is not None else EARLIER,
        )
    return with_limits(judged, kept) if kept else judged


def _refuse_doubts(judged: JudgedTest, entry: TestEntry) -> None:
    """Ask about what is hardly meant; once confirmed, it is kept as it was typed."""
    doubts = [
        one
        for one in judged.answer.notes
        if one.severity == "doubt" and doubt_key(one) not in entry.confirmed
    ]
    if doubts:
        raise WorkOrderError(_("Check the value and confirm it, or correct it."), "confirmed")


def _calibration_due(tag: str) -> Any:
    row = Instrument.objects.filter(tag=tag.strip()).first()
    return row.calibration_due if row else None


def _file_readings(
    record: TestRecord,
    judged: JudgedTest,
    actor: Actor,
    labels: Mapping[str, str],
    earlier: Mapping[str, Reading],
) -> list[Reading]:
    """File each figure that is held to a limit, or waits for one, as a reading of the step."""
    rows = []
    for result in judged.answer.results:
        if result.value is None or result.verdict == "noted":
            continue
        standing = judged.standing.get(result.code)
        value, unit = kept_value(result.value, result.quantity, standing)
        if message := refused_number(value):
            raise WorkOrderError(message)
        row = Reading(
            job=record.job,
            step=record.step,
            moment=record.moment,
            quantity=labels[result.code][:120],
            asked=result.code,
            value=value,
            unit=unit,
            limit_low=standing.low if standing else None,
            limit_high=standing.high if standing else None,
            limit_source=standing.source if standing else "",
            limit_by_id=standing.typed_by if standing else None,
            limit_sureness=result.limit.source.sureness if result.limit else "",
            verdict=result.verdict,
            instrument=record.instrument,
            note=record.reason,
            made_at=record.made_at,
            arrived_later=record.arrived_later,
            person_id=actor.person_id,
            person_name=actor.name,
            test=record,
            replaces=earlier.get(result.code),
        )
        row.save()
        rows.append(row)
    return rows


def result_labels(test: str, sheet: Sheet | None) -> dict[str, str]:
    """Return the names of a test's results, as pages and papers say them."""
    if test == OWN:
        return own_labels(sheet) if sheet is not None else {}
    return {code: str(label) for code, label in WORDS[test].results.items()}


def _tell(record: TestRecord, actor: Actor, step: Step, *, late: bool) -> None:
    if late:
        words = _("Test {name}: {verdict}")
        name = "" if record.test == OWN else str(WORDS[record.test].title)
        tell_signers(
            actor=actor, step=step, words=words.format(name=name, verdict=record.get_verdict_display())
        )


def _record(record: TestRecord, readings: list[Reading], actor: Actor) -> None:
    before = record.replaces
    record_event(
        actor=actor,
        verb="test.corrected" if before else "test.recorded",
        subject=record,
        job_number=record.job.number,
        before={"test": before.pk, "verdict": before.verdict} if before else None,
        after={
            "test": record.test,
            "verdict": record.verdict,
            "readings": [[one.quantity, str(one.value), one.unit, one.verdict] for one in readings],
            "at_step": record.step.title if record.step else "",
            "arrived_later": record.arrived_later,
        },
        reason=record.reason,
    )
