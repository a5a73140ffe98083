"""Photos on jobs, steps and stack records, and the marks that tie them to the list."""

from __future__ import annotations

from collections.abc import Sequence

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.files import NewFiles
from repairs.ledger.services import Actor, record_event
from repairs.photos.models import Mark, Photo
from repairs.photos.services import PhotoError, Upload, prepare_uploads, save_photo
from repairs.work_orders.entry_origin import note_origin, tell_signers
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, JobPhoto, StackRecord, Step
from repairs.work_orders.open_job import lock_open_job


def prepare_photos(
    *,
    actor: Actor,
    job: Job,
    files: Sequence[UploadedFile[bytes]],
    new: NewFiles,
    stack_record: StackRecord | None = None,
    caption: str = "",
) -> Upload:
    """Decode uploaded files for a place of a job. Never inside a transaction; each file stands for itself.

    Pictures that are at that place already are left out, so that whoever sends a form's files once more gets none
    twice. Raises PhotoError naming each file when nothing is left, and WorkOrderError when none was sent.
    """
    if not files:
        raise WorkOrderError(_("Choose at least one photo."), "files")
    upload = prepare_uploads(
        actor_id=actor.person_id,
        files=files,
        new=new,
        caption=caption,
        known=frozenset(JobPhoto.objects.digests_at(job, stack_record)),
    )
    if upload.refused and not upload.photos and not upload.known:
        raise PhotoError("\n".join(upload.refused.values()))
    return upload


@transaction.atomic
def place_photos(
    *,
    actor: Actor,
    job: Job,
    photos: Sequence[Photo],
    step: Step | None = None,
    stack_record: StackRecord | None = None,
) -> list[JobPhoto]:
    """Save prepared photos and put them on a job; what another form put there meanwhile is left out."""
    job, placed, late = lock_open_job(job), [], False
    known = JobPhoto.objects.digests_at(job, stack_record)
    for photo in photos:
        if photo.sha256 in known:
            continue
        save_photo(photo)
        place = JobPhoto(job=job, step=step, stack_record=stack_record, photo=photo)
        late = note_origin(place, actor=actor, step=step)
        place.save()
        placed.append(place)
        record_event(
            actor=actor,
            verb="photo.added",
            subject=place,
            job_number=job.number,
            after={
                "photo": str(photo.pk),
                "name": photo.original_name,
                "step": step.title if step else None,
                "stack": stack_record.stage if stack_record else None,
            },
        )
    if placed and late and step is not None:
        tell_signers(actor=actor, step=step, words=_("Photos: {count}").format(count=len(placed)))
    return placed


def add_photos(
    *,
    actor: Actor,
    job: Job,
    files: Sequence[UploadedFile[bytes]],
    step: Step | None = None,
    stack_record: StackRecord | None = None,
    caption: str = "",
) -> list[JobPhoto]:
    """Prepare photos and put them on a job, all or none."""
    with NewFiles() as new:
        upload = prepare_photos(
            actor=actor, job=job, files=files, new=new, stack_record=stack_record, caption=caption
        )
        if upload.refused:
            raise PhotoError("\n".join(upload.refused.values()))
        return place_photos(actor=actor, job=job, photos=upload.photos, step=step, stack_record=stack_record)


@transaction.atomic
def withdraw_photo(*, actor: Actor, job_photo: JobPhoto, reason: str) -> JobPhoto:
    """Take a photo off the job; file and row stay, because papers may already show it."""
    if not reason.strip():
        raise WorkOrderError(_("Enter why the photo is withdrawn."), "reason")
    lock_open_job(job_photo.job_id)
    place = (
        JobPhoto.objects.select_for_update(of=("self",))
        .select_related("job", "stack_record")
        .get(pk=job_photo.pk)
    )
    if place.stack_record is not None and place.stack_record.is_frozen:
        raise WorkOrderError(_("This photo belongs to a signed stack record. It cannot be withdrawn."))
    place.withdrawn_at = timezone.now()
    place.save(update_fields=["withdrawn_at"])
    record_event(
        actor=actor, verb="photo.withdrawn", subject=place, job_number=place.job.number, reason=reason
    )
    return place


@transaction.atomic
def place_mark(
    *, actor: Actor, job_photo: JobPhoto, x: float, y: float, item_uid: str = "", label: str = ""
) -> Mark:
    """Put a mark on a photo, keyed to an item of the stack or with words of its own."""
    lock_open_job(job_photo.job_id)
    _refuse_frozen(job_photo)
    if not (0 <= x <= 1 and 0 <= y <= 1):
        raise WorkOrderError(_("The mark is outside the photo."))
    if not item_uid and not label.strip():
        raise WorkOrderError(_("Choose the item that the mark shows, or name it."), "item_uid")
    if item_uid:
        # One mark an item and photo: placing it again moves it.
        job_photo.photo.marks.filter(item_uid=item_uid).delete()
    mark = Mark.objects.create(photo=job_photo.photo, x=x, y=y, item_uid=item_uid, label=label.strip()[:40])
    record_event(
        actor=actor,
        verb="mark.placed",
        subject=job_photo,
        job_number=job_photo.job.number,
        after={"x": round(x, 4), "y": round(y, 4), "item": item_uid, "label": label},
    )
    return mark


@transaction.atomic
def remove_mark(*, actor: Actor, job_photo: JobPhoto, mark: Mark) -> None:
    """Take a mark off a photo."""
    lock_open_job(job_photo.job_id)
    _refuse_frozen(job_photo)
    record_event(
        actor=actor,
        verb="mark.removed",
        subject=job_photo,
        job_number=job_photo.job.number,
        before={"item": mark.item_uid, "label": mark.label},
    )
    mark.delete()


def _refuse_frozen(job_photo: JobPhoto) -> None:
    record = job_photo.stack_record
    if record is not None and record.is_frozen:
        raise WorkOrderError(_("This photo's stack record is signed. Its marks are locked."))
