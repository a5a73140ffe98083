"""Parts of a job at the bench: what came off and becomes of it, what went in, what another shop does."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final
from uuid import uuid4

from django import forms
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods

from repairs.bench.entry_step import posted_step
from repairs.bench.outbox import note_refusal, refusal_words, through_outbox
from repairs.bench.recorder import find_job
from repairs.edge.numbers import row_key, version_of
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, OutsideService, StrippedPart, UsedPart
from repairs.work_orders.services import work

_DECIMAL: Final = {"inputmode": "decimal", "autocomplete": "off"}
_DAY: Final = {"type": "date"}


class StrippedForm(forms.Form):
    """A part that came off the motor."""

    name = forms.CharField(label=_("Part"), max_length=120)
    tag = forms.CharField(label=_("Part tag"), max_length=40, required=False)
    place = forms.CharField(label=_("Location"), max_length=120, required=False)
    disposition = forms.ChoiceField(
        label=_("Disposition"), choices=StrippedPart.Disposition.choices, initial="open"
    )
    note = forms.CharField(label=_("Note"), max_length=300, required=False)


class UsedForm(forms.Form):
    """A part or material that went in."""

    name = forms.CharField(label=_("Part or material"), max_length=120)
    designation = forms.CharField(label=_("Designation, size, lot"), max_length=120, required=False)
    quantity = forms.DecimalField(
        label=_("Quantity"),
        min_value=0,
        max_digits=10,
        decimal_places=3,
        help_text=_("More than 0, up to 3 decimals"),
        widget=forms.TextInput(attrs=_DECIMAL),
    )
    unit = forms.CharField(label=_("Unit"), max_length=20, initial="pc")


class SentForm(forms.Form):
    """Work that goes to another shop."""

    what = forms.CharField(label=_("Work"), max_length=200)
    sent_to = forms.CharField(label=_("Sent to"), max_length=120)
    reference = forms.CharField(label=_("Vendor reference"), max_length=60, required=False)
    sent_on = forms.DateField(label=_("Sent"), widget=forms.DateInput(attrs=_DAY, format="%Y-%m-%d"))
    due_on = forms.DateField(
        label=_("Due back"), required=False, widget=forms.DateInput(attrs=_DAY, format="%Y-%m-%d")
    )


class BackForm(forms.Form):
    """Outside work that came back."""

    back_on = forms.DateField(label=_("Returned"), widget=forms.DateInput(attrs=_DAY, format="%Y-%m-%d"))
    result = forms.CharField(
        label=_("Vendor report"),
        max_length=300,
        required=False,
        help_text=_("Prints on the customer's report."),
    )


FORMS: Final[dict[str, type[forms.Form]]] = {
    "list": StrippedForm,
    "change": StrippedForm,
    "use": UsedForm,
    "send": SentForm,
    "back": BackForm,
}


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def parts(request: ShopRequest, number: str) -> HttpResponse:
    """Show a job's parts and outside work, and write one line down; what was refused keeps all that was typed."""
    job = find_job(number)
    if request.method == "GET":
        return render(request, "bench/parts.html", _context(job))
    act, _colon, key = request.POST.get("do", "").partition(":")
    row = _row(job, act, key)
    form = FORMS[act](request.POST) if act in FORMS else None
    problem = ""
    if form is None or form.is_valid():
        problem = _carry_out(request, job, act, row, form)
        if not problem:
            return redirect("bench:parts", number=number)
    note_refusal(request, problem or (refusal_words(form) if form else ""))
    context = _context(job, act=act, row_id=getattr(row, "pk", None), form=form, problem=problem)
    return render(request, "bench/parts.html", context, status=422)


def _row(job: Job, act: str, key: str) -> StrippedPart | UsedPart | OutsideService | None:
    """Return the line that an act is about; an act that nobody offers is not found."""
    rows: dict[str, Any] = {
        "change": job.stripped_parts,
        "take_back": job.used_parts,
        "back": job.outside_services,
    }
    if act in rows:
        found: StrippedPart | UsedPart | OutsideService = get_object_or_404(rows[act], pk=row_key(key))
        return found
    if act not in FORMS:
        raise Http404
    return None


def _carry_out(request: ShopRequest, job: Job, act: str, row: Any, form: forms.Form | None) -> str:
    """Do it once; a refusal stands beside its field, or is returned."""
    actor = actor_of(request)
    values = form.cleaned_data if form else {}
    seen = version_of(request.POST.get("version"))
    try:
        carry_out_once(
            actor=actor,
            key=request.POST.get("form_key", ""),
            body=request.POST.dict(),
            work=lambda: {"id": _acts(request, job, row, seen, values)[act]().pk},
        )
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        if form is not None and field in form.fields:
            form.add_error(field, str(error))
        return str(error)
    return ""


def _acts(
    request: ShopRequest, job: Job, row: Any, seen: int, values: Mapping[str, Any]
) -> dict[str, Callable[[], Any]]:
    actor, step = actor_of(request), posted_step(request, job)
    return {
        "list": lambda: work.list_part(actor=actor, job=job, step=step, **values),
        "change": lambda: work.change_part(actor=actor, part=row, version=seen, **values),
        "use": lambda: work.use_part(actor=actor, job=job, step=step, **values),
        "take_back": lambda: work.take_back_part(
            actor=actor, part=row, confirmed=row_key(request.POST.get("confirmed", ""))
        ),
        "send": lambda: work.send_out(actor=actor, job=job, **values),
        "back": lambda: work.came_back(actor=actor, service=row, version=seen, **values),
    }


def _context(
    job: Job, *, act: str = "", row_id: int | None = None, form: forms.Form | None = None, problem: str = ""
) -> dict[str, object]:
    """Return the lists and a form for each thing that can be written down; a refused one as it was typed."""
    today = {"sent_on": timezone.localdate(), "back_on": timezone.localdate()}

    def asked(kind: str, **initial: Any) -> forms.Form:
        return form if form is not None and act == kind else FORMS[kind](initial=initial)

    def of_row(kind: str, row: Any, **initial: Any) -> forms.Form:
        if form is not None and (act, row_id) == (kind, row.pk):
            return form
        return FORMS[kind](initial=initial, auto_id=f"id_{kind}_{row.pk}_%s")

    listed = list(job.stripped_parts.all())
    stripped = [
        {"row": row, "form": of_row("change", row, **{name: getattr(row, name) for name in work.PART_FIELDS})}
        for row in listed
    ]
    services = [{"row": row, "form": of_row("back", row, **today)} for row in job.outside_services.all()]
    return {
        "job": job,
        "stripped": stripped,
        "undecided": sum(part.disposition == StrippedPart.Disposition.OPEN for part in listed),
        "used": job.used_parts.filter(withdrawn_at__isnull=True),
        "services": services,
        "list_form": asked("list", disposition="open"),
        "use_form": asked("use", unit="pc"),
        "send_form": asked("send", **today),
        "refused": act if form is not None or problem else "",
        "refused_row": row_id,
        "problem": problem,
        "form_key": uuid4().hex,
    }
