"""Answer, as the second person, how the wide face of one bearing looks."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.work_orders.builders import builders
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.looks import asked_of, comparison_open
from repairs.work_orders.models import BearingLook, JobPhoto, StackRecord, Stage
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.two_people import pin_set_by_a_builder

Face = BearingLook.Face


@transaction.atomic
def answer_look(
    *, actor: Actor, record: StackRecord, uid: str, face: str, photo: JobPhoto | None = None
) -> BearingLook:
    """Write down what the second person saw of a bearing: itself, or a photo of this build that shows its face.

    A bearing is seen before the next part hides it, so while the stack is still being recorded; once it is submitted
    only the top one is, and the others are answered from a photo.
    """
    job = lock_open_job(record.job_id)
    now = StackRecord.objects.get(pk=record.pk)
    if now.stage != Stage.AS_BUILT or StackRecord.objects.filter(
        job=job, stage=Stage.AS_BUILT, revision__gt=now.revision
    ):
        raise WorkOrderError(_("The stack was recorded again. Check the newest record."))
    if actor.user_id in builders(job):
        raise WorkOrderError(
            _("You built or recorded this stack. Another person must check it before the cap goes on.")
        )
    if pin_set_by_a_builder(actor, job):
        raise WorkOrderError(
            _("Someone who built this stack set your PIN today. Sign in with your password.")
        )
    asked = asked_of(now)
    ref = next((one for one, own in asked if own == uid), None)
    if ref is None:
        raise WorkOrderError(_("This bearing is no longer on the list."))
    if comparison_open(now, actor.person_id):
        raise WorkOrderError(
            _("You answered for every bearing and saw the comparison. Your answers are final.")
        )
    _refuse_unseen(now, face, photo, on_top=uid == asked[0][1])
    look = BearingLook.objects.create(
        record=now,
        uid=uid,
        face=face,
        photo=photo if face != Face.CANNOT_SEE else None,
        person_id=actor.person_id,
        person_name=actor.name,
    )
    record_event(
        actor=actor,
        verb="bearing.looked_at",
        subject=look,
        job_number=job.number,
        after={"ref": ref, "face": face, "photo": look.photo_id},
    )
    return look


def _refuse_unseen(record: StackRecord, face: str, photo: JobPhoto | None, *, on_top: bool) -> None:
    """Refuse a face that nobody can have seen: of a bearing that others hide, without a photo of this build."""
    if face not in Face.values:
        raise WorkOrderError(_("Choose up, down, or cannot see it."), "face")
    if photo is not None:
        if photo.stack_record_id != record.pk or photo.withdrawn_at is not None:
            raise WorkOrderError(_("Choose a photo taken for this build record."), "photo")
    elif face != Face.CANNOT_SEE and record.is_frozen and not on_top:
        raise WorkOrderError(
            _("Other parts hide this bearing now. Choose the photo of this build that shows its face."),
            "photo",
        )
