"""Specified stacks: handed to the lead, their findings accepted with a reason, approved."""

from __future__ import annotations

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.public import Units, finding_sentence, subject_label
from repairs.ledger.services import Actor, record_event
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.judging import NEVER_ACCEPTED, Judgement, judge, shop_limits
from repairs.work_orders.models import AcceptedFinding, StackRecord, Stage
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.proposing import before_estimate
from repairs.work_orders.services.chain import complete_chain
from repairs.work_orders.services.stack_changes import as_seen, carried_out, newer_state, stale
from repairs.work_orders.services.stack_editing import latest, start_record
from repairs.work_orders.services.stack_signing import freeze, ready_to_sign
from repairs.work_orders.two_people import own_reason, refuse_first, refuse_second
from repairs.work_orders.unproven import CODE as UNPROVEN
from repairs.work_orders.unproven import code_of, severities, unproven_of


@transaction.atomic
def submit_specified(
    *, actor: Actor, record: StackRecord, version: int, form_key: str = "", note: str | None = None
) -> StackRecord:
    """Hand a specified stack to the lead; a later change takes it back."""
    if carried_out(actor=actor, record=record, form_key=form_key):
        return newer_state(record)
    now = ready_to_sign(record, version, Stage.SPECIFIED, note)
    before = {"state": now.state}
    now.state = StackRecord.State.SUBMITTED
    now.submitted_at = timezone.now()
    now.submitted_by_id = actor.person_id
    now.version = version + 1
    written = StackRecord.objects.change_unsigned(
        now.pk,
        version,
        note=now.note,
        state=now.state,
        submitted_at=now.submitted_at,
        submitted_by_id=actor.person_id,
        version=now.version,
    )
    if not written:
        raise stale(now, version)
    record_event(
        actor=actor,
        verb="stack.submitted",
        subject=now,
        job_number=now.job.number,
        before=before,
        after={"state": now.state, "note": now.note, "version": now.version, "form_key": form_key},
    )
    return now


def open_stops(record: StackRecord, judged: Judgement | None = None) -> list[dict[str, object]]:
    """Return the stop findings of a record that nobody accepted: of the stored answer, or of the record as it is.

    ``judged`` spares the check of a record that was judged just now.
    """
    accepted = set(record.accepted_findings.standing().values_list("code", "ref"))
    if record.assessment is not None:
        found = [
            (f["code"], f["ref"] or "")
            for f in record.assessment.answer["findings"]
            if f["severity"] == "stop"
        ]
    else:
        judged = judged or judge(record, record.job.motor, shop_limits())
        found = [(finding.code, finding.ref or "") for finding in judged.stops]
    return [{"code": code, "ref": ref} for code, ref in found if (code, ref) not in accepted]


@transaction.atomic
def approve_specified(
    *, actor: Actor, record: StackRecord, version: int, form_key: str = "", note: str | None = None
) -> StackRecord:
    """Approve a specified stack, as a lead, when no stop finding is open."""
    if not role_may(actor.role, Permission.APPROVE_STACKS):
        raise WorkOrderError(_("Only a lead approves a specified stack."))
    if carried_out(actor=actor, record=record, form_key=form_key):
        return newer_state(record)
    now = ready_to_sign(record, version, Stage.SPECIFIED, note)
    judgement = judge(now, now.job.motor, shop_limits())
    if judgement.assessment is None:
        raise WorkOrderError(
            _(
                "The stack cannot be checked: {why} Enter what is missing (nameplate data under "
                "the motor in the office), then approve."
            ).format(why=" ".join(judgement.hindrances))
        )
    if stops := open_stops(now, judgement):
        raise WorkOrderError(
            _(
                "STOP findings are open. {findings} Correct the stack, or have a lead and a second "
                "person accept them."
            ).format(findings=_told(stops, judgement))
        )
    _refuse_unproven(now, judgement)
    now.is_proposal = now.is_proposal and before_estimate(now.job)
    if not now.is_proposal:
        complete_chain(actor=actor, job=now.job)
    accepted = [list(row) for row in now.accepted_findings.standing().values_list("code", "ref")]
    after = {"accepted": accepted}
    return freeze(now, actor=actor, verb="stack.approved", after=after, form_key=form_key, judged=judgement)


def _told(stops: list[dict[str, object]], judgement: Judgement) -> str:
    """Return what each open stop says, as the page of the stack does."""
    open_ = {(stop["code"], stop["ref"]) for stop in stops}
    units: Units = "us" if settings.SHOP_UNITS == "us" else "si"
    found = [one for one in judgement.stops if (one.code, one.ref or "") in open_]
    return " ".join(dict.fromkeys(finding_sentence(one, units) for one in found))


def _refuse_unproven(record: StackRecord, judgement: Judgement) -> None:
    """Refuse a stack with a deciding subject that is not proven, unless a lead gave a reason for it."""
    given = set(record.accepted_findings.standing().values_list("code", flat=True))
    open_ = [subject for subject in unproven_of(judgement) if code_of(subject) not in given]
    if open_:
        text = _(
            "Not proven: {subjects}. Enter what is missing, or have a lead accept each one with a reason."
        )
        raise WorkOrderError(text.format(subjects=", ".join(subject_label(one) for one in open_)))


@transaction.atomic
def specify_as_proposed(*, actor: Actor, proposal: StackRecord, form_key: str = "") -> StackRecord:
    """Specify what was proposed before the estimate, unchanged: a revision of its own, approved at once.

    It is checked anew, because motor, policy and book may have changed since; what was accepted of the proposal is
    taken over with its reasons where the same finding stands again.
    """
    if not role_may(actor.role, Permission.APPROVE_STACKS):
        raise WorkOrderError(_("Only a lead approves a specified stack."))
    newest = latest(proposal.job, Stage.SPECIFIED)
    if newest is not None and newest.pk != proposal.pk:
        if carried_out(actor=actor, record=newest, form_key=form_key):
            return newest
        raise WorkOrderError(_("There is a newer revision than this proposal. Check it first."))
    if not (proposal.is_frozen and proposal.is_proposal):
        raise WorkOrderError(_("Only an approved proposal can be specified as it is."))
    if before_estimate(proposal.job):
        raise WorkOrderError(_("The estimate is not signed yet. Until then the stack stays a proposal."))
    reason = _("as proposed before the estimate")
    record = start_record(
        actor=actor, job=proposal.job, stage=Stage.SPECIFIED, copy_from=proposal, reason=reason
    )
    judged = judge(record, record.job.motor, shop_limits())
    standing = severities(judged)
    for one in proposal.accepted_findings.standing():
        if (one.code, one.ref) not in standing:
            continue
        if one.needs_second or one.code.startswith(UNPROVEN):
            _take_over(one, record)
        else:
            accept_finding(
                actor=actor,
                record=record,
                version=record.version,
                code=one.code,
                ref=one.ref,
                reason=one.reason,
                tell_customer=one.tell_customer,
            )
    return approve_specified(actor=actor, record=record, version=record.version, form_key=form_key)


def _take_over(one: AcceptedFinding, record: StackRecord) -> None:
    """Let what was accepted of a proposal stand for the same stack specified, with its names and its reason."""
    one.pk, one.record, one._state.adding = None, record, True
    at = one.at
    one.save()
    AcceptedFinding.objects.filter(pk=one.pk).update(at=at)


@transaction.atomic
def accept_finding(
    *,
    actor: Actor,
    record: StackRecord,
    version: int,
    code: str,
    ref: str,
    reason: str,
    tell_customer: str = "",
) -> AcceptedFinding:
    """Accept a finding of a specified stack, as a lead, for a reason that prints on the traveler.

    It is accepted of the stack as it stands: a change of the stack takes the acceptance back. A stop of margin stands
    until a second person accepts it too, see ``confirm_finding``. A subject that is not proven is accepted alike, by
    the lead alone.
    """
    if not role_may(actor.role, Permission.APPROVE_STACKS):
        raise WorkOrderError(_("Only a lead accepts a finding."))
    if code in NEVER_ACCEPTED:
        raise WorkOrderError(_("Thrust that nothing carries cannot be accepted. Correct the stack."))
    if not reason.strip():
        raise WorkOrderError(_("Enter why the finding is accepted. It prints on the traveler."), "reason")
    now = as_seen(newer_state(record), version)
    if now.stage != Stage.SPECIFIED:
        raise WorkOrderError(
            _("Findings can be accepted only on a specified stack that is not approved yet.")
        )
    open_now = severities(judge(now, now.job.motor, shop_limits()))
    if (code, ref) not in open_now:
        raise WorkOrderError(_("This finding is no longer on the stack."))
    known = AcceptedFinding.objects.filter(record=now, code=code, ref=ref).first()
    if known is not None:
        return known
    is_stop = open_now[code, ref] == "stop"
    if is_stop:
        refuse_first(actor, now.job)
    if is_stop or code.startswith(UNPROVEN):
        reason = own_reason(now.job, reason)
    accepted, new = AcceptedFinding.objects.get_or_create(
        record=now,
        code=code,
        ref=ref,
        defaults={
            "reason": reason.strip()[:300],
            "tell_customer": tell_customer.strip()[:300],
            "person_id": actor.person_id,
            "person_name": actor.name,
            "session": actor.session,
            "by_pin": actor.by_pin,
            "needs_second": is_stop,
        },
    )
    if new:
        record_event(
            actor=actor,
            verb="finding.accepted",
            subject=now,
            job_number=now.job.number,
            before={},
            after={"code": code, "ref": ref},
            reason=reason,
        )
    return accepted


@transaction.atomic
def confirm_finding(
    *, actor: Actor, record: StackRecord, version: int, code: str, ref: str
) -> AcceptedFinding:
    """Accept, as the second person, a stop that a lead accepted: from then on it no longer stands."""
    now = as_seen(newer_state(record), version)
    lock_open_job(now.job_id)
    accepted = AcceptedFinding.objects.select_for_update().filter(record=now, code=code, ref=ref).first()
    if accepted is None or not accepted.needs_second:
        raise WorkOrderError(_("Nothing here is waiting for a second person."))
    if accepted.second_id is not None:
        return accepted
    refuse_second(
        actor,
        now.job,
        first_id=accepted.person_id,
        first_session=accepted.session,
        first_by_pin=accepted.by_pin,
    )
    accepted.second_id, accepted.second_name, accepted.second_at = actor.person_id, actor.name, timezone.now()
    accepted.save(update_fields=["second", "second_name", "second_at"])
    record_event(
        actor=actor,
        verb="finding.confirmed",
        subject=now,
        job_number=now.job.number,
        after={"code": code, "ref": ref},
        reason=accepted.reason,
    )
    return accepted
