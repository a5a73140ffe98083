"""The shop policy: the name on the papers, the limits of the checker, and the route templates."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from repairs.long_work.views import progress_context
from repairs.office.policy_forms import NewTemplateForm, PolicyForm
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.rechecks.reading import going_run
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import RouteTemplate
from repairs.work_orders.services.policy import change_policy, shop_policy


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_POLICY)
def policy(request: ShopRequest) -> HttpResponse:
    """Show and change the policy."""
    stored = shop_policy()
    form = PolicyForm(request.POST or None, policy=stored, units=request.user.units)
    status = _save(request, form) if request.method == "POST" else 200
    if request.method == "POST" and status == 200:
        kept = _("Shop policy saved. Signed records keep their findings. Changed limits start a re-check.")
        messages.success(request, kept)
        return redirect("office:policy")
    differences = (
        _differences(form, PolicyForm(policy=stored, units=request.user.units)) if status == 409 else []
    )
    if status == 409:
        # What is typed stays; sending it again now means "mine", because both are seen.
        form.data = {name: form.data[name] for name in form.data} | {"version": str(stored.version)}
    run = going_run()
    context = {
        **(progress_context(run.work) if run and run.work else {}),
        "form": form,
        "differences": differences,
        "templates": RouteTemplate.objects.all(),
        "new_template": NewTemplateForm(initial={"form_key": uuid4().hex}),
    }
    return render(request, "office/policy.html", context, status=status)


def _save(request: ShopRequest, form: PolicyForm) -> int:
    """Change the policy; return 200, or 422 or 409 with the reasons in the form."""
    if not form.is_valid():
        return 422
    data = form.cleaned_data
    try:
        change_policy(
            actor=actor_of(request),
            version=data["version"],
            name=data["name"],
            address=data["address"],
            limits=form.limits(),
            set_factors=form.set_factors(),
        )
    except StaleVersionError as error:
        form.add_error(None, str(error))
        return 409
    except WorkOrderError as error:
        form.add_error(error.field, str(error))
        return 422
    return 200


def _differences(form: PolicyForm, now: PolicyForm) -> list[tuple[str, object, object]]:
    """Return (label, what is stored now, what was typed) of every field that differs."""
    return [
        (str(field.label), now[name].value(), form[name].value())
        for name, field in now.fields.items()
        if name != "version" and field.clean(now[name].value()) != form.cleaned_data.get(name)
    ]
