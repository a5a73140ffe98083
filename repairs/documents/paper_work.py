"""Papers are made apart from the pages: asked for, watched, opened when they are ready."""

from __future__ import annotations

import hashlib
from typing import Any, Final, cast

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Units
from repairs.documents.rendering import STAGES, PaperError
from repairs.documents.reports import issue_report
from repairs.documents.services import issue_document
from repairs.ledger.services import Actor
from repairs.long_work.kinds import Report, register
from repairs.long_work.life_signs import turn
from repairs.long_work.models import LongWork
from repairs.long_work.services import LongWorkError, start_again, start_long_work
from repairs.people.permissions import Permission
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job

PAPER: Final = "paper"
REPORT: Final = "report"
# A paper takes a processor and some 200 MB while it is made; a shift that prints at once must not take the machine.
AT_ONCE: Final = 2


def ask_for_paper(*, actor: Actor, job: Job, kind: str, paper: str, language: str, units: Units) -> LongWork:
    """Ask for the current paper; whoever asks for the same one while it is made watches the same work."""
    order = {
        "job": job.pk, "number": job.number, "kind": kind, "paper": paper, "language": language, "units": units,
    }  # fmt: skip
    asked = hashlib.sha256(repr(sorted(order.items())).encode()).hexdigest()
    unfinished = (LongWork.State.WAITING, LongWork.State.RUNNING)
    going = LongWork.objects.filter(kind=PAPER, state__in=unfinished, parameters__asked=asked).first()
    if going is None:
        return start_long_work(kind=PAPER, asked_by=actor, parameters=_by(actor, {**order, "asked": asked}))
    return start_again(actor=actor, work=going) if going.may_start_again else going


def ask_for_report(
    *, actor: Actor, job: Job, key: str, paper: str, language: str, units: Units, reason: str
) -> LongWork:
    """Ask for an issue of the report that ``may_issue`` has let through; the same key asks for the same issue."""
    order = {
        "job": job.pk, "number": job.number, "kind": REPORT, "paper": paper, "language": language, "units": units,
        "reason": reason,
    }  # fmt: skip
    ticket = hashlib.sha256(f"{actor.person_id} {key}".encode()).hexdigest()
    parameters = _by(actor, {**order, "ticket": ticket})
    return start_long_work(kind=REPORT, asked_by=actor, parameters=parameters, key=ticket)


def _by(actor: Actor, order: dict[str, object]) -> dict[str, object]:
    return {**order, "device": actor.device, "role": actor.role}


def work_of_job(job: Job, pk: int) -> LongWork | None:
    """Return a paper's work by its number, when it is this job's."""
    return LongWork.objects.filter(pk=pk, kind__in=(PAPER, REPORT), parameters__job=job.pk).first()


def issued_code(work: LongWork) -> str:
    """Return the code of the paper that came of it; nothing until it is done."""
    return str(work.outcome.get("code", "")) if work.state == LongWork.State.DONE else ""


def _make(work: LongWork, report: Report) -> dict[str, object]:
    """Make the paper that was asked for."""
    order = work.parameters
    job = Job.objects.with_motor().filter(pk=order["job"]).first()
    if job is None:
        raise LongWorkError(_("This job no longer exists."))
    actor = Actor(
        user_id=work.asked_by_id, name=work.asked_by_name, device=order["device"], role=order["role"]
    )
    sheet: dict[str, Any] = {
        "paper": order["paper"], "language": order["language"], "units": cast(Units, order["units"]),
    }  # fmt: skip
    sheet |= {"actor": actor, "job": job, "now": timezone.now(), "told": report}
    try:
        with turn("papers", AT_ONCE, lambda: report(0, STAGES)):
            if work.kind == REPORT:
                issued = issue_report(**sheet, reason=order["reason"], ticket=order["ticket"])
            else:
                issued = issue_document(**sheet, kind=order["kind"])
    except (PaperError, WorkOrderError) as error:
        raise LongWorkError(str(error)) from error
    return {"code": issued.code}


def register_papers() -> None:
    """Make the kinds of work known."""
    register(PAPER, gettext_lazy("Print document"), _make, permission=Permission.PRINT_DOCUMENTS)
    register(REPORT, gettext_lazy("Make report"), _make, permission=Permission.ISSUE_REPORTS)
