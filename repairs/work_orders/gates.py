"""Gates: what keeps a step from being signed off, in words fit to show.

They are asked by the services, whatever a page showed. A lead can let a job pass some of them with a reason; how the
stack is built is not among those.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from django.utils.translation import gettext as _

from repairs.ledger.services import Actor
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.models import SignOff, StackRecord, Stage, Step, StepKind
from repairs.work_orders.services.laying_out import difference_words, newest_lay_out
from repairs.work_orders.services.stack_approving import open_stops
from repairs.work_orders.services.stack_signing import current_specified, standing_differences

Gate = Callable[[Step, Actor], list[str]]


def blocking_reasons(step: Step, *, actor: Actor) -> list[str]:
    """Return why this person may not sign a step off now; an empty list opens the gate."""
    let_pass = step.sign_offs.filter(signed_as=SignOff.As.OVERRIDE).exists()
    reasons = [] if let_pass or not step.chargeable else _approval(step)
    for gate in (*GATES.get(step.kind, ()), *_added.get(step.kind, ())):
        if not (let_pass and gate in A_LEAD_MAY_OPEN):
            reasons += [reason for reason in gate(step, actor) if reason not in reasons]
    return reasons


def step_done(step: Step, kind: str) -> bool:
    """Whether the job has steps of a kind and none of them is still to do or was skipped."""
    states = set(step.job.steps.filter(kind=kind).values_list("state", flat=True))
    return states == {Step.State.DONE}


def _approval(step: Step) -> list[str]:
    if step_done(step, StepKind.APPROVAL):
        return []
    return [_("The estimate is not approved. A lead can let this step pass with a reason.")]


def _newest(step: Step, stage: str) -> StackRecord | None:
    records = step.job.stack_records.filter(stage=stage).select_related("assessment", "job__motor")
    return records.order_by("-revision").first()


def _has_stack(step: Step) -> bool:
    """Whether the job is one with a thrust stack: its route says so, or somebody recorded one."""
    return step.job.steps.filter(kind__in=STACK_STEPS).exists() or step.job.stack_records.exists()


def _found_is_signed(step: Step, _actor: Actor) -> list[str]:
    record = _newest(step, Stage.AS_FOUND)
    if record is not None and record.is_frozen:
        return []
    return [_("The stack as found is not recorded and signed yet.")]


def _specified_is_approved(step: Step, _actor: Actor) -> list[str]:
    if not _has_stack(step):
        return []
    newest, record = _newest(step, Stage.SPECIFIED), current_specified(step.job)
    if newest is not None and newest.is_frozen and newest.is_proposal:
        return [_("The stack is proposed only. A lead specifies it as proposed, or otherwise.")]
    if newest is None or record is None:
        return [_("No specified stack is approved by a lead yet.")]
    if newest.pk != record.pk:
        text = _("Revision {number} of the specified stack is being made and not approved yet.")
        return [text.format(number=newest.revision)]
    if open_stops(record):
        return [_("The specified stack has an open stop finding.")]
    return []


def _proposal_is_approved(step: Step, _actor: Actor) -> list[str]:
    """What is estimated must be the right bearings: the proposed stack is checked and approved before."""
    if not _has_stack(step) or not step.job.steps.filter(kind=StepKind.ESTIMATE).exists():
        return []
    record = _newest(step, Stage.SPECIFIED)
    if record is not None and record.is_frozen:
        return []
    return [
        _("No stack is proposed and approved by a lead yet. A lead can let this step pass with a reason.")
    ]


def _laid_out(step: Step, actor: Actor) -> list[str]:
    if not step_done(step, StepKind.LAY_OUT):
        return [_("The dry lay-out is not signed yet. Nothing is heated before that.")]
    specified = current_specified(step.job)
    signed = SignOff.objects.filter(step__job=step.job, step__kind=StepKind.LAY_OUT).order_by("-at").first()
    if specified is None or signed is None or specified.signed_at is None or signed.at >= specified.signed_at:
        return []
    if not _built_matches(step, actor):
        # The lead specified anew what already stands on the mount.
        return []
    text = _(
        "The stack was laid out before revision {number} of the specified stack. Repeat the dry lay-out."
    )
    return [text.format(number=specified.revision)]


def _lies_as_specified(step: Step, _actor: Actor) -> list[str]:
    """The stack on the bench is looked at part by part; one that was laid out by an older revision counts as none."""
    specified, lay_out = current_specified(step.job), newest_lay_out(step.job)
    if specified is None:
        return []
    if lay_out is None or lay_out.specified_id != specified.pk:
        return [_("The stack laid out dry is not checked against the specified one yet.")]
    return [difference_words(one) for one in lay_out.differences]


def _agreed_with_customer(_step: Step, actor: Actor) -> list[str]:
    """Chargeable work hangs on this signature, so the bench does not give it to itself."""
    if role_may(actor.role, Permission.OPEN_JOBS):
        return []
    return [_("The office or a lead signs this step, who speak with the customer.")]


def _photo_on_step(step: Step, _actor: Actor) -> list[str]:
    if step.photos.filter(withdrawn_at__isnull=True).exists():
        return []
    return [_("Take a photo of the stack laid out beside the mount first.")]


def _built_is_recorded(step: Step, _actor: Actor) -> list[str]:
    record = _newest(step, Stage.AS_BUILT)
    if record is None or not record.is_frozen:
        return [_("The stack as built is not recorded and submitted yet.")]
    return []


def _built_matches(step: Step, actor: Actor) -> list[str]:
    if not _has_stack(step):
        return []
    if lacking := _built_is_recorded(step, actor):
        return lacking
    record, specified = _newest(step, Stage.AS_BUILT), current_specified(step.job)
    if record is None or specified is None:
        return [_("No specified stack is approved by a lead yet.")]
    if rows := standing_differences(record, specified):
        texts = " ".join(row["text"] for row in rows)
        return [_("The stack as built differs from the specified one: {texts}").format(texts=texts)]
    return []


def _builders(step: Step, record: StackRecord) -> set[int | None]:
    """Return who put the stack together or wrote it down."""
    mounting = SignOff.objects.filter(
        step__job=step.job, step__kind=StepKind.MOUNT, signed_as=SignOff.As.WORKER
    )
    return {record.started_by_id, record.submitted_by_id, *mounting.values_list("person_id", flat=True)}


def _second_person(step: Step, actor: Actor) -> list[str]:
    record = _newest(step, Stage.AS_BUILT)
    if record is not None and actor.user_id in _builders(step, record):
        return [_("You built or recorded this stack. Another person must look at it before the cap goes on.")]
    return []


def _seen_by_second(step: Step, _actor: Actor) -> list[str]:
    if not _has_stack(step):
        return []
    record = _newest(step, Stage.AS_BUILT)
    if record is None or record.signed_at is None or not step_done(step, StepKind.SECOND_PERSON):
        return [_("A second person has not verified the stack yet.")]
    seen = SignOff.objects.filter(
        step__job=step.job, step__kind=StepKind.SECOND_PERSON, at__gte=record.signed_at
    ).exclude(signed_as=SignOff.As.OVERRIDE)
    if seen.exclude(person_id__in=_builders(step, record)).exists():
        return []
    return [
        _(
            "The stack was recorded again after the second person looked. Repeat that step with another person."
        )
    ]


def _test_passed(step: Step, _actor: Actor) -> list[str]:
    if step_done(step, StepKind.FINAL_TEST):
        return []
    return [_("The final test is not passed. A lead can record the customer's concession.")]


STACK_STEPS: Final = (StepKind.SPECIFY, StepKind.LAY_OUT, StepKind.MOUNT, StepKind.SECOND_PERSON)
GATES: Final[dict[str, tuple[Gate, ...]]] = {
    StepKind.STRIP_RECORD: (_found_is_signed,),
    StepKind.OBSERVE: (_proposal_is_approved,),
    StepKind.ESTIMATE: (_agreed_with_customer,),
    StepKind.APPROVAL: (_agreed_with_customer,),
    StepKind.SPECIFY: (_specified_is_approved,),
    StepKind.LAY_OUT: (_specified_is_approved, _lies_as_specified, _photo_on_step),
    StepKind.MOUNT: (_specified_is_approved, _laid_out, _built_matches),
    StepKind.SECOND_PERSON: (_specified_is_approved, _built_matches, _second_person),
    StepKind.END_PLAY: (_specified_is_approved, _built_matches, _seen_by_second),
    # A motor is not run on a stack that nobody verified, whatever happened to the steps between.
    StepKind.FINAL_TEST: (_specified_is_approved, _built_matches, _seen_by_second),
    StepKind.SHIP: (_test_passed,),
}
_added: dict[str, list[Gate]] = {}


def add_gate(kind: str, gate: Gate) -> None:
    """Let a room above the work orders keep a kind of step from being signed; it does so when it is ready."""
    gates = _added.setdefault(kind, [])
    if gate not in gates:
        gates.append(gate)


# Money and the customer's word can be answered for by a lead; how the stack is built cannot.
A_LEAD_MAY_OPEN: Final = frozenset({_proposal_is_approved, _test_passed})
