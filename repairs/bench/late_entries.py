"""Entries that arrived late: the signer is told of those on a signed step, a lead settles those of an ended job."""

from __future__ import annotations

from typing import Final, cast
from uuid import uuid4

from django.contrib import messages
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile, UploadedFile
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import ResolverMatch, resolve
from django.utils.datastructures import MultiValueDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods
from django_htmx.middleware import HtmxDetails

from repairs.bench.acts import own_words
from repairs.edge.numbers import row_key
from repairs.ledger.models import SubmittedForm
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.models import Reading
from repairs.measurements.words import BY_CODE as WORDS
from repairs.people.middleware import actor_of
from repairs.people.models import User
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, LateEntry, Stage, Step
from repairs.work_orders.services import late_entries as services
from repairs.work_orders.services.stack_editing import latest

# Kept apart from what a person typed.
NOT_TYPED: Final = frozenset(
    {"csrfmiddlewaretoken", "form_key", "made_step", "seen", "version", "stage", "do"}
)


def kept_after_the_end(request: ShopRequest, number: str) -> str:
    """Keep an entry of a tablet whose job ended before it arrived; say so, or return nothing where that is not so.

    A form that was carried out before its answer was lost finds that answer, as ever.
    """
    job = Job.objects.filter(number=number).exclude(state=Job.State.OPEN).first()
    key = request.POST.get("form_key", "")
    if job is None or not key or SubmittedForm.objects.filter(user=request.user, key=key).exists():
        return ""
    if not LateEntry.objects.filter(author=request.user, key=key).exists():
        services.keep_for_lead(
            actor=actor_of(request),
            job=job,
            key=key,
            words=_words(request),
            path=request.path,
            fields=[[name, value] for name, values in request.POST.lists() for value in values],
            files=services.store_files(request.FILES, f"{request.user.pk}-{key}"),
        )
    return _("Job {number} has ended. Your entry waits for a lead, who accepts it or sets it aside.").format(
        number=number
    )


def _words(request: ShopRequest) -> str:
    """Say what an entry is, so that a lead can decide of it by these words alone."""
    found = resolve(request.path)
    typed = [_place(found), _act_words(request, found)]
    typed += [
        CHOSEN.get(str(value), str(value))
        for name, value in request.POST.items()
        if value and name not in NOT_TYPED
    ]
    typed += [getattr(file, "name", "") or "" for file in request.FILES.values()]
    kind = KINDS.get(found.url_name or "", gettext_lazy("Entry"))
    return f"{kind}: {' · '.join(str(one) for one in typed if one)}".rstrip(": ")


def _place(found: ResolverMatch) -> str:
    """Return the step, the stage of the stack or the reading that an address names."""
    names = found.kwargs
    words = [
        Step.objects.filter(pk=names["step_id"]).values_list("title", flat=True).first() or ""
        if "step_id" in names
        else "",
        str(Stage(names["stage"]).label) if names.get("stage") in Stage.values else "",
        str(WORDS[names["test"]].title) if names.get("test") in WORDS else "",
    ]
    return " · ".join(word for word in words if word)


def _act_words(request: ShopRequest, found: ResolverMatch) -> str:
    """Return what a button of the recorder does, with the part that it is done to."""
    if found.url_name != "stack_act":
        return ""
    verb, _colon, target = request.POST.get("do", "").partition(":")
    job = Job.objects.get(number=found.kwargs["number"])
    record = latest(job, found.kwargs["stage"])
    return own_words(verb, record, target.partition(":")[0]) if record is not None else ""


CHOSEN: Final = {value: str(label) for value, label in Reading.Moment.choices}
KINDS: Final = {
    "reading": gettext_lazy("Reading"),
    "reading_correct": gettext_lazy("Corrected reading"),
    "shop_test": gettext_lazy("Test"),
    "test_correct": gettext_lazy("Corrected test"),
    "photos": gettext_lazy("Photos"),
    "parts": gettext_lazy("Parts"),
    "hand_over": gettext_lazy("Handoff note"),
    "step": gettext_lazy("Sign-off"),
    "new_seat": gettext_lazy("Bearing fit"),
    "seat": gettext_lazy("Bearing fit"),
    "correct_seat": gettext_lazy("Bearing fit"),
    "new_observation": gettext_lazy("Observation"),
    "correct_observation": gettext_lazy("Observation"),
    "lay_out": gettext_lazy("Dry layout"),
    "stack_act": gettext_lazy("Stack"),
    "stack_add_rating": gettext_lazy("Stack"),
    "stack_new_item": gettext_lazy("Stack"),
    "stack_item": gettext_lazy("Stack"),
    "stack_guide": gettext_lazy("Stack"),
}


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def late_entries(request: ShopRequest) -> HttpResponse:
    """Show what arrived late for this person, and settle one of them."""
    problem = ""
    if request.method == "POST":
        problem = _settle(request)
        if not problem:
            return redirect("bench:late_entries")
    mine = LateEntry.objects.for_signer(request.user.pk)
    may = request.user.may(Permission.REOPEN_JOBS)
    context = {
        "signed": mine,
        "ended": LateEntry.objects.after_the_end() if may else [],
        "form_key": uuid4().hex,
        "problem": problem,
        "typed": request.POST,
    }
    return render(request, "bench/late_entries.html", context, status=422 if problem else 200)


def _settle(request: ShopRequest) -> str:
    act, _colon, key = request.POST.get("do", "").partition(":")
    entry = get_object_or_404(LateEntry, pk=row_key(key))
    actor, reason = actor_of(request), request.POST.get("reason", "")

    def work() -> dict[str, object]:
        if act == "seen":
            services.mark_late_seen(actor=actor, entry=entry)
        elif act == "aside":
            services.set_aside(actor=actor, entry=entry, reason=reason)
        elif act == "accept":
            services.accept_into_job(actor=actor, entry=entry, reason=reason)
        else:
            raise WorkOrderError(_("This cannot be done here."))
        return {"done": True}

    try:
        _answer, before = carry_out_once(
            actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work
        )
    except (WorkOrderError, LedgerError) as error:
        return str(error)
    if act == "accept" and not before:
        _carry_out(request, entry)
    return ""


def _carry_out(request: ShopRequest, entry: LateEntry) -> None:
    """Send an entry on as its author sent it; where the job refuses it now, the lead reads why."""
    author = User.objects.get(pk=entry.author_id)
    again = cast(ShopRequest, HttpRequest())
    again.method, again.path, again.path_info = "POST", entry.path, entry.path
    again.META = {**request.META, "HTTP_X_OUTBOX": "later", "HTTP_X_OUTBOX_PERSON": str(author.pk)}
    again.META["HTTP_X_MADE_AT"] = entry.made_at.isoformat() if entry.made_at else ""
    again.user, again.htmx = author, HtmxDetails(request)
    again.session = {"device_name": entry.device}  # type: ignore[assignment]
    again._messages = request._messages  # type: ignore[attr-defined]
    posted = QueryDict(mutable=True)
    for name, value in entry.fields:
        posted.appendlist(name, value)
    again.POST = posted  # type: ignore[assignment]
    files: MultiValueDict[str, UploadedFile[bytes]] = MultiValueDict()
    for field, name, kind, place in entry.files:
        with default_storage.open(place) as file:
            files.appendlist(field, SimpleUploadedFile(name, file.read(), kind))
    again.FILES = files
    found = resolve(entry.path)
    answer = found.func(again, *found.args, **found.kwargs)
    if answer.status_code != 200:
        words = _("Job {number} is open again, but the entry was refused. Enter it by hand: {words}")
        messages.error(request, words.format(number=entry.job.number, words=entry.words))
