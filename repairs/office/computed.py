"""Computed vs. measured of a job in the office, and the engineer's word on the factor of the shop's runs."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from repairs.edge.numbers import whole_number
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.computed.factors import accept_factor as accept
from repairs.measurements.computed.presenting import computed_sheet
from repairs.office.saving import new_key
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job


@require_GET
@allow(Permission.VIEW_SHOP)
def computed(request: ShopRequest, number: str) -> HttpResponse:
    """Show what the checker computed of the stack as built beside what was measured."""
    return _page(request, number)


def _page(request: ShopRequest, number: str, refused: str = "") -> HttpResponse:
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    may = request.user.may(Permission.ACCEPT_FACTORS)
    context = {
        "job": job,
        "computed": computed_sheet(job, request.user.unit_system, may_accept=may),
        "form_key": new_key(),
        "refused": refused,
    }
    return render(request, "office/computed.html", context, status=422 if refused else 200)


@require_POST
@allow(Permission.ACCEPT_FACTORS)
def accept_factor(request: ShopRequest, number: str) -> HttpResponse:
    """Accept the factor that the shop's signed runs show of a mount family."""
    actor, family = actor_of(request), request.POST.get("family", "")[:60]
    seen = whole_number(request.POST.get("seen")) or 0

    def work() -> dict[str, object]:
        return {"id": accept(actor=actor, family=family, seen=seen).pk}

    try:
        carry_out_once(actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        return _page(request, number, str(error))
    messages.success(request, _("Factor accepted."))
    return redirect("office:computed", number=number)
