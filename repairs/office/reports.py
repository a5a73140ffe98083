"""The report of a job and the customer's private links: issue, make, take back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from bearings.public import Units
from repairs.documents.content.reader import CANONICAL
from repairs.documents.links import make_link, revoke_link
from repairs.documents.models import DocumentKind, IssuedDocument, PrivateLink
from repairs.documents.paper_work import ask_for_report
from repairs.documents.reports import customer_reader, latest_review, may_issue, read_report, review_report
from repairs.documents.serving import paper_response
from repairs.edge.numbers import row_key
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.office.documents import hidden_paper, paper_is_hidden
from repairs.office.report_forms import LinkForm, ReportForm
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job


@require_http_methods(["GET", "HEAD", "POST"])
@allow(Permission.ISSUE_REPORTS)
def report(request: ShopRequest, number: str) -> HttpResponse:
    """Show reports and links of a job; issue one, make one, take one back."""
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    action = {"issue": _issue, "link": _make_link, "revoke": _revoke}.get(request.POST.get("do", ""))
    if request.method != "POST" or action is None:
        return _page(request, job)
    return action(request, job)


@require_safe
@allow(Permission.VIEW_SHOP)
def issued_paper(request: ShopRequest, code: str) -> HttpResponseBase:
    """Hand out a paper that was issued, as it was issued."""
    paper = get_object_or_404(IssuedDocument.objects.with_job(), code=code)
    if paper.job is not None and paper_is_hidden(request.user, paper.job, paper.kind):
        return hidden_paper(request, paper.job)
    return paper_response(request, paper)


@require_http_methods(["GET", "HEAD", "POST"])
@allow(Permission.ISSUE_REPORTS)
def report_preview(request: ShopRequest, number: str) -> HttpResponse:
    """Show exactly what the report would say now; a lead who read it approves it."""
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    refused = ""
    if paper_is_hidden(request.user, job, DocumentKind.REPORT):
        return hidden_paper(request, job)
    if request.method == "POST":
        if not request.user.may(Permission.REVIEW_REPORTS):
            raise PermissionDenied
        try:
            review_report(
                actor=actor_of(request), job=job, digest=request.POST.get("facts", ""), now=timezone.now()
            )
        except WorkOrderError as error:
            refused = str(error)
        else:
            messages.success(request, _("Report approved. It can be issued now."))
            return redirect("office:report", number=number)
    reader = customer_reader(job)
    facts = read_report(job.pk, reader)
    context = {
        **facts.content,
        "units": reader.units,
        "job": job,
        "facts": facts.digest,
        "review": latest_review(job, facts.digest),
        "may_review": request.user.may(Permission.REVIEW_REPORTS) and job.state == Job.State.OPEN,
        "refused": refused,
        "photo_base": "/photos/",
        "photo_size": "print/",
    }
    return render(request, "office/report_preview.html", context, status=409 if refused else 200)


def _page(request: ShopRequest, job: Job, *, status: int = 200, **more: Any) -> HttpResponse:
    facts = read_report(job.pk, CANONICAL)
    reports = list(IssuedDocument.objects.of(job, DocumentKind.REPORT))
    context = {
        "job": job,
        "interim": facts.content["interim"],
        "notices": facts.content["notices"],
        "review": latest_review(job, facts.digest),
        "newer": bool(reports) and reports[0].content["issue"].get("facts") != facts.digest,
        "reports": reports,
        "links": PrivateLink.objects.of_job(job),
        "now": timezone.now(),
        "form_key": request.POST.get("form_key") if status == 422 else uuid4().hex,
        "report_form": ReportForm.for_customer(job.customer),
        "link_form": LinkForm(),
    }
    return render(request, "office/report.html", {**context, **more}, status=status)


def _once(request: ShopRequest, work: Callable[[], dict[str, object]]) -> bool:
    """Carry the form out; return whether it was carried out before."""
    key = request.POST.get("form_key", "")
    return carry_out_once(actor=actor_of(request), key=key, body=request.POST.dict(), work=work)[1]


def _issue(request: ShopRequest, job: Job) -> HttpResponse:
    form = ReportForm(request.POST)
    if not form.is_valid():
        return _page(request, job, status=422, report_form=form)
    choices = {**form.cleaned_data, "units": cast(Units, form.cleaned_data["units"])}
    actor, key = actor_of(request), request.POST.get("form_key", "")

    def prepare() -> None:
        may_issue(job=job, paper=choices["paper"], reason=choices["reason"])

    def work(_allowed: None) -> dict[str, object]:
        return {"work": ask_for_report(actor=actor, job=job, key=key, **choices).pk}

    try:
        asked, _before = carry_out_once(
            actor=actor, key=key, body=request.POST.dict(), prepare=prepare, work=work
        )
    except (WorkOrderError, LedgerError) as error:
        form.add_error(getattr(error, "field", None), str(error))
        return _page(request, job, status=422, report_form=form)
    return redirect("office:paper_work", number=job.number, pk=asked["work"])


def _make_link(request: ShopRequest, job: Job) -> HttpResponse:
    form = LinkForm(request.POST)
    if not form.is_valid():
        return _page(request, job, status=422, link_form=form)
    made: list[str] = []

    def work() -> dict[str, object]:
        # The token leaves by this list alone: what the form's answer keeps must not open the page.
        link, token = make_link(
            actor=actor_of(request), job=job, days=form.cleaned_data["days"], now=timezone.now()
        )
        made.append(token)
        return {"link": link.pk}

    try:
        before = _once(request, work)
    except (WorkOrderError, LedgerError) as error:
        form.add_error(getattr(error, "field", None), str(error))
        return _page(request, job, status=422, link_form=form)
    if before:
        messages.warning(request, _("This link was already made and is shown only once. Make a new one."))
        return redirect("office:report", number=job.number)
    address = request.build_absolute_uri(reverse("portal:job", args=[made[0]]))
    return _page(request, job, address=address)


def _revoke(request: ShopRequest, job: Job) -> HttpResponse:
    link = get_object_or_404(job.private_links, pk=row_key(request.POST.get("link")))
    revoke_link(actor=actor_of(request), link=link, now=timezone.now())
    messages.success(request, _("Link revoked. It no longer opens anything."))
    return redirect("office:report", number=job.number)
