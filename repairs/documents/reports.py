"""Issue the repair report. An issued one is never changed: a correction is a new issue with its reason."""

from __future__ import annotations

import hashlib
from datetime import datetime
from uuid import uuid4

from django.conf import settings
from django.db import transaction
from django.utils import translation
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.documents import issuing
from repairs.documents.content.reader import CANONICAL, Reader, moment_words
from repairs.documents.content.report import STANDING_WORDS, report
from repairs.documents.models import DocumentKind, IssuedDocument, ReportReview
from repairs.documents.services import Facts, Told, last_revision, numbered, put_out, untold
from repairs.ledger.services import Actor, record_event
from repairs.ledger.snapshots import one_snapshot
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job
from repairs.work_orders.open_job import lock_open_job, refuse_ended


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
        review = review_of(facts)
        draft.job, draft.content_hash = facts.job, mark
        if numbered(draft, after=facts.last_revision):
            break
    if made := IssuedDocument.objects.of(facts.job, draft.kind).filter(revision=draft.revision).first():
        return made
    issue = {"number": draft.revision, "reason": draft.reason, "facts": facts.digest}
    draft.content = issuing.as_stored({**facts.content, "issue": issue, "review": review})
    draft.content_hash = issuing.digest_of({"issue": issue})
    return put_out(draft, actor=actor, now=now, told=told)


def may_issue(*, job: Job, paper: str, reason: str) -> None:
    """Raise WorkOrderError when the report cannot be issued as it stands now. Reads much: not inside a transaction."""
    refuse_report(job=job, paper=paper, reason=reason)
    review_of(read_report(job.pk, CANONICAL))


def refuse_report(*, job: Job, paper: str, reason: str) -> None:
    """Raise WorkOrderError when a report cannot be issued like this."""
    refuse_ended(job)
    if paper not in issuing.PAPERS:
        raise WorkOrderError(_("Choose A4 or US Letter paper."), "paper")
    earlier = latest_report(job)
    if earlier is not None and not reason.strip():
        raise WorkOrderError(
            _("Report {number} was already issued. Enter the reason for a new issue.").format(
                number=earlier.revision
            ),
            "reason",
        )


def review_of(facts: Facts) -> dict[str, str] | None:
    """Return who reviewed these very facts, and when; None for an interim report, which needs no review.

    Raise WorkOrderError where a final report was not reviewed, or was changed since.
    """
    if facts.content["interim"]:
        return None
    review = latest_review(facts.job, facts.digest)
    if review is not None:
        return {"by": review.reviewer_name, "at": moment_words(review.reviewed_at)}
    if facts.job.report_reviews.exists():
        raise WorkOrderError(
            _(
                "The report has changed since a lead reviewed it. A lead must review it again before you issue it."
            )
        )
    raise WorkOrderError(_("A lead must review this report before you issue it."))


def latest_review(job: Job, digest: str) -> ReportReview | None:
    """Return the last review of these facts."""
    return ReportReview.objects.filter(job=job, facts_hash=digest).first()


def review_report(*, actor: Actor, job: Job, digest: str, now: datetime) -> ReportReview:
    """Record that a lead read the report with these facts and found it right; the same review twice is one.

    Raise WorkOrderError for anybody else, and when the facts are not those that were read any more.
    """
    if not role_may(actor.role, Permission.REVIEW_REPORTS):
        raise WorkOrderError(_("Only a lead can review a report."))
    facts = read_report(job.pk, CANONICAL)
    refuse_ended(facts.job)
    if facts.digest != digest:
        raise WorkOrderError(
            _("The report has changed since you opened this page. Read it again, then review it.")
        )
    with transaction.atomic():
        lock_open_job(job)
        review, is_new = ReportReview.objects.get_or_create(
            job=job,
            facts_hash=digest,
            reviewed_by_id=actor.person_id,
            defaults={"reviewer_name": actor.name, "reviewed_at": now},
        )
        if is_new:
            record_event(
                actor=actor,
                verb="report.reviewed",
                subject=review,
                job_number=job.number,
                after={"facts": digest},
            )
    return review


def read_report(job_id: int, reader: Reader) -> Facts:
    """Read what the report says now, all of one moment, with the digest of its facts."""
    with one_snapshot():
        job = Job.objects.with_motor().get(pk=job_id)
        canonical = report_content(job, CANONICAL)
        content = canonical if reader == CANONICAL else report_content(job, reader)
        return Facts(job, facts_digest(canonical), content, last_revision(job, DocumentKind.REPORT))


def facts_digest(content: issuing.Content) -> str:
    """Return the digest of what a report says of its job, without the sentences that every report carries."""
    return issuing.digest_of({name: part for name, part in content.items() if name not in STANDING_WORDS})


def says_the_newest(document: IssuedDocument) -> bool:
    """Whether the facts that an issued report prints are still those of its job."""
    issue = document.content.get("issue", {})
    return bool(issue.get("facts") == read_report(document.job_id, CANONICAL).digest)


def customer_reader(job: Job) -> Reader:
    """Return in which language and units a job's customer reads."""
    customer = job.customer
    language = customer.report_language if customer.report_language in dict(settings.LANGUAGES) else "en"
    return Reader(language, "us" if customer.report_units == "us" else "si")


def report_content(job: Job, reader: Reader) -> issuing.Content:
    """Return what the report says now, in the reader's language and units."""
    with translation.override(reader.language):
        return issuing.as_stored(report(job, reader))


def latest_report(job: Job) -> IssuedDocument | None:
    """Return the report that holds."""
    return IssuedDocument.objects.of(job, DocumentKind.REPORT).first()
