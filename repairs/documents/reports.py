"""Issue the repair report. An issued one is never changed: a correction is a new issue with its reason."""

from __future__ import annotations

from datetime import datetime
from typing import TypedDict, Unpack

from django.utils import translation
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.documents import issuing
from repairs.documents.content.reader import CANONICAL, Reader
from repairs.documents.content.report import report
from repairs.documents.models import DocumentKind, IssuedDocument
from repairs.documents.services import made, put_on_record
from repairs.ledger.services import Actor
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job
from repairs.work_orders.open_job import refuse_ended


class ReportOrder(TypedDict):
    """What somebody asks for: the report of a job on this paper, in this language and these units."""

    job: Job
    paper: str
    language: str
    units: Units
    reason: str
    now: datetime


def issue_report(*, actor: Actor, **wanted: Unpack[ReportOrder]) -> IssuedDocument:
    """Issue the report of an open job as it stands, under the next number."""
    while True:
        if issued := put_on_record(prepare_report(actor=actor, **wanted), actor=actor):
            return issued


def prepare_report(*, actor: Actor, **wanted: Unpack[ReportOrder]) -> IssuedDocument:
    """Return the next report of a job with its file; nothing is on record yet."""
    job, paper, reason = wanted["job"], wanted["paper"], wanted["reason"]
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
    draft = IssuedDocument(
        job=job,
        kind=DocumentKind.REPORT,
        paper=paper,
        language=wanted["language"],
        units=wanted["units"],
        reason=reason.strip(),
    )
    draft.revision = earlier.revision + 1 if earlier else 1
    draft.content_hash = issuing.digest_of(_content(draft, CANONICAL))
    draft.content = _content(draft, Reader(wanted["language"], wanted["units"]))
    return made(draft, actor=actor, now=wanted["now"])


def issue_prepared(draft: IssuedDocument, *, actor: Actor) -> IssuedDocument:
    """Put a prepared report on record, or refuse when another one was issued since it was prepared."""
    issued = put_on_record(draft, actor=actor)
    if issued is None:
        raise WorkOrderError(
            _("Another report of this job was just issued. Read it, then say why a new one takes its place."),
            "reason",
        )
    return issued


def _content(draft: IssuedDocument, reader: Reader) -> issuing.Content:
    """Return the content with the issue that it is, so that two issues are never taken for one."""
    with translation.override(reader.language):
        issue = {"number": draft.revision, "reason": draft.reason}
        return issuing.as_stored({**report(draft.job, reader), "issue": issue})


def latest_report(job: Job) -> IssuedDocument | None:
    """Return the report that holds."""
    return IssuedDocument.objects.of(job, DocumentKind.REPORT).first()
