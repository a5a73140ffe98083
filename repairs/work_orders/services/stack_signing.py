"""Sign stack records. What is signed is frozen together with the checker's answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.public import Finding
from repairs.ledger.services import Actor, record_event
from repairs.work_orders.differing import HEIGHTS, MEASURED_PARTS, differences
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.judging import (
    Judgement,
    faces_unknown,
    judge,
    refs_of,
    shop_limits,
    store_assessment,
    stored_findings,
)
from repairs.work_orders.looked_for import lacking_answers, unkeyed_bearings
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.services.stack_changes import (
    as_seen,
    carried_out,
    newer_state,
    refuse_earlier_recorder,
    stale,
)
from repairs.work_orders.services.stack_editing import NOTE_LENGTH, latest
from repairs.work_orders.warning_words import Alert, DifferenceRow, alert_of

__all__ = [
    "current_specified",
    "differences",
    "freeze",
    "missing_before_signing",
    "ready_to_sign",
    "refresh_alert",
    "sign_record",
    "standing_differences",
    "submit_built",
]


def missing_before_signing(record: StackRecord) -> list[str]:
    """Return what a record still lacks before it can be signed, in words."""
    lacking = []
    if not any(entry["data"].get("kind") == "bearing" for entry in record.items):
        lacking.append(_("No bearings on the list."))
    lacking += [_face_lacking(ref) for ref in faces_unknown(record)]
    if record.stage in {Stage.SPECIFIED, Stage.AS_BUILT}:
        lacking += _not_written_down(record)
    if record.stage in {Stage.AS_FOUND, Stage.AS_BUILT}:
        if not record.top_identified:
            lacking.append(_("The top of the mount is not marked."))
        if not _photo_count(record):
            lacking.append(_("Photo of the stack needed."))
    if record.stage == Stage.AS_FOUND:
        lacking += lacking_answers(record)
        # Asked of the database only when all else is there, so that a touch on the list stays quick.
        if not lacking and (refs := unkeyed_bearings(record)):
            words = _("Bearing {refs} is not marked on a photo. Tap it on the photo.")
            lacking.append(words.format(refs=", ".join(refs)))
    return lacking


def _not_written_down(record: StackRecord) -> list[str]:
    """Return what a stack as built is compared by: a field left blank on either side would read as another part."""
    lacking = []
    for ref, entry in refs_of(record.items):
        data = entry["data"]
        if data.get("kind") == "bearing" and not data.get("designation"):
            lacking.append(_("Bearing {ref}: designation missing.").format(ref=ref))
        elif data.get("kind") != "bearing" and not data.get("ring"):
            lacking.append(_("Part {ref}: enter which ring it sits against.").format(ref=ref))
        if data.get("kind") in MEASURED_PARTS and not any(data.get(name) for name in HEIGHTS):
            lacking.append(_("Part {ref}: measure and enter its height.").format(ref=ref))
    return lacking


def _face_lacking(ref: str) -> str:
    if ref.startswith("g"):
        return _("The face of guide {number} is not known.").format(number=ref[1:])
    return _("The face of bearing {ref} is not known.").format(ref=ref)


def _photo_count(record: StackRecord) -> int:
    counted: int | None = getattr(record, "photo_count", None)
    return counted if counted is not None else record.photos.filter(withdrawn_at__isnull=True).count()


def current_specified(job: Job) -> StackRecord | None:
    """Return the newest specified stack that a lead approved; what was proposed before the estimate is none yet."""
    approved = job.stack_records.signed().filter(stage=Stage.SPECIFIED, is_proposal=False)
    return approved.order_by("-revision").first()


def ready_to_sign(record: StackRecord, version: int, stage: str, note: str | None = None) -> StackRecord:
    """Return the record as it is now, with its job's row locked, or refuse with all that is missing.

    ``note`` is what stood typed beside the button: who signs means it to be signed too.
    """
    lock_open_job(record.job_id)
    now = as_seen(newer_state(record), version)
    if now.stage != stage:
        raise WorkOrderError(_("“{stage}” cannot be signed here.").format(stage=now.get_stage_display()))
    if lacking := missing_before_signing(now):
        raise WorkOrderError(" ".join(lacking))
    if note is not None:
        now.note = note.strip()[:NOTE_LENGTH]
    return now


def freeze(
    record: StackRecord,
    *,
    actor: Actor,
    verb: str,
    after: Mapping[str, Any],
    form_key: str,
    judged: Judgement | None = None,
) -> StackRecord:
    """Sign the record in the version that was looked at, and keep the checker's answer of this moment with it.

    ``judged`` is that answer where the caller asked for it in the same transaction.
    """
    version, now = record.version, timezone.now()
    before = {"state": record.state}
    record.assessment = store_assessment(judged or judge(record, record.job.motor, shop_limits()))
    record.submitted_at = record.submitted_at or now
    record.submitted_by_id = record.submitted_by_id or actor.person_id
    record.signed_at, record.signed_by_id = now, actor.person_id
    record.state, record.undo, record.version = StackRecord.State.SIGNED, [], version + 1
    written = StackRecord.objects.change_unsigned(
        record.pk,
        version,
        assessment=record.assessment,
        submitted_at=record.submitted_at,
        submitted_by_id=record.submitted_by_id,
        signed_at=now,
        signed_by_id=actor.person_id,
        state=record.state,
        undo=[],
        version=record.version,
        note=record.note,
        is_proposal=record.is_proposal,
        compared_with=record.compared_with,
        differences=record.differences,
    )
    if not written:
        raise stale(record, version)
    record.frozen_now()
    record_event(
        actor=actor,
        verb=verb,
        subject=record,
        job_number=record.job.number,
        before=before,
        after={
            "stage": record.stage,
            "revision": record.revision,
            "note": record.note,
            **after,
            "version": record.version,
            "form_key": form_key,
        },
    )
    refresh_alert(record.job)
    return record


@transaction.atomic
def sign_record(
    *, actor: Actor, record: StackRecord, version: int, form_key: str = "", note: str | None = None
) -> StackRecord:
    """Sign a stack as found."""
    if carried_out(actor=actor, record=record, form_key=form_key):
        return newer_state(record)
    now = ready_to_sign(record, version, Stage.AS_FOUND, note)
    return freeze(now, actor=actor, verb="stack.signed", after={}, form_key=form_key)


@transaction.atomic
def submit_built(
    *, actor: Actor, record: StackRecord, version: int, form_key: str = "", note: str | None = None
) -> StackRecord:
    """Submit a stack as built: it is frozen, and only then compared with the specified one.

    After a difference the next record must come from another person, with a photo of its own.
    """
    if carried_out(actor=actor, record=record, form_key=form_key):
        return newer_state(record)
    now = ready_to_sign(record, version, Stage.AS_BUILT, note)
    specified = current_specified(now.job)
    if specified is None:
        raise WorkOrderError(_("No approved specified stack to compare with."))
    refuse_earlier_recorder(now, actor)
    _refuse_old_photos(now)
    rows = differences(specified, now)
    now.compared_with = specified
    now.differences = rows
    after = {"compared_with": specified.revision, "differences": rows}
    return freeze(now, actor=actor, verb="stack.built", after=after, form_key=form_key)


def _refuse_old_photos(record: StackRecord) -> None:
    """After an earlier record, at least one photo must be another picture than those taken then."""
    if record.revision == 1:
        return
    earlier = StackRecord.objects.filter(job=record.job, stage=record.stage, revision__lt=record.revision)
    old = earlier.filter(photos__isnull=False).values("photos__photo__sha256")
    photos = record.photos.filter(withdrawn_at__isnull=True)
    if not photos.exclude(photo__sha256__in=old).exists():
        raise WorkOrderError(_("Take a new photo of the stack. Photos of the earlier record do not count."))


def standing_differences(built: StackRecord, specified: StackRecord) -> list[DifferenceRow]:
    """Return how a stack as built differs from a specified one: as it was compared, or now for a newer revision.

    A deviation that the lead specified anew, and approved, is no difference any more.
    """
    if built.compared_with_id == specified.pk:
        return list(built.differences or [])
    return differences(specified, built)


def refresh_alert(job: Job) -> None:
    """Repeat on the job's row what its newest stack records warn of, so that the board can say it."""
    built, specified = latest(job, Stage.AS_BUILT), current_specified(job)
    # Before the estimate the proposal is what the bearings are priced by: its findings are worth as much.
    specified = specified or job.stack_records.signed().filter(stage=Stage.SPECIFIED).last()
    severity: str = ""
    alert: Alert | None = None
    rows = standing_differences(built, specified) if built and specified and built.is_frozen else []
    if rows:
        # A bearing turned over can leave a thrust that nothing carries: the board names it before all else.
        first = next((row for row in rows if row["code"] == "turned-over"), rows[0])
        severity, alert = "stop", {"kind": "difference", **first}
    elif specified is not None and (finding := _worst_finding(specified)):
        severity, alert = finding.severity, alert_of(finding)
    job.alert_severity, job.alert = severity, alert
    job.save(update_fields=["alert_severity", "alert"])


def _worst_finding(record: StackRecord) -> Finding | None:
    if record.assessment is None:
        return None
    accepted = set(record.accepted_findings.standing().values_list("code", "ref"))
    open_ = [one for one in stored_findings(record.assessment) if (one.code, one.ref or "") not in accepted]
    graver = [one for severity in ("stop", "warn") for one in open_ if one.severity == severity]
    return graver[0] if graver else None
