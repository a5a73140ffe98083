"""Issue papers: read at one moment, made while nobody waits, stored as they are, handed out unchanged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.documents import issuing
from repairs.documents.codes import paper_code
from repairs.documents.content.reader import CANONICAL, Reader
from repairs.documents.files import store_bytes
from repairs.documents.models import DocumentKind, IssuedDocument, PaperRevision
from repairs.ledger.services import Actor, record_event
from repairs.ledger.snapshots import one_snapshot
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job
from repairs.work_orders.open_job import lock_open_job

Told = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Facts:
    """What a paper says, read at one moment: its digest, its content, and the last number that was given then."""

    job: Job
    digest: str
    content: issuing.Content
    last_revision: int


def untold(_done: int, _total: int) -> None:
    """Tell nobody how far a paper is."""


def issue_document(
    *,
    actor: Actor,
    job: Job,
    kind: str,
    paper: str,
    language: str,
    units: Units,
    now: datetime,
    told: Told = untold,
) -> IssuedDocument:
    """Return the current paper: the stored one when it says the same, else a new revision.

    The facts are read at one moment and numbered at once; the page is made outside any transaction. A paper whose
    facts changed meanwhile still bears the number of the facts it was made from.
    """
    draft = IssuedDocument(kind=_known(kind, paper), paper=paper, language=language, units=units)
    while True:
        facts = read_facts(job.pk, kind, Reader(language, units))
        draft.job, draft.content_hash, draft.content = facts.job, facts.digest, facts.content
        if stored := stored_like(draft):
            return stored
        if numbered(draft, after=facts.last_revision):
            return put_out(draft, actor=actor, now=now, told=told)


def current_paper(*, job: Job, kind: str, paper: str, language: str, units: Units) -> IssuedDocument | None:
    """Return the stored paper that says what the job says now; None when it has yet to be made. Writes nothing."""
    draft = IssuedDocument(job=job, kind=_known(kind, paper), paper=paper, language=language, units=units)
    with one_snapshot():
        draft.content_hash = issuing.live_digest(Job.objects.with_motor().get(pk=job.pk), kind)
        return stored_like(draft)


def _known(kind: str, paper: str) -> str:
    if kind not in issuing.CONTENTS or paper not in issuing.PAPERS:
        raise WorkOrderError(_("Choose A4 or US Letter paper."))
    return kind


def read_facts(job_id: int, kind: str, reader: Reader) -> Facts:
    """Read what a paper says now, all of one moment."""
    with one_snapshot():
        job = Job.objects.with_motor().get(pk=job_id)
        canonical = issuing.content_of(job, kind, CANONICAL)
        content = canonical if reader == CANONICAL else issuing.content_of(job, kind, reader)
        return Facts(job, issuing.digest_of(canonical), content, last_revision(job, kind))


def last_revision(job: Job, kind: str) -> int:
    """Return the highest number that was given to a kind of paper of a job; 0 when there is none."""
    given = PaperRevision.objects.filter(job=job, kind=kind)
    return int(given.aggregate(last=Max("revision"))["last"] or 0)


def numbered(draft: IssuedDocument, *, after: int) -> bool:
    """Give a draft the number of its content: the one it had before, else the next.

    Return False when other facts were numbered since these were read: they may be older ones then, and are read again.
    """
    with transaction.atomic():
        Job.objects.select_for_update().get(pk=draft.job_id)
        given = PaperRevision.objects.filter(job_id=draft.job_id, kind=draft.kind)
        known = given.filter(content_hash=draft.content_hash).first()
        if known is None:
            if last_revision(draft.job, draft.kind) != after:
                return False
            known = given.create(
                job_id=draft.job_id, kind=draft.kind, content_hash=draft.content_hash, revision=after + 1
            )
        draft.revision = known.revision
    return True


def put_out(draft: IssuedDocument, *, actor: Actor, now: datetime, told: Told = untold) -> IssuedDocument:
    """Make, store and record a numbered paper; return the stored one when somebody else made the same meanwhile."""
    reader = Reader(draft.language, "us" if draft.units == "us" else "si")
    mark = issuing.fingerprint(draft.content_hash, draft.paper, reader)
    draft.issued_at, draft.issued_by_id = now, actor.person_id
    draft.code = paper_code(
        number=draft.job.number, kind=draft.kind, revision=draft.revision, fingerprint=mark
    )
    draft.file = store_bytes(issuing.pdf_of(draft, told))
    with transaction.atomic():
        if draft.kind == DocumentKind.REPORT:
            lock_open_job(draft.job_id)
        else:
            # The other papers of an ended job are printed again.
            Job.objects.select_for_update().get(pk=draft.job_id)
        if stored := stored_like(draft):
            return stored
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
    papers = IssuedDocument.objects.filter(
        job_id=draft.job_id,
        kind=draft.kind,
        content_hash=draft.content_hash,
        paper=draft.paper,
        language=draft.language,
        units=draft.units,
    )
    return papers.select_related("job").first()
