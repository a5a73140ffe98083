"""Issue papers: made once, stored as they are, handed out unchanged."""

from __future__ import annotations

import hashlib
import os
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.documents import issuing
from repairs.documents.codes import paper_code
from repairs.documents.content.reader import Reader
from repairs.documents.models import DocumentKind, IssuedDocument
from repairs.ledger.services import Actor, record_event
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job
from repairs.work_orders.open_job import lock_open_job


def issue_document(
    *, actor: Actor, job: Job, kind: str, paper: str, language: str, units: Units, now: datetime
) -> IssuedDocument:
    """Return the current paper: the stored one when it says the same, else a new revision.

    The page is made outside the transaction, because making it takes longer than a lock may be held. When somebody
    else issued a revision meanwhile, it is made again under the next number.
    """
    if kind not in issuing.CONTENTS or paper not in issuing.PAPERS:
        raise WorkOrderError(_("This paper is not known. Papers: A4 and Letter."))
    reader = Reader(language, units)
    digest = issuing.live_digest(job, kind)
    content: issuing.Content | None = None
    while True:
        draft = IssuedDocument(
            job=job, kind=kind, paper=paper, language=language, units=units, content_hash=digest
        )
        if stored := stored_like(draft):
            return stored
        content = content or issuing.content_of(job, kind, reader)
        draft.content = content
        draft.revision = revision_for(job, kind, digest)
        if issued := put_out(draft, actor=actor, now=now):
            return issued


def put_out(draft: IssuedDocument, *, actor: Actor, now: datetime) -> IssuedDocument | None:
    """Make, store and record a paper; return None when its revision was taken meanwhile."""
    return put_on_record(made(draft, actor=actor, now=now), actor=actor)


def made(draft: IssuedDocument, *, actor: Actor, now: datetime) -> IssuedDocument:
    """Return a draft with its file, which is written; nothing is on record yet."""
    reader = Reader(draft.language, "us" if draft.units == "us" else "si")
    mark = issuing.fingerprint(draft.content_hash, draft.paper, reader)
    draft.issued_at, draft.issued_by_id = now, actor.person_id
    draft.code = paper_code(
        number=draft.job.number, kind=draft.kind, revision=draft.revision, fingerprint=mark
    )
    draft.file = store_bytes(issuing.pdf_of(draft))
    return draft


def put_on_record(draft: IssuedDocument, *, actor: Actor) -> IssuedDocument | None:
    """Record a paper whose file is written; return None when its revision was taken meanwhile."""
    with transaction.atomic():
        if draft.kind == DocumentKind.REPORT:
            lock_open_job(draft.job_id)
        else:
            # The other papers of an ended job are printed again.
            Job.objects.select_for_update().get(pk=draft.job_id)
        if stored := stored_like(draft):
            return stored
        if revision_for(draft.job, draft.kind, draft.content_hash) != draft.revision:
            return None
        draft.save()
        record_event(
            actor=actor,
            verb="document.issued",
            subject=draft,
            job_number=draft.job.number,
            after={"kind": draft.kind, "revision": draft.revision, "paper": draft.paper, "file": draft.file},
            reason=draft.reason,
        )
    return draft


def stored_like(draft: IssuedDocument) -> IssuedDocument | None:
    """Return the stored paper that says the same on the same sheet in the same language and units."""
    return IssuedDocument.objects.filter(
        job=draft.job,
        kind=draft.kind,
        content_hash=draft.content_hash,
        paper=draft.paper,
        language=draft.language,
        units=draft.units,
    ).first()


def revision_for(job: Job, kind: str, digest: str) -> int:
    """Return the revision of a content: the one it had before, else the next."""
    papers = IssuedDocument.objects.of(job, kind)
    same = papers.filter(content_hash=digest).values_list("revision", flat=True).first()
    return same or (papers.aggregate(last=Max("revision"))["last"] or 0) + 1


def store_bytes(content: bytes) -> str:
    """Write a file named by its content, whole or not at all, and return its path under the media folder."""
    digest = hashlib.sha256(content).hexdigest()
    relative = f"papers/{digest[:2]}/{digest}.pdf"
    path = Path(settings.MEDIA_ROOT) / relative
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        partial = path.with_suffix(f".{os.getpid()}.part")
        with partial.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        partial.rename(path)
    return relative
