"""Keep what a customer entered on the commissioning sheet: once, never changed, and only so often.

Nobody signs in here: whoever holds the link may enter. So a link takes a few records an hour and a job some in all. The
job has mostly ended by then; this is one of the things that an ended job takes.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, Final

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.documents.links import token_digest
from repairs.documents.models import PrivateLink, StartUpRecord
from repairs.ledger.services import LONGEST_KEY, Actor, record_event
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job

MOST_AN_HOUR: Final = 6
MOST_OF_A_JOB: Final = 30
HOUR: Final = timedelta(hours=1)


class TooOftenError(WorkOrderError):
    """The link or the job has taken as many records as it takes for now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteEntry:
    """What was entered: who says so, of which day, and the entries by field."""

    name: str
    done_on: date
    entries: Mapping[str, Any]
    note: str = ""

    @property
    def digest(self) -> str:
        told = [self.name, self.done_on.isoformat(), self.note, self.entries]
        return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


@transaction.atomic
def record_start_up(*, token: str, key: str, entry: SiteEntry, now: datetime) -> StartUpRecord:
    """Keep what was entered; the same form sent twice is one record. Raise WorkOrderError in words otherwise."""
    link = PrivateLink.objects.usable(now).filter(token_hash=token_digest(token)).first()
    if link is None:
        raise WorkOrderError(_("This link has expired. Ask the shop for a new link."))
    if not 0 < len(key) <= LONGEST_KEY:
        raise WorkOrderError(_("This page is out of date. Reload it and save again."))
    # One at a time for a job, so that counts hold and a double click finds the first record.
    job = Job.objects.select_for_update().get(pk=link.job_id)
    known = StartUpRecord.objects.filter(link=link, key=key).first()
    if known is not None:
        return _same(known, entry)
    if job.state == Job.State.CANCELLED:
        raise WorkOrderError(_("This job was canceled. Call the shop."))
    _refuse_too_often(job, link, now)
    record = StartUpRecord.objects.create(
        job=job,
        link=link,
        key=key,
        body_hash=entry.digest,
        name=entry.name,
        done_on=entry.done_on,
        entries=dict(entry.entries),
        note=entry.note,
        at=now,
    )
    record_event(
        actor=Actor(user_id=None, name=_("customer, by private link")),
        verb="start_up.entered",
        subject=record,
        job_number=job.number,
        after={"name": record.name, "on": record.done_on.isoformat(), "entries": len(record.entries)},
    )
    return record


def _same(known: StartUpRecord, entry: SiteEntry) -> StartUpRecord:
    if known.body_hash != entry.digest:
        raise WorkOrderError(
            _("This form was already saved with other entries. Reload the page to see what was saved.")
        )
    return known


def _refuse_too_often(job: Job, link: PrivateLink, now: datetime) -> None:
    if StartUpRecord.objects.filter(link=link, at__gt=now - HOUR).count() >= MOST_AN_HOUR:
        raise TooOftenError(_("Too many entries in one hour. Wait an hour, or call the shop."))
    if StartUpRecord.objects.filter(job=job).count() >= MOST_OF_A_JOB:
        raise TooOftenError(_("This job takes no more entries. Call the shop."))
