"""The assessment of a stack: every figure with its formula and source; and a check of a file that is not kept."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bearings.public import MOST_BYTES, StackFileError, check_stack, grouped, parse_stack
from repairs.edge.numbers import version_of
from repairs.office.addresses import job_address
from repairs.office.assessment_page import assessment_context, record_context
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.hiding import hidden_from
from repairs.work_orders.judging import unstored
from repairs.work_orders.models import StackRecord
from repairs.work_orders.services.stack_approving import accept_finding as accept
from repairs.work_orders.services.stack_approving import confirm_finding as confirm


def _record(number: str, pk: int) -> StackRecord:
    return get_object_or_404(StackRecord.objects.for_assessment(), job__number=number, pk=pk)


def _head(record: StackRecord) -> dict[str, object]:
    return {"record": record, "job": record.job, "job_url": job_address(record.job.number)}


@require_GET
@allow(Permission.VIEW_SHOP)
def assessment(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Show what the checker says of a record."""
    record = _record(number, pk)
    if hidden_from(request.user, record.job, record.stage):
        return render(request, "office/assessment_hidden.html", _head(record), status=403)
    context = {**_head(record), **record_context(record, request.user)}
    return render(request, "office/assessment.html", context)


@require_POST
@allow(Permission.CONFIRM_OVERRIDES)
def confirm_finding(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Accept, as the second person, a stop that a lead accepted."""
    record, posted = _record(number, pk), request.POST
    if hidden_from(request.user, record.job, record.stage):
        return render(request, "office/assessment_hidden.html", _head(record), status=403)
    try:
        confirm(
            actor=actor_of(request),
            record=record,
            version=version_of(posted.get("version")),
            code=posted.get("code", ""),
            ref=posted.get("ref", ""),
        )
    except WorkOrderError as error:
        fresh = _record(number, pk)
        context = {**_head(fresh), **record_context(fresh, request.user), "refusal": str(error)}
        status = 409 if isinstance(error, StaleVersionError) else 422
        return render(request, "office/assessment.html", context, status=status)
    messages.success(request, _("STOP accepted by two people. Both names print."))
    return redirect("office:assessment", number=number, pk=pk)


@require_POST
@allow(Permission.APPROVE_STACKS)
def accept_finding(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Accept a finding of a specified stack with a reason; it is accepted of the stack as it was looked at."""
    record, posted = _record(number, pk), request.POST
    if hidden_from(request.user, record.job, record.stage):
        return render(request, "office/assessment_hidden.html", _head(record), status=403)
    try:
        accept(
            actor=actor_of(request),
            record=record,
            version=version_of(posted.get("version")),
            code=posted.get("code", ""),
            ref=posted.get("ref", ""),
            reason=posted.get("reason", ""),
        )
    except WorkOrderError as error:
        fresh = _record(number, pk)
        context = {
            **_head(fresh),
            **record_context(fresh, request.user, posted.dict()),
            "refusal": str(error),
        }
        status = 409 if isinstance(error, StaleVersionError) else 422
        return render(request, "office/assessment.html", context, status=status)
    messages.success(request, _("Finding accepted. The reason prints on traveler and report."))
    return redirect("office:assessment", number=number, pk=pk)


class StackFileForm(forms.Form):
    """A stack file to be looked at."""

    file = forms.FileField(
        label=gettext_lazy("Stack file"),
        allow_empty_file=True,
        help_text=gettext_lazy("JSON, UTF-8 without byte-order mark, max. 1 MiB."),
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
    )

    def clean_file(self) -> bytes:
        """Return the file's bytes, without reading one that is too large into memory."""
        upload = self.cleaned_data["file"]
        if upload.size > MOST_BYTES:
            words = _("File has {bytes} bytes. Accepted: at most {most} bytes (1 MiB).")
            raise forms.ValidationError(words.format(bytes=grouped(upload.size), most=grouped(MOST_BYTES)))
        self.file_name = str(upload.name)
        return bytes(upload.read())


@require_http_methods(["GET", "POST"])
@allow(Permission.VIEW_SHOP)
def check_file(request: ShopRequest) -> HttpResponse:
    """Check a stack file: all its mistakes by field, or its assessment. Nothing is kept."""
    if request.method == "GET":
        return render(request, "office/check_file.html", {"form": StackFileForm()})
    form = StackFileForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, "office/check_file.html", {"form": form}, status=422)
    try:
        stack = parse_stack(form.cleaned_data["file"])
    except StackFileError as error:
        context = {"form": StackFileForm(), "mistakes": error.mistakes, "name": form.file_name}
        return render(request, "office/check_file.html", context, status=422)
    found = assessment_context(unstored(check_stack(stack)), request.user)
    context = {**found, "form": StackFileForm(), "name": form.file_name}
    return render(request, "office/check_file.html", context)
