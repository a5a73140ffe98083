"""The rules that shop tests are judged by: of the shop, and of one job."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from repairs.bench.recorder import find_job
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.models import TestSetting
from repairs.measurements.shop_tests.rule_forms import RulesForm
from repairs.measurements.shop_tests.shop_services import enter_settings
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def job_rules(request: ShopRequest, number: str) -> HttpResponse:
    """Show the rules of one job; a lead or the engineer changes them."""
    return _page(request, find_job(number))


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_LIMITS)
def shop_rules(request: ShopRequest) -> HttpResponse:
    """Set the rules of the shop."""
    return _page(request, None)


def _page(request: ShopRequest, job: Job | None) -> HttpResponse:
    may = request.user.may(Permission.EDIT_LIMITS)
    if request.method == "POST" and not may:
        raise PermissionDenied
    rows = list(TestSetting.objects.for_job(job))
    own = {row.key: row for row in rows if row.job_id == (job.pk if job else None)}
    form = RulesForm(
        request.POST if request.method == "POST" else None,
        units=request.user.unit_system,
        own=own,
        shop={row.key: row for row in rows if row.job_id is None},
        of_job=job is not None,
    )
    if form.is_bound and form.is_valid() and _kept(request, job, form):
        messages.success(request, _("Test rules saved. They hold for tests made from now on."))
        return redirect(request.path)
    context = {"job": job, "form": form, "may": may, "form_key": uuid4().hex}
    return render(request, "bench/test_rules.html", context, status=422 if form.is_bound else 200)


def _kept(request: ShopRequest, job: Job | None, form: RulesForm) -> bool:
    def work() -> dict[str, object]:
        return {"changed": enter_settings(actor=actor_of(request), job=job, values=form.values())}

    try:
        carry_out_once(
            actor=actor_of(request), key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work
        )
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return False
    return True
