"""Walk the route: sign off, skip, add, repeat steps; let a job pass a gate."""

from __future__ import annotations

from django.db import transaction
from django.db.models import F, Max
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.entry_origin import note_origin
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import blocking_reasons, chain_of
from repairs.work_orders.models import Job, RouteTemplate, SignOff, Step, StepKind
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.page_state import SeenPage, refuse_moved_on
from repairs.work_orders.services.board_row import refresh_board
from repairs.work_orders.services.work import stop_clocks


def lay_out_route(*, job: Job, template: RouteTemplate) -> None:
    """Copy a template's steps to a job, so that a later change of the template changes no job."""
    Step.objects.bulk_create(
        Step(job=job, position=10 * n, kind=step.kind, title=step.title, chargeable=step.chargeable)
        for n, step in enumerate(template.steps.all(), 1)
    )
    refresh_board(job)


def current_step(job: Job) -> Step | None:
    """Return the first step that is still to do."""
    return job.steps.filter(state=Step.State.WAITING).order_by("position").first()


def _touch(job: Job, actor: Actor) -> None:
    job.last_person = actor.name
    job.last_at = timezone.now()
    job.save(update_fields=["last_person", "last_at"])


def locked_step(step: Step) -> Step:
    """Return the step as it stands now, with its job's row locked for this transaction; an ended job is refused."""
    lock_open_job(step.job_id)
    return Step.objects.select_related("job").get(pk=step.pk)


@transaction.atomic
def sign_off(
    *,
    actor: Actor,
    step: Step,
    note: str = "",
    signed_as: str = SignOff.As.WORKER,
    seen: SeenPage | None = None,
) -> SignOff:
    """Sign a step as done. Gates are asked here, whatever the page showed.

    ``seen`` is what the page of a signature showed: every page gives it, and a page that has moved on signs nothing.
    """
    step = locked_step(step)
    if step.state != Step.State.WAITING:
        raise WorkOrderError(_("This step was already signed off or skipped."))
    if seen is not None:
        refuse_moved_on(seen, job=step.job, step=step, actor=actor)
    if step.job.on_hold:
        raise WorkOrderError(
            _("This job is on hold: {words}. Release it first.").format(words=step.job.hold_words)
        )
    if reasons := blocking_reasons(step, actor=actor):
        raise WorkOrderError(" ".join(reasons))
    if step.kind == StepKind.APPROVAL and not note.strip():
        # Never by the gesture of the estimate: an approval names who agreed, and is typed.
        raise WorkOrderError(_("Enter who approved what, and how."), "reason")
    signature = SignOff(
        step=step, person_id=actor.person_id, person_name=actor.name, signed_as=signed_as, note=note
    )
    note_origin(signature, actor=actor)
    signature.save()
    now = timezone.now()
    step.state = Step.State.DONE
    step.started_at = step.started_at or now
    step.ended_at = now
    step.save()
    record_event(
        actor=actor,
        verb="step.signed",
        subject=step,
        job_number=step.job.number,
        after={"step": step.title, "as": signed_as, "note": note},
    )
    stop_clocks(actor=actor, step=step)
    refresh_board(step.job)
    _touch(step.job, actor)
    return signature


@transaction.atomic
def skip_step(*, actor: Actor, step: Step, reason: str, tell_customer: str = "") -> Step:
    """Leave a step out, with a reason; the customer reads ``tell_customer``, never the reason.

    What the motor ships by is left out by two people only: an override.
    """
    step = locked_step(step)
    if step.state != Step.State.WAITING:
        raise WorkOrderError(_("This step was already signed off or skipped."))
    if not reason.strip():
        raise WorkOrderError(_("Enter the reason for skipping this step."), "reason")
    if step.kind in chain_of(step.job):
        raise WorkOrderError(
            _("The motor ships by this step. Skipping it takes two people: ask for an override.")
        )
    if step.kind in GATE_STEPS and not role_may(actor.role, Permission.OVERRIDE_GATES):
        raise WorkOrderError(_("Later steps depend on this step. Only a lead can skip it."))
    return leave_out(actor=actor, step=step, reason=reason, tell_customer=tell_customer)


def leave_out(*, actor: Actor, step: Step, reason: str, tell_customer: str = "") -> Step:
    """Set a locked step to skipped. Whoever calls this has made sure that it may be."""
    stop_clocks(actor=actor, step=step)
    step.state = Step.State.SKIPPED
    step.skip_reason = reason
    step.tell_customer = tell_customer.strip()
    step.ended_at = timezone.now()
    step.save()
    record_event(
        actor=actor,
        verb="step.skipped",
        subject=step,
        job_number=step.job.number,
        after={"step": step.title},
        reason=reason,
    )
    refresh_board(step.job)
    _touch(step.job, actor)
    return step


# Later steps stand on these, so that a technician leaves none of them out.
GATE_STEPS = frozenset({StepKind.APPROVAL, StepKind.SPECIFY})


@transaction.atomic
def add_step(*, actor: Actor, job: Job, after: Step | None, kind: str, title: str) -> Step:
    """Put a step behind another one, or at the end."""
    job = lock_open_job(job)
    if not title.strip():
        raise WorkOrderError(_("Enter a step title."), "title")
    last = job.steps.aggregate(last=Max("position"))["last"] or 0
    position = last + 10 if after is None else after.position + 1
    if after is not None:
        _make_room(job, position)
    step = Step.objects.create(job=job, position=position, kind=kind, title=title)
    record_event(
        actor=actor,
        verb="step.added",
        subject=step,
        job_number=job.number,
        after={"step": title, "kind": kind},
    )
    refresh_board(job)
    return step


def _make_room(job: Job, position: int) -> None:
    """Move the steps from a position on by one, from the last, so that no two ever share a position."""
    if not job.steps.filter(position=position).exists():
        return
    for step in job.steps.filter(position__gte=position).order_by("-position"):
        Step.objects.filter(pk=step.pk).update(position=F("position") + 1)


@transaction.atomic
def repeat_step(*, actor: Actor, step: Step, reason: str) -> Step:
    """Do a step again: a new step of the same kind behind it, with the reason in the ledger."""
    step = locked_step(step)
    if not reason.strip():
        raise WorkOrderError(_("Enter the reason for redoing this step."), "reason")
    again = add_step(
        actor=actor,
        job=step.job,
        after=step,
        kind=step.kind,
        title=_("{title} (redo)").format(title=step.title),
    )
    record_event(
        actor=actor,
        verb="step.repeated",
        subject=again,
        job_number=step.job.number,
        before={"step": step.title},
        reason=reason,
    )
    return again


@transaction.atomic
def override_gate(*, actor: Actor, step: Step, reason: str) -> SignOff:
    """Let chargeable work begin without an approved estimate, for a reason that prints on the papers."""
    step = locked_step(step)
    if not role_may(actor.role, Permission.OVERRIDE_GATES):
        raise WorkOrderError(_("Only a lead can let the job proceed."))
    if not reason.strip():
        raise WorkOrderError(_("Enter why the job can proceed."), "reason")
    if step.kind not in OVERRIDABLE and not step.chargeable:
        raise WorkOrderError(_("This step has no gate that a lead can override."))
    signature = SignOff.objects.create(
        step=step,
        person_id=actor.person_id,
        person_name=actor.name,
        signed_as=SignOff.As.OVERRIDE,
        note=reason,
    )
    record_event(
        actor=actor,
        verb="gate.opened",
        subject=step,
        job_number=step.job.number,
        after={"step": step.title},
        reason=reason,
    )
    return signature


# Money can be answered for by a lead; how the stack is built, tested and shipped cannot.
OVERRIDABLE = frozenset({StepKind.OBSERVE, StepKind.WINDING, StepKind.MACHINING, StepKind.BALANCE})
