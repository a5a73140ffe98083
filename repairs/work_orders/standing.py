"""What of a stack as built no two people can let pass: it is built again, or specified anew."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _

from repairs.work_orders.judging import NEVER_ACCEPTED, judge, refs_of, shop_limits, stored_findings
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.reasons import Reason
from repairs.work_orders.services.stack_signing import current_specified, standing_differences
from repairs.work_orders.warning_words import DifferenceRow


def never_carried(record: StackRecord) -> list[str]:
    """Say where nothing carries a direction of thrust in a stack as built, or a guide would that cannot."""
    if record.assessment is not None:
        findings = stored_findings(record.assessment)
    else:
        findings = list(judge(record, record.job.motor, shop_limits()).findings)
    if not any(one.severity == "stop" and one.code in NEVER_ACCEPTED for one in findings):
        return []
    words = _("In the stack as built, some thrust is not carried, or is on a guide that cannot carry it.")
    return [Reason(words, f"never:{record.pk}", never=True)]


def faces_differ(rows: Sequence[DifferenceRow], built: StackRecord, specified: StackRecord) -> bool:
    """Whether a face as built is another than specified: a bearing turned over, or another face at its place.

    A bearing of another serial that also lies the other way reads as one missing and one added; its place tells.
    """
    if any(row["code"] == "turned-over" for row in rows):
        return True
    now, then = _faces(built), _faces(specified)
    return len(now) == len(then) and now != then


def face_was_wrong(job: Job) -> bool:
    """Whether the stack last submitted as built had a face another way than specified, and none was submitted since."""
    records = job.stack_records.filter(stage=Stage.AS_BUILT).order_by("-revision")
    newest, specified = records.first(), current_specified(job)
    if newest is None or newest.is_frozen or specified is None:
        return False
    before = records.signed().first()
    return before is not None and faces_differ(standing_differences(before, specified), before, specified)


def _faces(record: StackRecord) -> list[str]:
    return [str(entry["data"].get("wide_face", "")) for ref, entry in refs_of(record.items) if ref.isdigit()]
