"""Evidence of a measured gate: every reading of the step's list, each a pass against a limit that stood before it."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _

from bearings.public import exact
from repairs.ledger.services import Actor
from repairs.measurements.asked_readings import AskedReading
from repairs.measurements.models import Reading, ReadingJudgment, RunConcession, TestRecord
from repairs.measurements.shop_tests.required import required_at
from repairs.measurements.shop_tests.sheets import OWN, STANDARD, sheet_of
from repairs.work_orders.gates import add_gate
from repairs.work_orders.models import Step, StepKind
from repairs.work_orders.reasons import Reason

Verdict = Reading.Verdict
MEASURED_GATES = (StepKind.END_PLAY, StepKind.FINAL_TEST)


def counted(rows: Iterable[Reading], asked: str) -> Reading | None:
    """Return the reading that counts: the newest with a limit; one without never replaces it."""
    of_it = [one for one in rows if one.asked == asked]
    checked = [one for one in of_it if one.verdict != Verdict.NOT_CHECKED]
    newest = checked or of_it
    return newest[-1] if newest else None


def standing_rows(step: Step) -> list[Reading]:
    """Return the readings of a step that no later one corrects, oldest first."""
    return list(Reading.objects.filter(step=step).standing().order_by("id"))


def failing(step: Step) -> list[Reading]:
    """Return what counts on a step and is out of its limits; what was written down besides, its newest."""
    rows = standing_rows(step)
    others = {one.quantity.casefold(): one for one in rows if not one.asked}
    found = [counted(rows, one.code) for one in required_at(step)]
    return [one for one in (*found, *others.values()) if one is not None and one.verdict == Verdict.FAIL]


def evidence_lacking(step: Step, _actor: Actor) -> list[str]:
    """A gate: everything on the step's list is measured, and passes against a limit that stood before the reading.

    A value that no limit stood for is judged by a lead who did not measure. A run that cannot be made passes by the
    customer's concession; one that failed never does.
    """
    rows = standing_rows(step)
    judged = set(ReadingJudgment.objects.filter(reading__step=step).values_list("reading_id", flat=True))
    conceded = RunConcession.objects.filter(step=step).exists()
    lacking: list[str] = [
        reason
        for one in required_at(step)
        if (reason := _lacking(step, one, counted(rows, one.code), judged, conceded=conceded)) is not None
    ]
    words = _("{quantity}: {value} {unit} is out of limits. Fix it and measure again.")
    return lacking + [
        Reason(
            words.format(quantity=one.quantity, value=exact(one.value), unit=one.unit),
            f"reading:{one.pk}",
        )
        for one in failing(step)
    ]


def _lacking(
    step: Step, asked: AskedReading, row: Reading | None, judged: set[int], *, conceded: bool
) -> Reason | None:
    if row is None:
        if conceded and asked.of_run:
            return None
        words = _("{reading}: not measured yet.")
        return Reason(words.format(reading=asked.label), f"unmeasured:{step.pk}:{asked.code}")
    if row.verdict == Verdict.NOT_CHECKED and row.pk not in judged:
        words = _(
            "{reading}: no limit was set when it was measured. A lead who did not measure must judge it."
        )
        return Reason(words.format(reading=asked.label), f"reading:{row.pk}")
    return None


def own_rows_lacking(step: Step, _actor: Actor) -> list[str]:
    """A gate: what the shop's own rows of a step's sheet require is answered, and as it must be."""
    sheet = sheet_of(step)
    required = [row for row in (sheet.own if sheet else ()) if row.required]
    if sheet is None or not required:
        return []
    record = TestRecord.objects.filter(step=step, test=OWN).standing().order_by("-id").first()
    answered = record.entries if record is not None else {}
    lacking: list[str] = [
        Reason(_("{row}: not answered yet.").format(row=row.label), f"unanswered:{step.pk}:{row.code}")
        for row in required
        if row.code not in answered
    ]
    if record is not None:
        words = _("{row}: answered {said}. Fix it and answer again.")
        lacking += [
            Reason(words.format(row=row.label, said=answered[row.code]), f"test:{record.pk}:{row.code}")
            for row in required
            if row.must and answered.get(row.code, row.must) != row.must
        ]
    return lacking


def required_not_measured(step: Step, _actor: Actor) -> list[str]:
    """A gate of the steps before the repair: what the sheet requires is measured. How the motor came may well fail."""
    rows = standing_rows(step)
    return [
        Reason(
            _("{reading}: not measured yet.").format(reading=one.label), f"unmeasured:{step.pk}:{one.code}"
        )
        for one in required_at(step)
        if counted(rows, one.code) is None
    ]


def guard_tests() -> None:
    """Keep end play and final test from being signed without evidence, and any step without what its sheet requires."""
    for kind in MEASURED_GATES:
        add_gate(kind, evidence_lacking)
    for asking in {one.kind for one in STANDARD}:
        add_gate(asking, own_rows_lacking)
        if asking not in MEASURED_GATES:
            add_gate(asking, required_not_measured)
