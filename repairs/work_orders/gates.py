"""Gates: what keeps a step from being signed off, in words fit to show."""

from __future__ import annotations

from django.utils.translation import gettext as _

from repairs.ledger.services import Actor
from repairs.work_orders.models import SignOff, Step, StepKind


def blocking_reasons(step: Step, *, actor: Actor) -> list[str]:
    """Return why a step may not be signed off now; an empty list opens the gate."""
    reasons = []
    if step.chargeable and not _passed(step) and not step_done(step, StepKind.APPROVAL):
        reasons.append(_("The estimate is not approved yet. A lead can let this step pass with a reason."))
    return reasons


def _passed(step: Step) -> bool:
    return step.sign_offs.filter(signed_as=SignOff.As.OVERRIDE).exists()


def step_done(step: Step, kind: str) -> bool:
    """Whether the job's steps of a kind are all signed off, and there is one."""
    states = set(step.job.steps.filter(kind=kind).values_list("state", flat=True))
    return states == {Step.State.DONE}
