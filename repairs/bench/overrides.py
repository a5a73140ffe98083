"""Override a step of the chain: a lead asks, a second person confirms, each in a session of their own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final
from uuid import uuid4

from django import forms
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from repairs.edge.numbers import row_key
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, Role, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Override, Step
from repairs.work_orders.services import overrides

ACTS: Final = {
    Override.Act.SKIP: gettext_lazy("Skip step"),
    Override.Act.PASS: gettext_lazy("Override the gate"),
}


class OverrideForm(forms.Form):
    """What a lead asks for, why, and what the customer said to it."""

    act = forms.ChoiceField(label=gettext_lazy("Override"), widget=forms.RadioSelect)
    reason = forms.CharField(
        label=gettext_lazy("Reason"),
        max_length=300,
        help_text=gettext_lazy(
            "At least 15 characters, not used on this job before. It prints on the traveler."
        ),
    )
    consent_by = forms.CharField(
        label=gettext_lazy("Who consented (customer)"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("Required where the motor differs from what was agreed."),
    )
    consent_on = forms.DateField(
        label=gettext_lazy("Consent date"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    consent_how = forms.CharField(
        label=gettext_lazy("How consent was given"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("Phone, email, letter, in person."),
    )
    tell_customer = forms.CharField(
        label=gettext_lazy("Tell the customer"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("The customer reads only this, on the report and the job's page."),
    )

    def __init__(self, *args: Any, step: Step, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offered = [(act.value, str(ACTS[act])) for act in ACTS if overrides.can_be_overridden(step, act)]
        self.fields["act"].choices = offered  # type: ignore[attr-defined]
        if len(offered) == 1:
            self.fields["act"].initial = offered[0][0]


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def override(request: ShopRequest, number: str, step_id: int) -> HttpResponse:
    """Ask for, confirm or withdraw the override of a step."""
    if not request.user.may(Permission.CONFIRM_OVERRIDES):
        raise PermissionDenied
    step = get_object_or_404(
        Step.objects.select_related("job__motor", "job__customer"), pk=step_id, job__number=number
    )
    form = OverrideForm(request.POST if request.POST.get("do") == "ask" else None, step=step)
    problem = ""
    if request.method == "POST":
        problem = _carry_out(request, step, form)
        if not problem and not form.errors:
            return redirect("bench:job", number=number)
    return render(
        request,
        "bench/override.html",
        {**_context(request, step, form), "problem": problem},
        status=422 if request.method == "POST" else 200,
    )


def _carry_out(request: ShopRequest, step: Step, form: OverrideForm) -> str:
    """Do what the button says, once; return why not, where no field says so."""
    actor, act = actor_of(request), request.POST.get("do", "")
    asked = Override.objects.select_related("step__job").filter(step=step).order_by("-pk").first()
    if act == "ask" and not form.is_valid():
        return ""
    acts: dict[str, Callable[[], Any]] = {
        "ask": lambda: overrides.ask_override(actor=actor, step=step, **form.cleaned_data),
        "confirm": lambda: overrides.confirm_override(actor=actor, override=_seen(request, asked)),
        "withdraw": lambda: overrides.withdraw_override(actor=actor, override=_seen(request, asked)),
    }
    if act not in acts:
        raise Http404

    def work() -> dict[str, object]:
        return {"id": acts[act]().pk}

    try:
        carry_out_once(actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work)
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        if act == "ask" and field in form.fields:
            form.add_error(field, str(error))
            return ""
        return str(error)
    return ""


def _seen(request: ShopRequest, asked: Override | None) -> Override:
    """Return the override that the page showed, or refuse: somebody may have asked for another one since."""
    if asked is None or row_key(request.POST.get("override")) != asked.pk:
        raise WorkOrderError(_("This override changed since the page was opened. Read it again."))
    return asked


def _is_open(step: Step, act: str) -> bool:
    """Whether two people can open the step by this act as things are now."""
    try:
        overrides.in_the_way(step, act)
    except WorkOrderError:
        return False
    return True


def _context(request: ShopRequest, step: Step, form: OverrideForm) -> dict[str, object]:
    asked = Override.objects.asked_for().filter(step=step).first()
    facts, never = [], ""
    try:
        facts = [str(one) for one in overrides.in_the_way(step, Override.Act.PASS)]
    except WorkOrderError as error:
        never = str(error)
    offered = [act for act, _words in form.fields["act"].choices if _is_open(step, act)]  # type: ignore[attr-defined]
    return {
        "job": step.job,
        "step": step,
        "form": form,
        "asked": asked,
        "asked_act": ACTS[Override.Act(asked.act)] if asked else "",
        "facts": facts,
        "never": never,
        "may_ask": request.user.role == Role.LEAD and asked is None and bool(offered),
        "own": asked is not None and asked.lead_id == request.user.pk,
        "form_key": uuid4().hex,
    }
