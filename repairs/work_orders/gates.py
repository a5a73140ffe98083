"""Gates: what keeps a step from being signed off, in words fit to show.

They are asked by the services, whatever a page showed. A lead can let a job pass some of them with a reason; how the
stack is built is not among those.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from django.utils.translation import gettext as _

from repairs.ledger.services import Actor
from repairs.work_orders.models import SignOff, StackRecord, Stage, Step, StepKind
from repairs.work_orders.services.stack_signing import current_specified, open_stops

Gate = Callable[[Step, Actor], list[str]]


def blocking_reasons(step: Step, *, actor: Actor) -> list[str]:
    """Return why this person may not sign a step off now; an empty list opens the gate."""
    if step.sign_offs.filter(signed_as=SignOff.As.OVERRIDE).exists():
        return []
    reasons = _approval(step) if step.chargeable else []
    for gate in GATES.get(step.kind, ()):
        reasons += gate(step, actor)
    return reasons


def step_done(step: Step, kind: str) -> bool:
    """Whether the job has steps of a kind and none of them is still to do or was skipped."""
    states = set(step.job.steps.filter(kind=kind).values_list("state", flat=True))
    return states == {Step.State.DONE}


def _has(step: Step, kind: str) -> bool:
    return step.job.steps.filter(kind=kind).exists()


def _approval(step: Step) -> list[str]:
    if step_done(step, StepKind.APPROVAL):
        return []
    return [_("The estimate is not approved. A lead can let this step pass with a reason.")]


def _newest(step: Step, stage: str) -> StackRecord | None:
    return (
        step.job.stack_records.filter(stage=stage).select_related("assessment").order_by("-revision").first()
    )


def _found_is_signed(step: Step, _actor: Actor) -> list[str]:
    record = _newest(step, Stage.AS_FOUND)
    if record is not None and record.is_frozen:
        return []
    return [_("The stack as found is not recorded and signed yet.")]


def _specified_is_approved(step: Step, _actor: Actor) -> list[str]:
    record = current_specified(step.job)
    if record is None:
        return [_("No specified stack is approved by a lead yet.")]
    if open_stops(record):
        return [_("The specified stack has an open stop finding.")]
    return []


def _laid_out(step: Step, _actor: Actor) -> list[str]:
    if not _has(step, StepKind.LAY_OUT) or step_done(step, StepKind.LAY_OUT):
        return []
    return [_("The dry lay-out is not signed yet. Nothing is heated before that.")]


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
    if lacking := _built_is_recorded(step, actor):
        return lacking
    record, specified = _newest(step, Stage.AS_BUILT), current_specified(step.job)
    if record is None or specified is None or record.compared_with_id != specified.pk:
        return [_("The stack as built was compared with an older specified stack. Record it again.")]
    if record.differences:
        texts = " ".join(row["text"] for row in record.differences)
        return [_("The stack as built differs from the specified one: {texts}").format(texts=texts)]
    return []


def _second_person(step: Step, actor: Actor) -> list[str]:
    record = _newest(step, Stage.AS_BUILT)
    if record is not None and record.submitted_by_id == actor.user_id:
        return [_("You recorded the stack as built. Another person must look at it before the cap goes on.")]
    return []


def _seen_by_second(step: Step, _actor: Actor) -> list[str]:
    if not _has(step, StepKind.SECOND_PERSON) or step_done(step, StepKind.SECOND_PERSON):
        return []
    return [_("A second person has not verified the stack yet.")]


def _test_passed(step: Step, _actor: Actor) -> list[str]:
    if step_done(step, StepKind.FINAL_TEST):
        return []
    return [_("The final test is not passed. A lead can record the customer's concession.")]


GATES: Final[dict[str, tuple[Gate, ...]]] = {
    StepKind.STRIP_RECORD: (_found_is_signed,),
    StepKind.SPECIFY: (_specified_is_approved,),
    StepKind.LAY_OUT: (_specified_is_approved, _photo_on_step),
    StepKind.MOUNT: (_specified_is_approved, _laid_out, _built_is_recorded),
    StepKind.SECOND_PERSON: (_specified_is_approved, _built_matches, _second_person),
    StepKind.END_PLAY: (_specified_is_approved, _built_matches, _seen_by_second),
    StepKind.SHIP: (_test_passed,),
}
