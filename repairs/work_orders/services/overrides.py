"""Override a step of the chain: asked for by a lead, confirmed by a second person, neither of whom built."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, Final

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import SYSTEM, Actor, record_event
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import chain_of, covered_keys, gate_reasons, left_out_key
from repairs.work_orders.models import Job, Override, Step, StepKind
from repairs.work_orders.reasons import Reason, is_never_overridden, key_of
from repairs.work_orders.services.route import leave_out, locked_step
from repairs.work_orders.standing import face_was_wrong
from repairs.work_orders.two_people import own_reason, refuse_first, refuse_second

Act = Override.Act
# Where one of these facts is let pass, the motor leaves with another stack, or less proven, than was agreed.
NOT_BUILT: Final = "not-built:"
NEEDS_CONSENT: Final = ("difference:", NOT_BUILT, "stop:", "recheck:", "link:mount:", "link:final_test:")
WORDS_LENGTH: Final = 200


def in_the_way(step: Step, act: str) -> list[Reason]:
    """Return the facts that an override of a step would be given for, or refuse what no two people can open."""
    reasons = gate_reasons(step, SYSTEM)
    if never := [reason for reason in reasons if is_never_overridden(reason)]:
        words = _("{why} This cannot be overridden. Rebuild the stack, or specify a new one.")
        raise WorkOrderError(words.format(why=" ".join(never)))
    _refuse_unrecorded_face(step, reasons)
    covered = covered_keys(step.job)
    facts = [one for one in reasons if isinstance(one, Reason) and one.key not in covered]
    plain = [one for one in reasons if not key_of(one)]
    if act == Act.SKIP:
        return [*facts, Reason(_("“{title}” is skipped.").format(title=step.title), left_out_key(step))]
    if plain:
        raise WorkOrderError(_("First: {why}").format(why=" ".join(plain)))
    if not facts:
        raise WorkOrderError(_("Nothing blocks this step. Sign it off."))
    return facts


def _refuse_unrecorded_face(step: Step, reasons: list[str]) -> None:
    """Refuse to let a face that differed go by for want of a newer record: an empty one says nothing of the mount.

    The shipping step stays open to two people: a motor whose stack is off again goes back in parts.
    """
    if step.kind == StepKind.SHIP or not any(key_of(one).startswith(NOT_BUILT) for one in reasons):
        return
    if face_was_wrong(step.job):
        words = _(
            "The last recorded stack had a bearing upside down. Record the stack again. "
            "Without a new record, only shipping can be overridden, for a motor that goes "
            "back in parts."
        )
        raise WorkOrderError(words)


def can_be_overridden(step: Step, act: str) -> bool:
    """Whether a step is one that two people may leave out or let pass."""
    if step.kind not in chain_of(step.job) or step.state != Step.State.WAITING:
        return False
    # Who looks as the second person is never somebody who did not look; what ships is never left out.
    return step.kind != (StepKind.SECOND_PERSON if act == Act.PASS else StepKind.SHIP)


@transaction.atomic
def ask_override(
    *,
    actor: Actor,
    step: Step,
    act: str,
    reason: str,
    consent_by: str = "",
    consent_on: date | None = None,
    consent_how: str = "",
    tell_customer: str = "",
) -> Override:
    """Ask, as a lead, that a step is left out or passes. Nothing passes before a second person confirms it."""
    step = locked_step(step)
    refuse_first(actor, step.job)
    if act not in Act.values or not can_be_overridden(step, act):
        raise WorkOrderError(_("This step cannot be overridden that way."))
    if Override.objects.asked_for().filter(step=step).exists():
        raise WorkOrderError(_("This step already has an override waiting for a second person."))
    facts = in_the_way(step, act)
    words = own_reason(step.job, reason)
    differs = any(one.key.startswith(NEEDS_CONSENT) for one in facts)
    consent: dict[str, object] = {
        "consent_by": consent_by.strip()[:120],
        "consent_on": consent_on,
        "consent_how": consent_how.strip()[:120],
    }
    _refuse_no_consent(differs, consent)
    override = Override.objects.create(
        job=step.job,
        step=step,
        act=act,
        reasons=[{"key": one.key, "text": str(one)} for one in facts],
        reason=words,
        differs=differs,
        **consent,
        tell_customer=tell_customer.strip()[:500],
        lead_id=actor.person_id,
        lead_name=actor.name,
        lead_session=actor.session,
        lead_by_pin=actor.by_pin,
    )
    _record(actor, "override.asked", override)
    return override


def _refuse_no_consent(differs: bool, consent: Mapping[str, Any]) -> None:
    missing = next((name for name, value in consent.items() if not value), None)
    if differs and missing:
        raise WorkOrderError(
            _("The motor differs from what was agreed. Enter who consented for the customer, when and how."),
            missing,
        )
    if consent["consent_on"] and consent["consent_on"] > timezone.localdate():
        raise WorkOrderError(_("The consent date is in the future. Enter today or earlier."), "consent_on")


@transaction.atomic
def confirm_override(*, actor: Actor, override: Override) -> Override:
    """Confirm, as the second person, what a lead asked for. It covers the facts of now, if they are those of then."""
    step = locked_step(override.step)
    now = Override.objects.select_for_update().get(pk=override.pk)
    if now.confirmed_at is not None or now.withdrawn_at is not None:
        raise WorkOrderError(_("This override is already confirmed or withdrawn."))
    if step.state != Step.State.WAITING:
        raise WorkOrderError(_("This step was already signed off or skipped."))
    refuse_second(
        actor, step.job, first_id=now.lead_id, first_session=now.lead_session, first_by_pin=now.lead_by_pin
    )
    asked = {row["key"] for row in now.reasons}
    if any(one.key not in asked for one in in_the_way(step, now.act)):
        raise WorkOrderError(
            _("More blocks this step now than when you asked. Withdraw the override and ask again.")
        )
    now.second_id, now.second_name, now.confirmed_at = actor.person_id, actor.name, timezone.now()
    now.save(update_fields=["second", "second_name", "confirmed_at"])
    _record(actor, "override.confirmed", now)
    if now.act == Act.SKIP:
        leave_out(actor=actor, step=step, reason=now.reason[:200])
    refresh_override(step.job)
    return now


@transaction.atomic
def withdraw_override(*, actor: Actor, override: Override) -> Override:
    """Withdraw what was asked for and not confirmed yet: by who asked, or by whoever could confirm it."""
    locked_step(override.step)
    now = Override.objects.select_for_update().get(pk=override.pk)
    if now.confirmed_at is not None:
        raise WorkOrderError(_("This override is confirmed. It cannot be withdrawn."))
    if now.withdrawn_at is None:
        now.withdrawn_at, now.withdrawn_name = timezone.now(), actor.name
        now.save(update_fields=["withdrawn_at", "withdrawn_name"])
        _record(actor, "override.withdrawn", now)
    return now


def refresh_override(job: Job) -> None:
    """Repeat on the job's row what was overridden, so that the board can say it."""
    rows = Override.objects.in_force().of_job(job)
    job.override_words = "; ".join(one.words for one in rows)[:WORDS_LENGTH]
    job.save(update_fields=["override_words"])


def _record(actor: Actor, verb: str, override: Override) -> None:
    record_event(
        actor=actor,
        verb=verb,
        subject=override,
        job_number=override.job.number,
        after={
            "step": override.step.title,
            "act": override.act,
            "facts": [row["key"] for row in override.reasons],
            "consent": [override.consent_by, str(override.consent_on or ""), override.consent_how],
        },
        reason=override.reason,
    )
