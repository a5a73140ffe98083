"""The seats of a job in the office, and a lead's word on one that failed."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.models import SeatRecord
from repairs.measurements.seat_services import accept_seat as let_pass
from repairs.office.saving import new_key
from repairs.office.seat_page import seats_context
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job


@require_GET
@allow(Permission.VIEW_SHOP)
def seats(request: ShopRequest, number: str) -> HttpResponse:
    """Show every seat with its readings, its fit and the heat to mount."""
    return _page(request, number)


def _page(request: ShopRequest, number: str, refused: str = "", pk: int = 0) -> HttpResponse:
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    context = {**seats_context(job, request.user), "refused": refused, "refused_pk": pk}
    context |= {
        "form_key": request.POST.get("form_key") or new_key(),
        "typed": request.POST.get("reason", ""),
    }
    return render(request, "office/seats.html", context, status=422 if refused else 200)


@require_POST
@allow(Permission.OVERRIDE_GATES)
def accept_seat(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Let a seat that failed be used as it is, with the reason."""
    seat = get_object_or_404(SeatRecord, pk=pk, job__number=number)
    actor, reason = actor_of(request), request.POST.get("reason", "").strip()

    def work() -> dict[str, object]:
        return {"id": let_pass(actor=actor, seat=seat, reason=reason).pk}

    key = request.POST.get("form_key", "")
    try:
        carry_out_once(
            actor=actor, key=f"{key[:50]}-{pk}" if key else "", body=request.POST.dict(), work=work
        )
    except (WorkOrderError, LedgerError) as error:
        return _page(request, number, str(error), pk)
    messages.success(request, _("Bearing fit accepted as is. The reason prints on the documents."))
    return redirect("office:seats", number=number)
