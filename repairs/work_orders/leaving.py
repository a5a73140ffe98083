"""When a motor may leave the shop: a built stack leaves by its signed shipping step, however its job ends."""

from __future__ import annotations

from django.utils.translation import gettext as _

from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import chain_of, has_stack
from repairs.work_orders.models import Job, Stage, Step, StepKind


def refuse_closing(job: Job) -> None:
    """Refuse to close a job whose motor hangs on a stack and was not shipped: its route may lack the step."""
    if has_stack(job) and not _shipped(job):
        raise WorkOrderError(
            _("No step ships this motor. Add the step “{step}” to the route and sign it off.").format(
                step=StepKind.SHIP.label
            )
        )


def refuse_pickup(job: Job) -> None:
    """Refuse to record that a motor left before it was shipped, or that it left a cancelled job with a built stack.

    A motor that goes back to its customer as it came, or in parts, has nothing entered as built. Whatever was entered
    once is on the mount until two people say otherwise: a record that one person begins anew, or empties, proves
    nothing, so the motor then leaves by an override of its shipping step.
    """
    if _shipped(job):
        return
    if job.state == Job.State.OPEN and job.steps.filter(state=Step.State.WAITING).exists():
        raise WorkOrderError(_("Steps are still open. Ship the motor, then record the pickup."))
    if job.stack_records.filter(stage=Stage.AS_BUILT).ever_written_in().exists():
        raise WorkOrderError(
            _(
                "STOP. This motor's stack was built or started, but no shipping step is signed. "
                "Reopen the job and finish its steps. If the stack is off again, a lead asks for "
                "an override of the shipping step and a second person confirms it."
            )
        )


def _shipped(job: Job) -> bool:
    """Whether the shipping step is signed and nothing that the motor ships by is to do again."""
    last = job.steps.filter(kind=StepKind.SHIP).order_by("position").last()
    if last is None or last.state != Step.State.DONE:
        return False
    return not job.steps.filter(kind__in=chain_of(job), state=Step.State.WAITING).exists()
