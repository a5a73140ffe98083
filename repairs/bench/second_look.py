"""The second person's questions: how the wide face of each bearing looks, without sight of either record."""

from __future__ import annotations

from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from repairs.bench.recorder import find_job
from repairs.bench.recorder_rows import part_name
from repairs.edge.numbers import row_key
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.builders import builders
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.looks import answers_of, asked_of, comparison_open, disagreements
from repairs.work_orders.models import Job, JobPhoto, StackRecord, Stage
from repairs.work_orders.services.second_looks import answer_look
from repairs.work_orders.services.stack_editing import latest

ANSWERS = ("up", "down", "cannot_see")


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def second_look(request: ShopRequest, number: str) -> HttpResponse:
    """Ask one question a bearing; when all are answered the comparison opens."""
    job = find_job(number)
    record, problem = latest(job, Stage.AS_BUILT), ""
    if request.method == "POST":
        problem = _keep(request, record)
        if not problem:
            return redirect("bench:second_look", number=number)
    context = _context(request, job, record, problem)
    return render(request, "bench/second_look.html", context, status=422 if problem else 200)


def _keep(request: ShopRequest, record: StackRecord | None) -> str:
    """Keep one answer, once; return why not, if not."""
    if record is None or row_key(request.POST.get("record")) != record.pk:
        return _("The stack was recorded again after you opened this page. Check it as it is now.")
    uid, _colon, face = request.POST.get("answer", "").partition(":")
    actor, photo = actor_of(request), _photo(record, request.POST.get(f"photo-{uid}", ""))

    def work() -> dict[str, object]:
        return {"id": answer_look(actor=actor, record=record, uid=uid, face=face, photo=photo).pk}

    try:
        carry_out_once(actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        return str(error)
    return ""


def _photo(record: StackRecord, chosen: str) -> JobPhoto | None:
    photos = record.photos.filter(withdrawn_at__isnull=True)
    return photos.filter(pk=row_key(chosen)).first()


def _context(request: ShopRequest, job: Job, record: StackRecord | None, problem: str) -> dict[str, object]:
    person = request.user.pk
    answers = answers_of(record, person) if record else {}
    opened = comparison_open(record, person)
    data = {entry["uid"]: entry["data"] for entry in record.items} if record else {}
    asked = asked_of(record) if record else []
    rows = [
        {
            "ref": ref,
            "uid": uid,
            "name": part_name({key: data[uid].get(key) for key in ("kind", "type", "designation", "mark")}),
            "answer": answers[uid].face if uid in answers else "",
            "photo": answers[uid].photo_id if uid in answers else None,
            "hidden": record is not None and record.is_frozen and uid != asked[0][1],
        }
        for ref, uid in asked
    ]
    return {
        "job": job,
        "record": record,
        "rows": rows,
        "photos": record.photos.filter(withdrawn_at__isnull=True).select_related("photo") if record else [],
        "own_build": person in builders(job),
        "opened": opened,
        "disagrees": disagreements(record, person) if record and opened else [],
        "problem": problem,
        "form_key": uuid4().hex,
    }
