"""Seats at the bench: what there is to measure, the sheet of a seat with its verdict, the signed sheet."""

from __future__ import annotations

from collections.abc import Callable
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from repairs.bench import seat_page as page
from repairs.bench.entry_step import posted_step
from repairs.bench.outbox import note_refusal, refusal_words, through_outbox
from repairs.bench.recorder import find_job
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements import seat_services as services
from repairs.measurements.models import SeatRecord
from repairs.measurements.seat_forms import SeatForm
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Job


@require_GET
@allow(Permission.WORK_STEPS)
def seats(request: ShopRequest, number: str) -> HttpResponse:
    """Show the seats of a job: what is measured, and what the stack says is still to measure."""
    return render(request, "bench/seats.html", page.list_context(find_job(number), request.user))


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def new_seat(request: ShopRequest, number: str) -> HttpResponse:
    """Begin the sheet of a seat."""
    job = find_job(number)
    form = page.new_form(request, job)
    actor, step = actor_of(request), posted_step(request, job)

    def keep() -> SeatRecord:
        return services.record_seat(actor=actor, job=job, entry=form.entry(), step=step, sign=_signs(request))

    return _sheet(request, job, form, None, keep)


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def seat(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Show a signed sheet, or go on with one that is not signed."""
    job = find_job(number)
    found = get_object_or_404(SeatRecord.objects.select_related("replaces", "replaced_by"), pk=pk, job=job)
    if found.is_signed and request.method == "GET":
        return render(request, "bench/seat_signed.html", page.signed_context(job, found, request.user))
    form = page.form_of(request, job, found)
    actor, version = actor_of(request), page.version_seen(request, found)

    def keep() -> SeatRecord:
        return services.change_seat(
            actor=actor, seat=found, version=version, entry=form.entry(), sign=_signs(request)
        )

    return _sheet(request, job, form, found, keep)


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def correct_seat(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Write the sheet that takes a signed one's place."""
    job = find_job(number)
    found = get_object_or_404(SeatRecord.objects.filter(signed_at__isnull=False), pk=pk, job=job)
    form = page.form_of(request, job, found)
    actor, reason = actor_of(request), request.POST.get("reason", "")[:300]

    def keep() -> SeatRecord:
        return services.correct_seat(actor=actor, seat=found, entry=form.entry(), reason=reason)

    return _sheet(request, job, form, found, keep, correcting=True)


@require_POST
@allow(Permission.WORK_STEPS)
def seat_verdict(request: ShopRequest, number: str) -> HttpResponse:
    """Return what the readings say while one types; nothing is kept."""
    form = page.typed_form(request, find_job(number))
    return render(request, "bench/_seat_verdict.html", {**page.verdict_context(form), "live": True})


def _signs(request: ShopRequest) -> bool:
    return request.POST.get("do") == "sign"


def _sheet(
    request: ShopRequest,
    job: Job,
    form: SeatForm,
    found: SeatRecord | None,
    keep: Callable[[], SeatRecord],
    *,
    correcting: bool = False,
) -> HttpResponse:
    """Show the sheet, and keep it where one asks for that; whatever is refused stands beside its field."""
    status = 200
    if request.method == "POST" and request.POST.get("do") in {"keep", "sign"}:
        status = _kept(request, form, keep)
        if status == 302:
            messages.success(
                request, _("Bearing fit signed.") if _signs(request) else _("Bearing fit saved.")
            )
            return redirect("bench:seats", number=job.number)
        note_refusal(request, refusal_words(form), conflict=status == 409)
    context = page.sheet_context(request, job, form, found, correcting=correcting, stale=status == 409)
    context["form_key"] = request.POST.get("form_key") or uuid4().hex
    return render(request, "bench/seat.html", context, status=status)


def _kept(request: ShopRequest, form: SeatForm, keep: Callable[[], SeatRecord]) -> int:
    """Keep the sheet once; return 302, or 422 or 409 with the reasons on the form."""
    if not form.is_valid():
        return 422

    def work() -> dict[str, object]:
        return {"id": keep().pk}

    key = request.POST.get("form_key", "")
    try:
        carry_out_once(actor=actor_of(request), key=key, body=request.POST.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return 409 if isinstance(error, StaleVersionError) else 422
    return 302
