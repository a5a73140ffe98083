"""Stages of one job side by side."""

from __future__ import annotations

from typing import Any

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from repairs.people.models import User
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.judging import judge, shop_limits
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.picturing import arrangement_words, difference_marks, loads_of, picture
from repairs.work_orders.services.stack_editing import latest
from repairs.work_orders.services.stack_signing import differences


def comparison_context(job: Job, user: User) -> dict[str, Any]:
    """Return the newest record of each stage as a drawing, and the differences of each neighbouring pair."""
    records = {stage: latest(job, stage) for stage in Stage}
    limits = shop_limits()
    pairs = []
    marks: dict[str, dict[str, str]] = {}
    for first, second in ((Stage.AS_FOUND, Stage.SPECIFIED), (Stage.SPECIFIED, Stage.AS_BUILT)):
        before, after = records[first], records[second]
        if before is None or after is None:
            continue
        rows, problem = _differences(before, after)
        marks[second] = difference_marks(rows)
        pairs.append({"first": first.label, "second": second.label, "rows": rows, "problem": problem})
    columns = [_column(stage, records[stage], marks.get(stage, {}), job, limits, user) for stage in Stage]
    return {"job": job, "columns": columns, "pairs": pairs}


def _differences(before: StackRecord, after: StackRecord) -> tuple[list[dict[str, Any]], str]:
    try:
        found = differences(before, after)
    except (WorkOrderError, ValueError):
        return [], _("Not compared: a part of one of the two records is not complete.")
    return [
        {"code": row.code, "ref_before": row.ref_before, "ref_after": row.ref_after, "text": row.text}
        for row in found
    ], ""


def _column(
    stage: Stage,
    record: StackRecord | None,
    marks: dict[str, str],
    job: Job,
    limits: dict[str, Any],
    user: User,
) -> dict[str, Any]:
    if record is None:
        return {"name": stage.label, "empty": True}
    judgement = judge(record, job.motor, limits)
    drawing = ""
    if judgement.stack is not None and judgement.stack.items:
        drawing = picture(
            judgement.stack,
            loads=loads_of(judgement.assessment),
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
        "words": arrangement_words(judgement.assessment),
    }
