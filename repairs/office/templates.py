"""Edit the route templates that new jobs start from."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from repairs.edge.numbers import MOST_KEY, whole_number
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.office.policy_forms import NewTemplateForm, TemplateForm, TemplateStepForm
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import RouteTemplate
from repairs.work_orders.services import templates as services


@require_POST
@allow(Permission.EDIT_POLICY)
def new_template(request: ShopRequest) -> HttpResponse:
    """Begin a template, and go on to its steps."""
    form = NewTemplateForm(request.POST)

    def work() -> dict[str, object]:
        data = form.cleaned_data
        made = services.add_template(actor=actor_of(request), name=data["name"], for_build=data["for_build"])
        return {"url": reverse("office:route_template", args=[made.pk])}

    if form.is_valid():
        key = form.cleaned_data["form_key"]
        try:
            answer, _before = carry_out_once(
                actor=actor_of(request), key=key, body=form.cleaned_data, work=work
            )
        except (WorkOrderError, LedgerError) as error:
            form.add_error(getattr(error, "field", None), str(error))
        else:
            return redirect(answer["url"])
    return render(request, "office/route_template_new.html", {"form": form}, status=422)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_POLICY)
def route_template(request: ShopRequest, pk: int) -> HttpResponse:
    """Show a template with its steps; each button changes one thing and carries the version that was shown."""
    template = get_object_or_404(RouteTemplate, pk=pk)
    if request.method == "GET":
        return _page(request, template)
    form = _form_of(request)
    if form is not None and not form.is_valid():
        return _page(request, template, form, status=422)
    try:
        _act(request, template, form)
    except StaleVersionError as error:
        messages.error(request, str(error))
        return _page(request, template, form, status=409)
    except WorkOrderError as error:
        messages.error(request, str(error))
        return _page(request, template, form, status=422)
    messages.success(request, _("Saved. Open jobs keep their routes."))
    return redirect("office:route_template", pk=pk)


def _form_of(request: ShopRequest) -> forms.Form | None:
    kinds: dict[str, type[forms.Form]] = {
        "change": TemplateForm,
        "add_step": TemplateStepForm,
        "change_step": TemplateStepForm,
    }
    kind = kinds.get(request.POST.get("act", ""))
    return kind(request.POST) if kind else None


def _act(request: ShopRequest, template: RouteTemplate, form: forms.Form | None) -> None:
    """Carry out what a button asks for."""
    data = form.cleaned_data if form is not None else {}
    same: dict[str, Any] = {
        "actor": actor_of(request),
        "template": template,
        "version": _whole(request, "version"),
    }
    step = _whole(request, "step")
    acts: dict[str, Callable[[], object]] = {
        "change": lambda: services.change_template(**same, **data, active=request.POST.get("active") == "on"),
        "add_step": lambda: services.add_template_step(**same, **data),
        "change_step": lambda: services.change_template_step(**same, **data, step_id=step),
        "up": lambda: services.move_template_step(**same, step_id=step, up=True),
        "down": lambda: services.move_template_step(**same, step_id=step, up=False),
        "remove": lambda: services.remove_template_step(**same, step_id=step),
    }
    act = acts.get(request.POST.get("act", ""))
    if act is None:
        raise WorkOrderError(_("That button does not work here. Reload the page."))
    act()


def _whole(request: ShopRequest, name: str) -> int:
    return whole_number(request.POST.get(name), most=MOST_KEY) or 0


def _page(
    request: ShopRequest, template: RouteTemplate, form: forms.Form | None = None, status: int = 200
) -> HttpResponse:
    template.refresh_from_db()
    stored = {"name": template.name, "for_build": template.for_build}
    touched = _whole(request, "step") if isinstance(form, TemplateStepForm) else 0
    rows = [
        (
            step,
            form
            if touched == step.pk
            else TemplateStepForm(
                initial={"title": step.title, "kind": step.kind, "chargeable": step.chargeable},
                auto_id=f"step-{step.pk}-%s",
            ),
        )
        for step in template.steps.all()
    ]
    context = {
        "template": template,
        "rows": rows,
        "form": form if isinstance(form, TemplateForm) else TemplateForm(initial=stored),
        "new_step": form if isinstance(form, TemplateStepForm) and not touched else TemplateStepForm(),
        "refused": form if form is not None and form.errors else None,
    }
    return render(request, "office/route_template.html", context, status=status)
