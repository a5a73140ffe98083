"""The dry lay-out, part by part from the top, against the specified stack; and the stack to be read from afar."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from bearings.public import Units
from repairs.bench.outbox import note_refusal, through_outbox
from repairs.bench.recorder import find_job, hidden_page
from repairs.bench.recorder_rows import list_rows, part_details, part_name
from repairs.edge.numbers import whole_number
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.cautions import GOVERNS, cautions_for
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.hiding import hidden_from
from repairs.work_orders.models import Job, LayOut, StackRecord, Stage, StepKind
from repairs.work_orders.picturing import kept_picture
from repairs.work_orders.services import laying_out
from repairs.work_orders.services.laying_out import MARK_FIELDS
from repairs.work_orders.services.stack_signing import current_specified


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def lay_out(request: ShopRequest, number: str) -> HttpResponse:
    """Ask of each part whether it lies at its place, how its wide face looks and what is marked on it."""
    job = find_job(number)
    if hidden_from(request.user, job, Stage.SPECIFIED):
        return hidden_page(request, job, "")
    problem = ""
    if request.method == "POST":
        problem = _keep(request, job)
        if not problem:
            return redirect("bench:lay_out", number=number)
        note_refusal(request, problem)
    context = _context(job, request.user.unit_system, request.POST if problem else None, problem)
    return render(request, "bench/lay_out.html", context, status=422 if problem else 200)


def _keep(request: ShopRequest, job: Job) -> str:
    """Keep what was seen, once; return why not, if not."""
    seen, revision = request.POST.dict(), whole_number(request.POST.get("revision")) or 0
    actor = actor_of(request)

    def work() -> dict[str, object]:
        kept = laying_out.check_lay_out(actor=actor, job=job, seen_revision=revision, seen=seen)
        return {"id": kept.pk}

    try:
        carry_out_once(actor=actor, key=request.POST.get("form_key", ""), body=seen, work=work)
    except (WorkOrderError, LedgerError) as error:
        return str(error)
    return ""


def _context(job: Job, units: Units, typed: Mapping[str, Any] | None, problem: str) -> dict[str, object]:
    specified, last = current_specified(job), laying_out.newest_lay_out(job)
    if last is not None and (specified is None or last.specified_id != specified.pk):
        last = None
    return {
        "job": job,
        "cautions": cautions_for(StepKind.LAY_OUT),
        "governs": GOVERNS,
        "specified": specified,
        "drawing": kept_picture(specified, units=units, prefix="laid") if specified else "",
        "rows": _rows(specified, last, typed, units) if specified else [],
        "last": last,
        "differences": [laying_out.difference_words(one) for one in last.differences] if last else [],
        "problem": problem,
        "form_key": uuid4().hex,
    }


def _rows(
    specified: StackRecord, last: LayOut | None, typed: Mapping[str, Any] | None, units: Units
) -> list[dict[str, object]]:
    """Return the parts from the top with what was seen of each the last time, or typed just now."""
    seen = {line["uid"]: line for line in last.lines} if last else {}
    rows = []
    for line in laying_out.lines_to_check(specified):
        uid = line["uid"]
        before = seen.get(uid, {})
        if typed is not None:
            before = {name: typed.get(f"{name}-{uid}", "") for name in ("lies", "face", "mark")}
        rows.append(
            {
                **line,
                "name": part_name(line["data"]),
                # The mark is read on the ring, not copied from here.
                "more": part_details(
                    {key: v for key, v in line["data"].items() if key not in MARK_FIELDS}, units
                ),
                "lies": bool(before.get("lies")),
                "face_seen": before.get("face", ""),
                "mark_seen": before.get("mark", ""),
            }
        )
    return rows


@require_GET
@allow(Permission.VIEW_SHOP)
def stack_wall(request: ShopRequest, number: str) -> HttpResponse:
    """Show the specified stack as large as the screen allows, to be read from two metres."""
    job = find_job(number)
    if hidden_from(request.user, job, Stage.SPECIFIED):
        return hidden_page(request, job, "")
    specified = current_specified(job)
    context = {
        "job": job,
        "specified": specified,
        "drawing": kept_picture(specified, units=request.user.units, prefix="wall") if specified else "",
        "words": specified.assessment.answer["arrangement"]["words"]
        if specified and specified.assessment
        else "",
        "rows": list_rows(specified, "", {}, request.user.unit_system) if specified else [],
        "empty_title": _("No approved specified stack yet"),
        "empty_text": _("A lead must approve it before anything is mounted."),
    }
    return render(request, "bench/stack_wall.html", context)
