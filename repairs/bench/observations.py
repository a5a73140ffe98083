"""Damage at the bench: what was seen part by part, the form of one observation, its correction."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from repairs.bench.entry_step import posted_step
from repairs.bench.outbox import note_refusal, refusal_words, through_outbox
from repairs.bench.recorder import find_job
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.engineering.tables.damage_modes import HEADS, MODES, NONE, UNDETERMINED
from repairs.measurements.models import Observation
from repairs.measurements.observations import services
from repairs.measurements.observations.forms import ObservationForm
from repairs.measurements.observations.parts import stack_parts
from repairs.measurements.observations.presenting import observation_rows
from repairs.measurements.words import damage
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, JobPhoto


@require_GET
@allow(Permission.WORK_STEPS)
def observations(request: ShopRequest, number: str) -> HttpResponse:
    """Show what was seen so far, and the parts of the stack as found that nobody has looked at yet."""
    job = find_job(number)
    rows = list(Observation.objects.of_job(job).standing())
    seen = {row.item_uid for row in rows}
    address = reverse("bench:new_observation", args=[number])
    context = {
        "job": job,
        "rows": observation_rows(rows),
        "parts": [
            {"name": part.name, "url": f"{address}?part={part.uid}", "seen": part.uid in seen}
            for part in stack_parts(job)
        ],
        "new_url": address,
        "source": damage.terms_source(),
    }
    return render(request, "bench/observations.html", context)


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def new_observation(request: ShopRequest, number: str) -> HttpResponse:
    """Enter what is seen on one part."""
    job = find_job(number)
    form = _form(request, job)
    actor, step = actor_of(request), posted_step(request, job)

    def keep() -> Observation:
        return services.record_observation(actor=actor, job=job, entry=form.entry(), step=step)

    return _page(request, job, form, keep)


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def correct_observation(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Write the observation that takes another one's place, or withdraw it; the first stays readable."""
    job = find_job(number)
    found = get_object_or_404(Observation.objects.select_related("replaced_by"), pk=pk, job=job)
    form = _form(request, job, found)
    actor, reason = actor_of(request), request.POST.get("reason", "")[:300]
    withdraws = request.POST.get("do") == "withdraw"

    def keep() -> Observation:
        if withdraws:
            return services.withdraw_observation(actor=actor, observation=found, reason=reason)
        return services.correct_observation(actor=actor, observation=found, entry=form.entry(), reason=reason)

    return _page(request, job, form, keep, correcting=found, withdraws=withdraws)


def _form(request: ShopRequest, job: Job, corrected: Observation | None = None) -> ObservationForm:
    parts, photos = stack_parts(job), list(_photos(job))
    asked = request.GET.get("part", "")
    initial = {"part": asked if asked in {part.uid for part in parts} else "", "photo": ""}
    return ObservationForm(
        request.POST if request.method == "POST" else None,
        parts=parts,
        photos=photos,
        corrected=corrected,
        initial={} if corrected else initial,
    )


def _photos(job: Job) -> Any:
    return services.photos_to_choose(job).select_related("photo")


def _page(
    request: ShopRequest,
    job: Job,
    form: ObservationForm,
    keep: Callable[[], Observation],
    correcting: Observation | None = None,
    *,
    withdraws: bool = False,
) -> HttpResponse:
    """Show the form, and keep it once where it is sent; whatever is refused stands beside its field."""
    status = 200
    if request.method == "POST":
        if _kept(request, form, keep, withdraws=withdraws):
            messages.success(request, _said(correcting, withdraws=withdraws))
            return redirect("bench:observations", number=job.number)
        status = 422
        note_refusal(request, refusal_words(form))
    context = {
        "job": job,
        "form": form,
        "correcting": correcting,
        "newer": getattr(correcting, "replaced_by", None),
        "modes": mode_groups(form),
        "photos": photo_choices(form, {one.pk: one for one in _photos(job)}),
        "source": damage.terms_source(),
        "form_key": request.POST.get("form_key") or uuid4().hex,
    }
    return render(request, "bench/observation.html", context, status=status)


def _said(correcting: Observation | None, *, withdraws: bool) -> str:
    if withdraws:
        return _("Observation withdrawn.")
    return _("Observation corrected.") if correcting else _("Observation saved.")


def _kept(
    request: ShopRequest, form: ObservationForm, keep: Callable[[], Observation], *, withdraws: bool
) -> bool:
    """Keep it once; return whether that was done, with the reasons on the form where it was not."""
    sound = form.is_valid()
    if withdraws:
        # Nothing of the form but its reason counts.
        form.errors.clear()
    elif not sound:
        return False

    def work() -> dict[str, object]:
        return {"id": keep().pk}

    try:
        carry_out_once(
            actor=actor_of(request), key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work
        )
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return False
    return True


def mode_groups(form: ObservationForm) -> list[dict[str, object]]:
    """Return the modes under their heads, each with its button and a short definition."""
    buttons = {str(one.data["value"]): one for one in form["mode"]}

    def rows(codes: list[str]) -> list[dict[str, object]]:
        return [{"button": buttons[code], "seen": damage.MODES[code].seen} for code in codes]

    groups: list[dict[str, object]] = [
        {
            "title": f"{head} {damage.HEADS[head]}",
            "rows": rows([mode.code for mode in MODES if mode.head == head]),
        }
        for head in HEADS
    ]
    own: dict[str, object] = {"title": damage.HEADS[""], "rows": rows([NONE, UNDETERMINED])}
    return [own, *groups]


def photo_choices(form: ObservationForm, places: dict[int, JobPhoto]) -> list[dict[str, object]]:
    """Return the photos to choose from, each with its thumbnail."""
    rows: list[dict[str, object]] = []
    for button in form["photo"]:
        value = button.data["value"]
        place = places.get(int(value)) if value else None
        url = reverse("photo_file", args=[place.photo_id, "thumbnail"]) if place is not None else ""
        rows.append({"button": button, "thumbnail_url": url})
    return rows
