"""Issue the repair report. An issued one is never changed: a correction is a new issue with its reason."""

from __future__ import annotations

from datetime import datetime

from django.utils import translation
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.documents import issuing
from repairs.documents.content.reader import CANONICAL, Reader
from repairs.documents.content.report import report
from repairs.documents.models import DocumentKind, IssuedDocument
from repairs.documents.services import put_out
from repairs.ledger.services import Actor
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job


def issue_report(
    *,
    actor: Actor,
    job: Job,
    paper: str,
    language: str,
    units: Units,
    reason: str,
    now: datetime,
) -> IssuedDocument:
    """Issue the report of a job as it stands, under the next number."""
    if paper not in issuing.PAPERS:
        raise WorkOrderError(_("This paper is not known. Papers: A4 and Letter."), "paper")
    while True:
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
            language=language,
            units=units,
            reason=reason.strip(),
        )
        draft.revision = earlier.revision + 1 if earlier else 1
        draft.content_hash = issuing.digest_of(_content(draft, CANONICAL))
        draft.content = _content(draft, Reader(language, units))
        if issued := put_out(draft, actor=actor, now=now):
            return issued


def _content(draft: IssuedDocument, reader: Reader) -> issuing.Content:
    """Return the content with the issue that it is, so that two issues are never taken for one."""
    with translation.override(reader.language):
        issue = {"number": draft.revision, "reason": draft.reason}
        return issuing.as_stored({**report(draft.job, reader), "issue": issue})


def latest_report(job: Job) -> IssuedDocument | None:
    """Return the report that holds."""
    return IssuedDocument.objects.of(job, DocumentKind.REPORT).first()
