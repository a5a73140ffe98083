"""Private links: a random token opens one job's pages, for a while, until it is taken back."""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime, timedelta
from typing import Final

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from repairs.documents.models import PrivateLink
from repairs.ledger.services import Actor, record_event
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job

TOKEN_BYTES: Final = 32
DEFAULT_DAYS: Final = 90
MOST_DAYS: Final = 730


def token_digest(token: str) -> str:
    """Return what is kept of a token."""
    return hashlib.sha256(token.encode()).hexdigest()


@transaction.atomic
def make_link(*, actor: Actor, job: Job, days: int, now: datetime) -> tuple[PrivateLink, str]:
    """Make a link; its token is returned this once and kept nowhere."""
    if not 1 <= days <= MOST_DAYS:
        raise WorkOrderError(
            _("Enter 1 to {most} days, not {days}.").format(days=days, most=MOST_DAYS),
            "days",
        )
    token = secrets.token_urlsafe(TOKEN_BYTES)
    link = PrivateLink.objects.create(
        job=job,
        token_hash=token_digest(token),
        made_by_id=actor.person_id,
        expires_at=now + timedelta(days=days),
    )
    record_event(
        actor=actor,
        verb="link.made",
        subject=link,
        job_number=job.number,
        after={"expires": link.expires_at.isoformat()},
    )
    return link, token


@transaction.atomic
def revoke_link(*, actor: Actor, link: PrivateLink, now: datetime) -> PrivateLink:
    """Take a link back; taking it back twice changes nothing."""
    link = PrivateLink.objects.select_for_update().select_related("job").get(pk=link.pk)
    if link.revoked_at is None:
        link.revoked_at = now
        link.save(update_fields=["revoked_at"])
        record_event(actor=actor, verb="link.revoked", subject=link, job_number=link.job.number)
    return link


def job_behind(token: str, now: datetime) -> Job | None:
    """Return the job that a token opens; None alike for an unknown, an expired and a revoked one."""
    link = (
        PrivateLink.objects.usable(now)
        .filter(token_hash=token_digest(token))
        .select_related("job__motor", "job__customer", "job__site", "job__contact")
        .first()
    )
    return link.job if link else None


def count_opening(token: str, now: datetime) -> None:
    """Note that the customer's page was opened, for the office to see."""
    PrivateLink.objects.filter(token_hash=token_digest(token)).update(
        opened=F("opened") + 1, last_opened_at=now
    )
