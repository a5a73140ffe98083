"""Merge two motors or two customers that were entered twice, and undo it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import models
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from repairs.customers.models import Customer
from repairs.edge.numbers import row_key
from repairs.motors.models import Motor
from repairs.office.merge_forms import MergeForm
from repairs.office.merge_rows import both_sides, candidates, moving
from repairs.office.saving import new_key, save_once
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Merge
from repairs.work_orders.services.merges import merge_customers, merge_motors, undo_merge

Kind = Merge.Kind
_ADDRESS: dict[str, str] = {Kind.MOTOR: "office:motor", Kind.CUSTOMER: "office:customer"}


@require_http_methods(["GET", "POST"])
@allow(Permission.MERGE_RECORDS)
def merge_motor(request: ShopRequest, pk: int) -> HttpResponse:
    """Choose the other record of a motor, look at both, merge them."""
    return _merge(request, Kind.MOTOR, Motor.objects.current().with_owner(), pk)


@require_http_methods(["GET", "POST"])
@allow(Permission.MERGE_RECORDS)
def merge_customer(request: ShopRequest, pk: int) -> HttpResponse:
    """Choose the other record of a customer, look at both, merge them."""
    return _merge(request, Kind.CUSTOMER, Customer.objects.current(), pk)


def _merge(request: ShopRequest, kind: str, rows: models.QuerySet[Any], pk: int) -> HttpResponse:
    if request.method == "POST":
        return _carried_out(request, kind, rows, pk)
    kept = get_object_or_404(rows, pk=pk)
    other = rows.filter(pk=row_key(request.GET.get("with"))).exclude(pk=pk).first()
    if other is None:
        typed = request.GET.get("q", "")[:120]
        context = {"kind": kind, "kept": kept, "typed": typed, "found": candidates(kept, typed)}
        return render(request, "office/merge_choose.html", context)
    form = MergeForm(
        initial={
            "form_key": new_key(),
            "merged": other.pk,
            "kept_version": kept.version,
            "merged_version": other.version,
        }
    )
    return _page(request, kind, kept, other, form)


def _page(
    request: ShopRequest, kind: str, kept: Any, merged: Any, form: MergeForm, status: int = 200
) -> HttpResponse:
    context = {
        "kind": kind,
        "kept": kept,
        "merged": merged,
        "form": form,
        "rows": both_sides(kept, merged),
        "moving": moving(merged),
    }
    return render(request, "office/merge.html", context, status=status)


def _carried_out(request: ShopRequest, kind: str, rows: models.QuerySet[Any], pk: int) -> HttpResponse:
    """Merge once; a form that comes twice finds its answer, though the other record is out of the lists by then."""
    everyone = rows.model._default_manager
    form = MergeForm(request.POST)
    kept = get_object_or_404(everyone, pk=pk)
    merged = get_object_or_404(everyone, pk=row_key(request.POST.get("merged")))
    if not form.is_valid():
        return _page(request, kind, kept, merged, form, 422)
    actor, data = actor_of(request), form.cleaned_data
    versions = (data["kept_version"], data["merged_version"])

    def work() -> dict[str, object]:
        if kind == Kind.MOTOR:
            return {"pk": merge_motors(actor=actor, kept=kept, merged=merged, versions=versions).pk}
        return {"pk": merge_customers(actor=actor, kept=kept, merged=merged, versions=versions).pk}

    if save_once(actor, form, work) is None:
        return _page(request, kind, kept, merged, form, 409)
    words = _("{merged} merged into {kept}.")
    messages.success(request, words.format(merged=merged, kept=kept))
    return redirect(_ADDRESS[kind], pk=pk)


@require_POST
@allow(Permission.UNDO_MERGES)
def merge_undo(request: ShopRequest, pk: int) -> HttpResponse:
    """Undo a merge while nothing new stands on it."""
    merge = get_object_or_404(Merge, pk=pk)
    try:
        undo_merge(actor=actor_of(request), merge=merge)
    except WorkOrderError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("Merge undone. Both records are as they were."))
    return redirect(_ADDRESS[merge.kind], pk=merge.kept_id)
