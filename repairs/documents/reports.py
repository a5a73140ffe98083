"""Issue the repair report. An issued one is never changed: a correction is a new issue with its reason."""

from __future__ import annotations

import hashlib
from datetime import datetime
from uuid import uuid4

from django.utils import translation
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.documents import issuing
from repairs.documents.content.reader import CANONICAL, Reader
from repairs.documents.content.report import report
from repairs.documents.models import DocumentKind, IssuedDocument
from repairs.documents.services import Facts, Told, last_revision, numbered, put_out, untold
from repairs.ledger.services import Actor
from repairs.ledger.snapshots import one_snapshot
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job
from repairs.work_orders.open_job import refuse_ended


def issue_report(
    *,
    actor: Actor,
    job: Job,
    paper: str,
    language: str,
    units: Units,
    reason: str,
    now: datetime,
    ticket: str = "",
    told: Told = untold,
) -> IssuedDocument:
    """Issue the report of a job as it stands, under the next number.

    A ``ticket`` names the order to issue it: carried out again after it was cut off, it ends in the same issue.
    """
    refuse_report(job=job, paper=paper, reason=reason)
    mark = hashlib.sha256(f"{DocumentKind.REPORT} {ticket or uuid4().hex}".encode()).hexdigest()
    draft = IssuedDocument(
        kind=DocumentKind.REPORT, paper=paper, language=language, units=units, reason=reason.strip()
    )
    while True:
        facts = read_report(job.pk, Reader(language, units))
        refuse_ended(facts.job)
        draft.job, draft.content_hash = facts.job, mark
        if numbered(draft, after=facts.last_revision):
            break
    if made := IssuedDocument.objects.of(facts.job, draft.kind).filter(revision=draft.revision).first():
        return made
    issue = {"number": draft.revision, "reason": draft.reason, "facts": facts.digest}
    draft.content = issuing.as_stored({**facts.content, "issue": issue})
    draft.content_hash = issuing.digest_of({"issue": issue})
    return put_out(draft, actor=actor, now=now, told=told)


def refuse_report(*, job: Job, paper: str, reason: str) -> None:
    """Raise WorkOrderError when a report cannot be issued like this."""
    refuse_ended(job)
    if paper not in issuing.PAPERS:
        raise WorkOrderError(_("This paper is not known. Papers: A4 and Letter."), "paper")
    earlier = latest_report(job)
    if earlier is not None and not reason.strip():
        raise WorkOrderError(
            _("Report {number} was issued already. Say why a new one takes its place.").format(
                number=earlier.revision
            ),
            "reason",
        )


def read_report(job_id: int, reader: Reader) -> Facts:
    """Read what the report says now, all of one moment, with the digest of its facts."""
    with one_snapshot():
        job = Job.objects.with_motor().get(pk=job_id)
        canonical = report_content(job, CANONICAL)
        content = canonical if reader == CANONICAL else report_content(job, reader)
        return Facts(job, issuing.digest_of(canonical), content, last_revision(job, DocumentKind.REPORT))


def report_content(job: Job, reader: Reader) -> issuing.Content:
    """Return what the report says now, in the reader's language and units."""
    with translation.override(reader.language):
        return issuing.as_stored(report(job, reader))


def latest_report(job: Job) -> IssuedDocument | None:
    """Return the report that holds."""
    return IssuedDocument.objects.of(job, DocumentKind.REPORT).first()
