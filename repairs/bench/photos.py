"""Photos of a job from the tablet's camera or a file, and numbered marks on them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from repairs.bench.entry_step import posted_step
from repairs.bench.outbox import note_files, note_refusal, through_outbox
from repairs.bench.recorder import find_job, find_record
from repairs.bench.recorder_rows import part_name, stage_tabs
from repairs.edge.numbers import row_key, whole_number
from repairs.ledger.files import NewFiles
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.people.middleware import actor_of
from repairs.people.models import User
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.photos.services import PhotoError, Upload
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.hiding import hidden_from
from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import Job, JobPhoto, StackRecord, Stage
from repairs.work_orders.photo_rows import photo_rows
from repairs.work_orders.services import pictures

GRID = [(column, row) for row in range(1, 7) for column in range(1, 9)]


def _record(number: str, stage: str) -> StackRecord | None:
    return find_record(number, stage) if stage else None


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def photos(request: ShopRequest, number: str) -> HttpResponse:
    """Show the job's photos and take new ones in; each file stands for itself."""
    job = find_job(number)
    stage = request.POST.get("stage", request.GET.get("stage", ""))
    record = _record(number, stage)
    if hidden_from(request.user, job, stage):
        return render(request, "bench/stack_hidden.html", {"job": job, "stages": stage_tabs(job, stage)})
    problem = ""
    if request.method == "POST":
        problem = _take_in(request, job, record)
        if not problem and not request.htmx:
            return redirect(f"{reverse('bench:photos', args=[number])}?stage={stage}")
        if problem:
            note_refusal(request, problem)
    context = {
        "job": job,
        "stage": stage,
        "record": record,
        "photos": photo_rows(_shown(request.user, job, record), link="bench:photo"),
        "problem": problem,
        "caption": request.POST.get("caption", "") if problem else "",
        "form_key": uuid4().hex,
    }
    page = "bench/_photos.html" if request.htmx else "bench/photos.html"
    return render(request, page, context, status=422 if problem else 200)


def _shown(user: User, job: Job, record: StackRecord | None) -> QuerySet[JobPhoto]:
    """Photos of the record, or of the whole job without those that show a stack kept from this person."""
    places = job.photos.filter(withdrawn_at__isnull=True)
    if record is not None:
        return places.filter(stack_record=record)
    if hidden_from(user, job, Stage.SPECIFIED):
        return places.exclude(stack_record__stage=Stage.SPECIFIED)
    return places


def _take_in(request: ShopRequest, job: Job, record: StackRecord | None) -> str:
    """Put the uploaded files on the job once; say what became of them, and return why nothing was saved."""
    if record is not None and record.is_frozen:
        return _("This stack record is signed. Take the photo under the job instead.")
    actor, key = actor_of(request), request.POST.get("form_key", "")
    files = request.FILES.getlist("files")
    body = {**request.POST.dict(), "files": [(file.name, file.size) for file in files]}

    def work(upload: Upload) -> dict[str, object]:
        step = None if record is not None else posted_step(request, job)
        placed = pictures.place_photos(
            actor=actor, job=job, photos=upload.photos, step=step, stack_record=record
        )
        return {
            "photos": [one.pk for one in placed],
            "refused": upload.refused,
            "scaled": upload.scaled,
            "known": upload.known + len(upload.photos) - len(placed),
        }

    with NewFiles() as new:

        def prepare() -> Upload:
            caption = request.POST.get("caption", "")
            return pictures.prepare_photos(
                actor=actor, job=job, files=files, new=new, stack_record=record, caption=caption
            )

        try:
            answer, _again = carry_out_once(actor=actor, key=key, body=body, prepare=prepare, work=work)
        except (PhotoError, WorkOrderError, LedgerError) as error:
            return str(error)
    _tell(request, answer)
    return ""


def _tell(request: ShopRequest, answer: Mapping[str, Any]) -> None:
    """Say which files were not saved and why, which were scaled, and which were there already."""
    refused, known = answer.get("refused", {}), answer.get("known", 0)
    saved = len(answer["photos"])
    if refused:
        count = ngettext("%(n)s photo saved.", "%(n)s photos saved.", saved) % {"n": saved}
        lines = [count, _("Not saved:"), *refused.values()]
        messages.warning(request, " ".join(lines))
    for words in answer.get("scaled", []):
        messages.info(request, words)
    if known:
        words = ngettext("%(n)s photo was already here.", "%(n)s photos were already here.", known)
        messages.info(request, words % {"n": known})
    # A form's answer comes back from the database with texts for keys.
    note_files(request, {int(place): words for place, words in refused.items()})


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def photo(request: ShopRequest, number: str, place_id: int) -> HttpResponse:
    """Show one photo large, and put marks on it: by tapping, or by naming a square of the grid."""
    places = JobPhoto.objects.select_related("job", "photo", "stack_record")
    place = get_object_or_404(places, pk=place_id, job__number=number, withdrawn_at__isnull=True)
    stage = place.stack_record.stage if place.stack_record else ""
    if hidden_from(request.user, place.job, stage):
        raise Http404
    problem = _change(request, place) if request.method == "POST" else ""
    if request.method == "POST" and not problem:
        if request.POST.get("do") == "withdraw":
            return redirect(f"{reverse('bench:photos', args=[number])}?stage={stage}")
        return redirect("bench:photo", number=number, place_id=place_id)
    context = _photo_context(place, request.POST.dict() if problem else {})
    return render(
        request, "bench/photo.html", {**context, "problem": problem}, status=422 if problem else 200
    )


def _photo_context(place: JobPhoto, typed: Mapping[str, Any]) -> dict[str, object]:
    record = place.stack_record or find_record(place.job.number, Stage.AS_FOUND)
    refs = refs_of(record.items) if record else []
    marked = set(place.photo.marks.values_list("item_uid", flat=True))
    next_uid = next((entry["uid"] for _ref, entry in refs if entry["uid"] not in marked), "")
    chosen = typed.get("item_uid", next_uid)
    return {
        "job": place.job,
        "place": place,
        "photo": photo_rows([place], link="bench:photo")[0],
        "items": [
            {
                "uid": entry["uid"],
                "ref": ref,
                "name": part_name(entry["data"]),
                "chosen": entry["uid"] == chosen,
                "marked": entry["uid"] in marked,
            }
            for ref, entry in refs
        ],
        "grid": [{"value": f"{c}-{r}", "label": f"{'ABCDEFGH'[c - 1]}{r}"} for c, r in GRID],
        "frozen": place.stack_record is not None and place.stack_record.is_frozen,
        "form_key": uuid4().hex,
        "typed": typed,
    }


def _change(request: ShopRequest, place: JobPhoto) -> str:
    """Place or remove a mark, or withdraw the photo, once; return what was refused."""
    actor, posted = actor_of(request), request.POST

    def work() -> dict[str, object]:
        if posted.get("do") == "withdraw":
            pictures.withdraw_photo(actor=actor, job_photo=place, reason=posted.get("reason", ""))
        elif mark_id := posted.get("remove"):
            mark = get_object_or_404(place.photo.marks, pk=row_key(mark_id))
            pictures.remove_mark(actor=actor, job_photo=place, mark=mark)
        else:
            x, y = _position(request)
            uid, label = posted.get("item_uid", "")[:12], posted.get("label", "")
            pictures.place_mark(actor=actor, job_photo=place, x=x, y=y, item_uid=uid, label=label)
        return {}

    try:
        carry_out_once(actor=actor, key=posted.get("form_key", ""), body=posted.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        return str(error)
    return ""


def _position(request: ShopRequest) -> tuple[float, float]:
    """Return where a mark goes: the tapped point, else the middle of the chosen square."""
    try:
        if request.POST.get("x"):
            return float(request.POST["x"]), float(request.POST.get("y", ""))
    except ValueError as error:
        raise WorkOrderError(_("Tap the photo, or choose a grid square.")) from error
    column, _dash, row = request.POST.get("square", "").partition("-")
    across, down = whole_number(column), whole_number(row)
    if across is None or down is None:
        raise WorkOrderError(_("Tap the photo, or choose a grid square."))
    return (across - 0.5) / 8, (down - 0.5) / 6
