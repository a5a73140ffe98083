"""Photos of a job from the tablet's camera or a file, and numbered marks on them."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from repairs.bench.recorder import find_job, find_record
from repairs.bench.recorder_rows import part_name
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.photos.services import PhotoError
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import Job, JobPhoto, StackRecord
from repairs.work_orders.photo_rows import photo_rows
from repairs.work_orders.services import pictures
from repairs.work_orders.services.route import current_step

GRID = [(column, row) for row in range(1, 7) for column in range(1, 9)]


def _record(number: str, stage: str) -> StackRecord | None:
    return find_record(number, stage) if stage else None


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def photos(request: ShopRequest, number: str) -> HttpResponse:
    """Show the job's photos and take new ones in; a refused file leaves everything else as it was."""
    job = find_job(number)
    stage = request.POST.get("stage", request.GET.get("stage", ""))
    record = _record(number, stage)
    problem, status = "", 200
    if request.method == "POST":
        problem = _take_in(request, job, record)
        status = 422 if problem else 200
        if not problem and not request.htmx:
            return redirect(f"{reverse('bench:photos', args=[number])}?stage={stage}")
    places = job.photos.filter(withdrawn_at__isnull=True)
    if record is not None:
        places = places.filter(stack_record=record)
    context = {
        "job": job,
        "stage": stage,
        "record": record,
        "photos": photo_rows(places, link="bench:photo"),
        "problem": problem,
        "caption": request.POST.get("caption", "") if problem else "",
        "form_key": request.POST.get("form_key") if problem else uuid4().hex,
    }
    page = "bench/_photos.html" if request.htmx else "bench/photos.html"
    return render(request, page, context, status=status)


def _take_in(request: ShopRequest, job: Job, record: StackRecord | None) -> str:
    """Put the uploaded files on the job once; return what was refused."""
    if record is not None and record.is_frozen:
        return _("This stack record is signed; take the photo for the job instead.")
    actor = actor_of(request)
    files = request.FILES.getlist("files")

    def work() -> dict[str, Any]:
        step = None if record is not None else current_step(job)
        placed = pictures.add_photos(
            actor=actor,
            job=job,
            files=files,
            step=step,
            stack_record=record,
            caption=request.POST.get("caption", ""),
        )
        return {"photos": [one.pk for one in placed]}

    body = {**request.POST.dict(), "files": [(file.name, file.size) for file in files]}
    try:
        carry_out_once(actor=actor, key=request.POST.get("form_key", ""), body=body, work=work)
    except (PhotoError, WorkOrderError, LedgerError) as error:
        return str(error)
    return ""


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def photo(request: ShopRequest, number: str, place_id: int) -> HttpResponse:
    """Show one photo large, and put marks on it: by tapping, or by naming a square of the grid."""
    place = get_object_or_404(
        JobPhoto.objects.select_related("job", "photo", "stack_record"), pk=place_id, job__number=number
    )
    record = place.stack_record or find_record(number, "as_found")
    if request.method == "POST":
        try:
            _mark(request, place)
        except WorkOrderError as error:
            messages.error(request, str(error))
        return redirect("bench:photo", number=number, place_id=place_id)
    refs = refs_of(record.items) if record else []
    context = {
        "job": place.job,
        "place": place,
        "photo": photo_rows([place], link="bench:photo")[0],
        "items": [{"uid": e["uid"], "ref": ref, "name": part_name(e["data"])} for ref, e in refs],
        "grid": [{"value": f"{c}-{r}", "label": f"{'ABCDEFGH'[c - 1]}{r}"} for c, r in GRID],
        "frozen": place.stack_record is not None and place.stack_record.is_frozen,
    }
    return render(request, "bench/photo.html", context)


def _mark(request: ShopRequest, place: JobPhoto) -> None:
    actor = actor_of(request)
    if mark_id := request.POST.get("remove"):
        mark = place.photo.marks.filter(pk=int(mark_id) if mark_id.isdigit() else 0).first()
        if mark is None:
            raise Http404
        pictures.remove_mark(actor=actor, job_photo=place, mark=mark)
        return
    x, y = _position(request)
    pictures.place_mark(
        actor=actor,
        job_photo=place,
        x=x,
        y=y,
        item_uid=request.POST.get("item_uid", "")[:12],
        label=request.POST.get("label", ""),
    )


def _position(request: ShopRequest) -> tuple[float, float]:
    """Return where a mark goes: the tapped point, else the middle of the chosen square."""
    try:
        if request.POST.get("x"):
            return float(request.POST["x"]), float(request.POST.get("y", ""))
        column, _dash, row = request.POST.get("square", "").partition("-")
        return (int(column) - 0.5) / 8, (int(row) - 0.5) / 6
    except ValueError as error:
        raise WorkOrderError(_("Tap the photo, or choose a square of the grid.")) from error
