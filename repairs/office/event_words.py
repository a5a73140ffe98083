"""Say in words what an event of the ledger was."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Final

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from repairs.documents.models import DocumentKind
from repairs.measurements.words import BY_CODE as TESTS

VERBS: Final[dict[str, str | Promise]] = {
    "bearing.looked_at": _("checked a bearing as second person"),
    "cautions.read": _("read the cautions of a step"),
    "document.damaged": _("found a document file damaged"),
    "document.issued": _("printed a document"),
    "document.sound_again": _("found a document file restored"),
    "finding.accepted": _("accepted a finding"),
    "finding.confirmed": _("accepted a STOP finding as second person"),
    "gate.opened": _("overrode a step's gate"),
    "hand_over.accepted": _("accepted the handoff"),
    "hand_over.written": _("wrote a handoff note"),
    "job.cancelled": _("canceled the job"),
    "job.changed": _("changed job details"),
    "job.motor_changed": _("changed the job's motor"),
    "motor.merged": _("merged two motor records"),
    "customer.merged": _("merged two customer records"),
    "merge.undone": _("undid a merge"),
    "job.closed": _("closed the job"),
    "job.held": _("put the job on hold"),
    "job.opened": _("opened the job"),
    "job.invoiced": _("entered the invoice number"),
    "job.picked_up": _("recorded the pickup"),
    "job.reopened": _("reopened the job"),
    "job.released": _("released the hold"),
    "limit.entered": _("entered a limit"),
    "limit.withdrawn": _("withdrew a limit"),
    "late_entry.accepted": _("accepted an entry sent after the job ended"),
    "late_entry.kept": _("sent an entry after the job ended"),
    "late_entry.seen": _("marked a late entry as seen"),
    "late_entry.set_aside": _("set a late entry aside"),
    "link.made": _("made a private link for the customer"),
    "link.revoked": _("revoked a private link"),
    "mark.placed": _("marked a photo"),
    "mark.removed": _("removed a mark from a photo"),
    "observation.corrected": _("corrected an observation"),
    "observation.recorded": _("recorded an observation"),
    "observation.withdrawn": _("withdrew an observation"),
    "override.asked": _("requested an override"),
    "override.confirmed": _("confirmed an override"),
    "override.withdrawn": _("withdrew an override"),
    "part.changed": _("changed a removed part"),
    "part.listed": _("listed a removed part"),
    "part.taken_back": _("deleted a used part"),
    "part.used": _("entered a used part"),
    "photo.added": _("added a photo"),
    "photo.withdrawn": _("withdrew a photo"),
    "reading.corrected": _("corrected a reading"),
    "reading.judged": _("accepted a reading without a limit"),
    "reading.recorded": _("entered a reading"),
    "run.conceded": _("recorded the customer's agreement to no test run"),
    "seat.accepted": _("accepted a failed bearing fit"),
    "seat.changed": _("continued measuring a bearing fit"),
    "seat.corrected": _("corrected a bearing fit"),
    "seat.recorded": _("measured a bearing fit"),
    "recheck.seen": _("marked a re-check result as seen"),
    "report.reviewed": _("reviewed the report"),
    "service.back": _("received outside work"),
    "service.sent": _("sent out work"),
    "start_up.entered": _("entered a commissioning sheet"),
    "stack.approved": _("approved the specified stack"),
    "stack.built": _("submitted the stack as built"),
    "stack.candidate_used": _("used a matched bearing in the specified stack"),
    "stack.described": _("described the stack"),
    "stack.file_taken": _("loaded a stack file"),
    "stack.guide_saved": _("recorded a guide bearing"),
    "stack.item_added": _("added a part to the stack"),
    "stack.answered": _("answered a question about the bearings"),
    "stack.item_edited": _("changed a part of the stack"),
    "stack.item_moved": _("moved a part of the stack"),
    "stack.item_removed": _("removed a part from the stack"),
    "stack.laid_out": _("checked the dry layout"),
    "stack.signed": _("signed the stack as found"),
    "stack.started": _("started a stack record"),
    "stack.submitted": _("submitted the specified stack"),
    "stack.turned": _("flipped a bearing"),
    "stack.undone": _("undid a change of the stack"),
    "step.added": _("added a step"),
    "step.repeated": _("set a step to repeat"),
    "step.signed": _("signed a step"),
    "step.unsigned": _("undid a signature"),
    "step.skipped": _("skipped a step"),
    "run_row.added": _("entered a run reading"),
    "run_row.struck": _("struck out a run reading"),
    "test.corrected": _("corrected a test"),
    "test.recorded": _("made a test"),
    "test_setting.entered": _("set a test rule"),
    "work.started": _("clocked in"),
    "work.stopped": _("clocked out"),
    "thrust_sheet.saved": _("saved the thrust sheet"),
    "thrust_sheet.signed": _("signed the thrust sheet"),
    "thrust_sheet.used": _("used figures from the thrust sheet"),
}
PAPERS: Final[dict[str, str | Promise]] = dict(DocumentKind.choices)
# What an event tells beside its verb, the first that it has.
TELLING: Final = ("step", "name", "quantity", "purchase_order")
OF_TEST: Final = frozenset({"test.recorded", "test.corrected"})
# What job details are called, and which of them are told from what to what.
DETAILS: Final[dict[str, str | Promise]] = {
    "promised_on": _("promised"),
    "priority": _("priority"),
    "purchase_order": _("PO"),
    "site": _("site"),
    "contact": _("contact"),
    "complaint": _("complaint"),
}
LONG: Final = frozenset({"complaint"})
Day = Callable[[date], str]


def event_words(
    verb: str,
    before: Mapping[str, Any] | None,
    after: Mapping[str, Any] | None,
    reason: str,
    day: Day = date.isoformat,
) -> str:
    """Return one line: signed a step: Clean and dry. An unknown verb is said as it is; ``day`` writes a date."""
    words = str(VERBS.get(verb, verb))
    if verb == "job.changed":
        told = _changed_words(before or {}, after or {}, day)
    elif verb in OF_TEST:
        told = _test_title(str((after or {}).get("test", "")))
    elif verb == "document.issued":
        told = str(PAPERS.get(str((after or {}).get("kind")), ""))
    else:
        told = next((str(after[key]) for key in TELLING if after.get(key)), "") if after else ""
    return ": ".join(part for part in (words, told, reason) if part)


def _test_title(test: str) -> str:
    """Return the name of a shop test; of the shop's own rows none."""
    return str(TESTS[test].title) if test in TESTS else ""


def _changed_words(before: Mapping[str, Any], after: Mapping[str, Any], day: Day) -> str:
    """Return what changed from what to what: promised Nov 28 → Dec 5."""
    told = []
    for name, label in DETAILS.items():
        old, new = before.get(name) or "", after.get(name) or ""
        if name not in after or old == new:
            continue
        told.append(
            str(label) if name in LONG else f"{label} {_said(name, old, day)} → {_said(name, new, day)}"
        )
    return ", ".join(told)


def _said(name: str, value: str, day: Day) -> str:
    if not value:
        return "–"
    return day(date.fromisoformat(value)) if name == "promised_on" else value
