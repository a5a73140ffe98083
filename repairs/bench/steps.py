"""A job at the bench: its next step, its cautions, the sign-off; hand-over notes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final
from uuid import uuid4

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from repairs.bench.asking import asks_of, others_of
from repairs.bench.entry_step import posted_step
from repairs.bench.outbox import note_refusal, through_outbox
from repairs.bench.recorder import find_job
from repairs.edge.numbers import row_key
from repairs.ledger.services import Actor, LedgerError, carry_out_once
from repairs.people.finding import people_who_work
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, Role, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.cautions import GOVERNS, cautions_for
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import blocking_reasons, chain_of
from repairs.work_orders.hiding import hidden_from
from repairs.work_orders.models import Job, Override, SignOff, Stage, Step, StepKind, WorkPeriod
from repairs.work_orders.page_state import SeenPage, newest_event
from repairs.work_orders.services import holds, route, taking_back, work
from repairs.work_orders.warning_words import alert_text

HAND_OVER_FIELDS: Final = holds.HAND_OVER_WORDS
# Where the parts are, hazards and whose lock stay readable after somebody took the job over.
ACCEPTED_SHOWN: Final = 3
HAND_OVER_LONGEST: Final = {"done": 2000, "lock_of": 150}
# What each button of a step needs beside the permission to work on steps.
AFTER_CAUTIONS: Final = frozenset({"sign", "start"})
NEEDS: Final[dict[str, Permission]] = {
    "skip": Permission.EDIT_ROUTE,
    "repeat": Permission.EDIT_ROUTE,
    "override": Permission.OVERRIDE_GATES,
}


@require_GET
@allow(Permission.WORK_STEPS)
def job(request: ShopRequest, number: str) -> HttpResponse:
    """Show the job's one next step with its cautions."""
    return render(request, "bench/job.html", _job_context(request, find_job(number)))


def _job_context(
    request: ShopRequest, job: Job, *, problem: str = "", typed: Mapping[str, str] | None = None
) -> dict[str, object]:
    steps = list(job.steps.all())
    step = next((one for one in steps if one.state == Step.State.WAITING), None)
    asks = asks_of(job, step) if step else []
    return {
        "job": job,
        "step": step,
        "steps_done": sum(1 for one in steps if one.state != Step.State.WAITING),
        "steps_total": len(steps),
        "route_steps": _route_rows(steps, step),
        "ended_steps": [one for one in steps if one.state != Step.State.WAITING],
        "cautions": cautions_for(step.kind) if step else (),
        "governs": GOVERNS,
        "reasons": blocking_reasons(step, actor=actor_of(request)) if step else [],
        "photo_count": step.photos.filter(withdrawn_at__isnull=True).count() if step else 0,
        "accepted_notes": job.hand_overs.filter(accepted_at__isnull=False).select_related(
            "written_by", "accepted_by"
        )[:ACCEPTED_SHOWN],
        "hand_overs": job.hand_overs.filter(accepted_at__isnull=True).select_related(
            "written_by", "meant_for"
        ),
        "people": people_who_work().exclude(pk=request.user.pk),
        "last": _to_take_back(job, actor_of(request)),
        "asks": asks,
        "alert": alert_text(job.alert, request.user.unit_system) if job.alert else "",
        "blind": job.alert_severity == "stop" and hidden_from(request.user, job, Stage.SPECIFIED),
        "others": others_of(job, asks),
        "to_read": step is not None
        and work.cautions_to_read(job=job, kind=step.kind, person_id=request.user.pk),
        "clock": WorkPeriod.objects.running().select_related("step__job").filter(person=request.user).first(),
        "seen": newest_event(job),
        "form_key": (typed or {}).get("form_key") or uuid4().hex,
        "problem": problem,
        "typed": typed or {},
        "may_edit_route": request.user.may(Permission.EDIT_ROUTE),
        "may_override": _can_pass(step) and request.user.may(Permission.OVERRIDE_GATES),
        **_override_context(request, job, step),
    }


def _override_context(request: ShopRequest, job: Job, step: Step | None) -> dict[str, object]:
    """Return whether the step is one that two people override, and what waits for the second of them."""
    if step is None:
        return {}
    in_chain = step.kind in chain_of(job)
    asked = Override.objects.asked_for().filter(step=step).first() if in_chain else None
    return {
        "in_chain": in_chain,
        "asked_override": asked,
        "may_ask_override": in_chain and asked is None and request.user.role == Role.LEAD,
        "may_confirm_override": asked is not None and request.user.may(Permission.CONFIRM_OVERRIDES),
    }


def _route_rows(steps: Sequence[Step], current: Step | None) -> list[dict[str, str]]:
    """Return all steps of a job with where each stands, so that a tablet without network shows the way ahead."""
    shown = {Step.State.DONE: "done", Step.State.SKIPPED: "skipped"}
    return [
        {
            "name": one.title,
            "state": "current" if one is current else shown.get(Step.State(one.state), "todo"),
            "by": one.skip_reason if one.state == Step.State.SKIPPED else "",
        }
        for one in steps
    ]


def _to_take_back(job: Job, actor: Actor) -> SignOff | None:
    """Return the last signature where this person may take it back."""
    signature = taking_back.newest_signature(job)
    return signature if taking_back.can_be_taken_back(signature, actor) else None


def _can_pass(step: Step | None) -> bool:
    """Whether a step has a gate that a lead may open."""
    return step is not None and (step.chargeable or step.kind in route.OVERRIDABLE)


@require_POST
@through_outbox
@allow(Permission.WORK_STEPS)
def step(request: ShopRequest, number: str, step_id: int) -> HttpResponse:
    """Sign a step off, leave it out, do it again, or let it pass; the services ask the gates."""
    found = get_object_or_404(Step.objects.select_related("job"), pk=step_id, job__number=number)
    act, actor, words = request.POST.get("do", ""), actor_of(request), request.POST.get("note", "")
    if act in NEEDS and not request.user.may(NEEDS[act]):
        raise PermissionDenied
    second = found.kind == StepKind.SECOND_PERSON
    signed_as = SignOff.As.SECOND if second else SignOff.As.WORKER
    acts: dict[str, Callable[[], Any]] = {
        "sign": lambda: route.sign_off(
            actor=actor, step=found, note=words[:400], signed_as=signed_as, seen=_seen(request, found)
        ),
        "start": lambda: work.start_work(actor=actor, step=found),
        "stop": lambda: _stop_clock(actor),
        "skip": lambda: route.skip_step(
            actor=actor,
            step=found,
            reason=words[:200],
            tell_customer=request.POST.get("tell_customer", "")[:300],
        ),
        "repeat": lambda: route.repeat_step(actor=actor, step=found, reason=words[:200]),
        "take_back": lambda: taking_back.take_back(
            actor=actor, step=found, confirmed=row_key(request.POST.get("confirmed", ""))
        ),
        "override": lambda: route.override_gate(actor=actor, step=found, reason=words[:400]),
    }
    if act not in acts:
        raise Http404

    def carried_out() -> None:
        if act in AFTER_CAUTIONS:
            _read_first(actor, found, said=request.POST.get("cautions") == "read")
        acts[act]()

    return _once(request, number, carried_out, stands=lambda: _ended_words(step_id))


def _seen(request: ShopRequest, step: Step) -> SeenPage:
    """Return what the page showed; a form that does not say it has seen nothing of the job."""
    return SeenPage(step_id=step.pk, event_id=row_key(request.POST.get("seen", "")))


def _read_first(actor: Actor, step: Step, *, said: bool) -> None:
    """Keep that the person read the step's cautions, or refuse until they say so."""
    if not work.cautions_to_read(job=step.job, kind=step.kind, person_id=actor.user_id):
        return
    if not said:
        raise WorkOrderError(_("Read the cautions of this step first, then check the box."))
    work.read_cautions(actor=actor, job=step.job, kind=step.kind)


def _stop_clock(actor: Actor) -> None:
    """Stop the person's clock wherever it runs."""
    for period in WorkPeriod.objects.running().filter(person_id=actor.person_id):
        work.stop_work(actor=actor, period=period)


def _ended_words(step_id: int) -> list[str]:
    """Say how a step ended, for somebody whose sign-off came later."""
    ended = Step.objects.get(pk=step_id)
    at = "DATETIME_FORMAT"
    lines = [
        _("{step}: signed by {person}, {at}").format(
            step=ended.title, person=one.person_name, at=date_format(localtime(one.made_at or one.at), at)
        )
        for one in ended.sign_offs.exclude(signed_as=SignOff.As.OVERRIDE)
    ]
    if ended.state == Step.State.SKIPPED:
        lines.append(_("{step}: skipped, {reason}").format(step=ended.title, reason=ended.skip_reason))
    return lines


@require_POST
@through_outbox
@allow(Permission.WORK_STEPS)
def hand_over(request: ShopRequest, number: str) -> HttpResponse:
    """Write a hand-over note, or accept the open one."""
    job, actor, accepted = find_job(number), actor_of(request), request.POST.get("accept", "")
    if accepted:
        note = get_object_or_404(job.hand_overs, pk=row_key(accepted))
        return _once(request, number, lambda: holds.accept_hand_over(actor=actor, hand_over=note))
    words = {name: request.POST.get(name, "").strip() for name in HAND_OVER_FIELDS}
    if any(len(text) > HAND_OVER_LONGEST.get(name, 300) for name, text in words.items()):
        problem = _(
            "The handoff note is too long. Limits: 2 000 characters for done / not done, 150 "
            "for whose lock, 300 for each other field."
        )
        return _refused(request, number, problem)
    meant_for = people_who_work().filter(pk=row_key(request.POST.get("meant_for"))).first()
    return _once(
        request,
        number,
        lambda: holds.write_hand_over(
            actor=actor, job=job, meant_for=meant_for, step=posted_step(request, job), **words
        ),
    )


def _once(
    request: ShopRequest,
    number: str,
    act: Callable[[], Any],
    *,
    stands: Callable[[], list[str]] = list,
) -> HttpResponse:
    """Carry an act out once and go back to the job; a refusal shows the page with everything that was typed.

    ``stands`` says what was stored instead, for an entry that came too late.
    """

    def carried_out() -> dict[str, object]:
        act()
        return {"done": True}

    try:
        carry_out_once(
            actor=actor_of(request),
            key=request.POST.get("form_key", ""),
            body=request.POST.dict(),
            work=carried_out,
        )
    except (WorkOrderError, LedgerError) as error:
        return _refused(request, number, str(error), stands())
    return redirect("bench:job", number=number)


def _refused(request: ShopRequest, number: str, problem: str, stands: Sequence[str] = ()) -> HttpResponse:
    note_refusal(request, problem, conflict=bool(stands), theirs=stands)
    typed = {key: str(value) for key, value in request.POST.items() if key != "form_key"}
    context = _job_context(request, find_job(number), problem=problem, typed=typed)
    return render(request, "bench/job.html", context, status=422)
