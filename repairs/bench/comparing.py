"""Stages of one job side by side."""

from __future__ import annotations

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from bearings.public import StackFileError, Units
from repairs.bench.recorder_rows import stage_tabs
from repairs.bench.recording import counted_directions, shown_of
from repairs.people.models import User
from repairs.work_orders.differing import differences
from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.picturing import difference_marks, picture
from repairs.work_orders.services.stack_signing import standing_differences
from repairs.work_orders.warning_words import difference_text

Rows = list[dict[str, object]]
# A difference to what was found is the repair's business; one to what is specified stops it.
PAIRS = ((Stage.AS_FOUND, Stage.SPECIFIED, "note"), (Stage.SPECIFIED, Stage.AS_BUILT, "stop"))


def comparison_context(job: Job, user: User) -> dict[str, object]:
    """Return the newest record of each stage as a drawing, and the differences of each neighbouring pair."""
    records: dict[str, StackRecord] = {}
    for record in job.stack_records.select_related("job__motor", "assessment").order_by("revision"):
        records[record.stage] = record
    pairs, marks = [], {}
    for first, second, severity in PAIRS:
        if first not in records or second not in records:
            continue
        rows, problem = _differences(records[first], records[second], severity, user.unit_system)
        marks[second.value] = difference_marks(rows)
        pairs.append({"first": first.label, "second": second.label, "rows": rows, "problem": problem})
    columns = [_column(stage, records.get(stage), marks.get(stage, {}), user) for stage in Stage]
    return {"job": job, "columns": columns, "pairs": pairs, "stages": stage_tabs(job, "")}


def _differences(before: StackRecord, after: StackRecord, severity: str, units: Units) -> tuple[Rows, str]:
    if after.stage == Stage.AS_BUILT and not after.is_frozen:
        return [], _("Not compared yet. The stack as built is still being recorded.")
    try:
        if after.stage == Stage.AS_BUILT:
            rows = standing_differences(after, before)
        else:
            rows = differences(before, after)
    except StackFileError:
        return [], _("Not compared: a part or a face is unknown in one of the records.")
    shown = (
        {"code": row["code"], "ref_after": row["ref_after"], "title": difference_text(row, units)}
        for row in rows
    )
    return [{**row, "severity": severity} for row in shown], ""


def _column(stage: Stage, record: StackRecord | None, marks: dict[str, str], user: User) -> dict[str, object]:
    if record is None:
        return {"name": stage.label, "empty": True}
    shown = shown_of(record, user)
    drawing = ""
    if shown.stack is not None and shown.stack.items:
        drawing = picture(
            shown.stack,
            loads=shown.loads,
            units=user.units,
            prefix=f"s-{stage.value.replace('_', '-')}",
            size="compact",
            marks=marks,
        )
    return {
        "name": stage.label,
        "revision": record.revision,
        "state": record.get_state_display(),
        "drawing": mark_safe(drawing),  # made by bearings.drawing, which escapes every text
        "counted": counted_directions(record),
        "words": shown.words,
        "marks": [f"{ref}: {marks[ref]}" for ref, _entry in refs_of(record.items) if ref in marks],
    }
