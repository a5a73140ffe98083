"""Sign, approve and compare stack records. What is signed is frozen together with the checker's answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.public import Comparison, compare, difference_sentence, parse_stack, upside_down_sentence
from repairs.ledger.services import Actor, record_event
from repairs.motors.duty import duty_of
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.judging import (
    NEVER_ACCEPTED,
    face_unknown,
    judge,
    refs_of,
    shop_limits,
    store_assessment,
)
from repairs.work_orders.models import AcceptedFinding, Job, StackRecord, Stage
from repairs.work_orders.services.stack_editing import latest


@dataclass(frozen=True, slots=True)
class DifferenceRow:
    """One difference in words, with the refs of both records."""

    code: str
    ref_before: str
    ref_after: str
    text: str


def missing_before_signing(record: StackRecord) -> list[str]:
    """Return what a record still lacks before it can be signed, in words."""
    lacking = []
    bearings = [(ref, entry) for ref, entry in refs_of(record.items) if ref.isdigit()]
    if not bearings:
        lacking.append(_("No bearing is on the list."))
    lacking += [
        _("The face of bearing {ref} is not known.").format(ref=ref)
        for ref, entry in bearings
        if face_unknown(entry)
    ]
    if record.stage in {Stage.AS_FOUND, Stage.AS_BUILT}:
        if not record.top_identified:
            lacking.append(_("The top of the mount is not identified."))
        if not record.photos.filter(withdrawn_at__isnull=True).exists():
            lacking.append(_("There is no photo of the stack beside the mount."))
    return lacking


def current_specified(job: Job) -> StackRecord | None:
    """Return the newest specified stack that a lead approved."""
    return job.stack_records.signed().filter(stage=Stage.SPECIFIED).order_by("-revision").first()


def _locked(record: StackRecord, version: int) -> StackRecord:
    Job.objects.select_for_update().get(pk=record.job_id)
    now = StackRecord.objects.select_related("job", "job__motor").get(pk=record.pk)
    if now.is_frozen:
        raise WorkOrderError(_("This record is already signed."))
    if now.version != version:
        raise StaleVersionError(
            _("Somebody changed this record meanwhile. Look at it as it is now before you sign.")
        )
    if lacking := missing_before_signing(now):
        raise WorkOrderError(" ".join(lacking))
    return now


def _freeze(record: StackRecord, actor: Actor, verb: str, after: dict[str, Any]) -> StackRecord:
    judgement = judge(record, record.job.motor, shop_limits())
    record.assessment = store_assessment(judgement)
    now = timezone.now()
    record.submitted_at = record.submitted_at or now
    record.submitted_by_id = record.submitted_by_id or actor.person_id
    record.signed_at = now
    record.signed_by_id = actor.person_id
    record.state = StackRecord.State.SIGNED
    record.undo = []
    record.version += 1
    record.save()
    record_event(
        actor=actor,
        verb=verb,
        subject=record,
        job_number=record.job.number,
        after={"stage": record.stage, "revision": record.revision, **after},
    )
    refresh_alert(record.job)
    return record


@transaction.atomic
def sign_record(*, actor: Actor, record: StackRecord, version: int) -> StackRecord:
    """Sign a stack as found."""
    now = _locked(record, version)
    if now.stage != Stage.AS_FOUND:
        raise WorkOrderError(_("Only a stack as found is signed here."))
    return _freeze(now, actor, "stack.signed", {})


@transaction.atomic
def submit_specified(*, actor: Actor, record: StackRecord, version: int) -> StackRecord:
    """Hand a specified stack to the lead."""
    now = _locked(record, version)
    if now.stage != Stage.SPECIFIED:
        raise WorkOrderError(_("Only a specified stack is approved by a lead."))
    now.state = StackRecord.State.SUBMITTED
    now.submitted_at = timezone.now()
    now.submitted_by_id = actor.person_id
    now.version += 1
    now.save()
    record_event(actor=actor, verb="stack.submitted", subject=now, job_number=now.job.number)
    return now


def open_stops(record: StackRecord) -> list[dict[str, Any]]:
    """Return the stop findings of a record that nobody accepted: of the stored answer, or of the record as it is."""
    accepted = set(record.accepted_findings.values_list("code", "ref"))
    if record.assessment is not None:
        found = [
            (f["code"], f["ref"] or "")
            for f in record.assessment.answer["findings"]
            if f["severity"] == "stop"
        ]
    else:
        judgement = judge(record, record.job.motor, shop_limits())
        found = [(finding.code, finding.ref or "") for finding in judgement.stops]
    return [{"code": code, "ref": ref} for code, ref in found if (code, ref) not in accepted]


@transaction.atomic
def approve_specified(*, actor: Actor, record: StackRecord, version: int) -> StackRecord:
    """Approve a specified stack, as a lead, when no stop finding is open."""
    if not role_may(actor.role, Permission.APPROVE_STACKS):
        raise WorkOrderError(_("Only a lead approves a specified stack."))
    now = _locked(record, version)
    if now.stage != Stage.SPECIFIED:
        raise WorkOrderError(_("Only a specified stack is approved by a lead."))
    judgement = judge(now, now.job.motor, shop_limits())
    if judgement.assessment is None:
        raise WorkOrderError(
            _("The stack cannot be checked: {why}").format(why=" ".join(judgement.hindrances))
        )
    if stops := open_stops(now):
        codes = ", ".join(f"{stop['code']} {stop['ref']}".strip() for stop in stops)
        raise WorkOrderError(
            _("Stop findings are open: {codes}. Correct the stack, or accept them with a reason.").format(
                codes=codes
            )
        )
    return _freeze(
        now, actor, "stack.approved", {"accepted": list(now.accepted_findings.values_list("code", flat=True))}
    )


@transaction.atomic
def accept_finding(*, actor: Actor, record: StackRecord, code: str, ref: str, reason: str) -> AcceptedFinding:
    """Accept a finding of a specified stack, as a lead, for a reason that prints on traveler and report."""
    if not role_may(actor.role, Permission.APPROVE_STACKS):
        raise WorkOrderError(_("Only a lead accepts a finding."))
    if code in NEVER_ACCEPTED:
        raise WorkOrderError(_("A thrust that nothing carries cannot be accepted, only corrected."))
    if not reason.strip():
        raise WorkOrderError(
            _("Say why the finding is accepted; it prints on traveler and report."), "reason"
        )
    now = StackRecord.objects.select_related("job", "job__motor").get(pk=record.pk)
    if now.stage != Stage.SPECIFIED or now.is_frozen:
        raise WorkOrderError(_("Findings are accepted on a specified stack before it is approved."))
    judgement = judge(now, now.job.motor, shop_limits())
    present = (
        {(f.code, f.ref or "") for f in judgement.assessment.findings} if judgement.assessment else set()
    )
    if (code, ref) not in present:
        raise WorkOrderError(_("This finding is not on the stack any more."))
    accepted, _new = AcceptedFinding.objects.get_or_create(
        record=now,
        code=code,
        ref=ref,
        defaults={"reason": reason.strip()[:300], "person_id": actor.person_id, "person_name": actor.name},
    )
    record_event(
        actor=actor,
        verb="finding.accepted",
        subject=now,
        job_number=now.job.number,
        after={"code": code, "ref": ref},
        reason=reason,
    )
    return accepted


@transaction.atomic
def submit_built(*, actor: Actor, record: StackRecord, version: int) -> StackRecord:
    """Submit a stack as built: it is frozen, and only then compared with the specified one.

    After a difference the next record must come from another person, with a photo of its own.
    """
    now = _locked(record, version)
    if now.stage != Stage.AS_BUILT:
        raise WorkOrderError(_("Only a stack as built is submitted here."))
    specified = current_specified(now.job)
    if specified is None:
        raise WorkOrderError(_("There is no approved specified stack to compare with."))
    before = now.job.stack_records.signed().filter(stage=Stage.AS_BUILT).order_by("-revision").first()
    if before is not None and before.differences and before.submitted_by_id == actor.user_id:
        raise WorkOrderError(
            _("The record before this one differed. A second person must record the stack again.")
        )
    rows = [_as_dict(row) for row in differences(specified, now)]
    now.compared_with = specified
    now.differences = rows
    return _freeze(now, actor, "stack.built", {"compared_with": specified.revision, "differences": rows})


def _as_dict(row: DifferenceRow) -> dict[str, str]:
    return {"code": row.code, "ref_before": row.ref_before, "ref_after": row.ref_after, "text": row.text}


def _comparable(record: StackRecord) -> Any:
    """Return a record's stack with a duty that the comparison does not look at."""
    duty = duty_of(record.job.motor)
    duty.setdefault("rated_speed_rpm", 1.0)
    return parse_stack(
        {
            "stack_file": 1,
            "motor": duty,
            "items": [entry["data"] for entry in record.items],
            "guides": [entry["data"] for entry in record.guides],
        }
    )


def comparison(before: StackRecord, after: StackRecord) -> Comparison:
    """Compare two records part by part."""
    return compare(_comparable(before), _comparable(after))


def differences(before: StackRecord, after: StackRecord) -> list[DifferenceRow]:
    """Return every difference of two records in words."""
    found = comparison(before, after)
    rows = []
    if whole := upside_down_sentence(found):
        rows.append(DifferenceRow("turned-over", "", "", whole))
    rows += [
        DifferenceRow(one.code, one.ref_found or "", one.ref_built or "", difference_sentence(one, found))
        for one in found.differences
    ]
    return rows


def refresh_alert(job: Job) -> None:
    """Repeat on the job's row what its newest stack records warn of, so that the board can say it."""
    built, specified = latest(job, Stage.AS_BUILT), current_specified(job)
    severity, alert = "", None
    if built is not None and built.is_frozen and built.differences:
        severity, alert = "stop", {"kind": "difference", "text": built.differences[0]["text"]}
    elif specified is not None and specified.assessment is not None:
        findings = [f for f in specified.assessment.answer["findings"] if f["severity"] in {"stop", "warn"}]
        if findings:
            severity = findings[0]["severity"]
            alert = {"kind": "finding", "code": findings[0]["code"], "text": findings[0]["message"]}
    job.alert_severity, job.alert = severity, alert
    job.save(update_fields=["alert_severity", "alert"])
