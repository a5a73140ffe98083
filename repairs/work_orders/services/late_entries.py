"""Settle entries that arrived late: seen by the signer, accepted into a reopened job, or set aside with a reason."""

from __future__ import annotations

from typing import Any, Final

from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils import timezone
from django.utils.datastructures import MultiValueDict
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.entry_origin import made_at
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, LateEntry
from repairs.work_orders.services.ended_job import reopen_job

FOLDER: Final = "late"


def store_files(files: MultiValueDict[str, UploadedFile[bytes]], name: str) -> list[list[str]]:
    """Write the files of a form, and return of each its field, name, type and place. Never inside a transaction."""
    return [
        [field, file.name or "", file.content_type or "", default_storage.save(f"{FOLDER}/{name}", file)]
        for field, sent in files.lists()
        for file in sent
    ]


@transaction.atomic
def keep_for_lead(
    *, actor: Actor, job: Job, key: str, words: str, path: str, fields: list[list[str]], files: list[Any]
) -> LateEntry:
    """Keep an entry that arrived after its job ended, as it came; twice is once."""
    entry, new = LateEntry.objects.get_or_create(
        author_id=actor.person_id,
        key=key,
        defaults={
            "job": job,
            "why": LateEntry.Why.ENDED,
            "words": words[:400],
            "author_name": actor.name,
            "device": actor.device,
            "made_at": made_at(actor),
            "path": path[:300],
            "fields": fields,
            "files": files,
        },
    )
    if new:
        record_event(
            actor=actor,
            verb="late_entry.kept",
            subject=entry,
            job_number=job.number,
            after={"name": entry.words},
        )
    return entry


@transaction.atomic
def mark_late_seen(*, actor: Actor, entry: LateEntry) -> LateEntry:
    """Say that one has seen what arrived for a step that one had signed."""
    now = _locked(entry, LateEntry.Why.SIGNED)
    if now.waits_for_id != actor.user_id:
        raise WorkOrderError(_("Only the person who signed the step can mark this as seen."))
    return _settle(now, actor, LateEntry.Outcome.SEEN, "")


@transaction.atomic
def set_aside(*, actor: Actor, entry: LateEntry, reason: str) -> LateEntry:
    """Leave an entry out of the ended job, as a lead, for a reason; it stays readable."""
    _refuse_others(actor, reason)
    return _settle(_locked(entry, LateEntry.Why.ENDED), actor, LateEntry.Outcome.SET_ASIDE, reason)


@transaction.atomic
def accept_into_job(*, actor: Actor, entry: LateEntry, reason: str) -> LateEntry:
    """Reopen the job, as a lead, for an entry that arrived after its end; whoever calls this carries the entry out."""
    _refuse_others(actor, reason)
    now = _locked(entry, LateEntry.Why.ENDED)
    if now.job.state != Job.State.OPEN:
        reopen_job(actor=actor, job=now.job, reason=reason)
    return _settle(now, actor, LateEntry.Outcome.ACCEPTED, reason)


def _refuse_others(actor: Actor, reason: str) -> None:
    if not role_may(actor.role, Permission.REOPEN_JOBS):
        raise WorkOrderError(_("Only a lead can settle an entry that arrived after the job ended."))
    if not reason.strip():
        raise WorkOrderError(_("Enter the reason."), "reason")


def _locked(entry: LateEntry, why: str) -> LateEntry:
    now = LateEntry.objects.select_for_update(of=("self",)).select_related("job").get(pk=entry.pk)
    if now.why != why or now.settled_at is not None:
        raise WorkOrderError(_("This entry is already settled."))
    return now


def _settle(entry: LateEntry, actor: Actor, outcome: str, reason: str) -> LateEntry:
    entry.outcome, entry.reason = outcome, reason.strip()[:400]
    entry.settled_at, entry.settled_name = timezone.now(), actor.name
    entry.save(update_fields=["outcome", "reason", "settled_at", "settled_name"])
    record_event(
        actor=actor,
        verb=f"late_entry.{outcome}",
        subject=entry,
        job_number=entry.job.number,
        after={"name": entry.words, "author": entry.author_name},
        reason=reason.strip(),
    )
    return entry
