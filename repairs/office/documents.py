"""Papers of a job: hand the current one out, have a new one made, watch it being made."""

from __future__ import annotations

from contextlib import suppress
from typing import Final, TypedDict

from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods
from django.views.decorators.vary import vary_on_headers
from django_htmx.http import HttpResponseClientRefresh

from bearings.public import Units
from repairs.documents.models import DocumentKind, IssuedDocument
from repairs.documents.paper_work import ask_for_paper, issued_code, work_of_job
from repairs.documents.services import current_paper
from repairs.documents.serving import paper_response
from repairs.long_work.models import LongWork
from repairs.long_work.services import LongWorkError, start_again
from repairs.people.middleware import actor_of
from repairs.people.models import User
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.hiding import hidden_stages
from repairs.work_orders.models import Job, Stage

# The stages of the stack that a paper shows beside the one as found.
STAGES_SHOWN: Final[dict[str, frozenset[str]]] = {
    DocumentKind.TRAVELER: frozenset({Stage.SPECIFIED}),
    DocumentKind.STACK_CARD: frozenset({Stage.SPECIFIED}),
    DocumentKind.START_UP: frozenset({Stage.SPECIFIED, Stage.AS_BUILT}),
    DocumentKind.REPORT: frozenset({Stage.SPECIFIED, Stage.AS_BUILT}),
}


class Sheet(TypedDict):
    """Which paper is asked for, and how it is printed."""

    job: Job
    kind: str
    paper: str
    language: str
    units: Units


@require_http_methods(["GET", "HEAD", "POST"])
@allow(Permission.PRINT_DOCUMENTS)
def document(request: ShopRequest, number: str, kind: str) -> HttpResponseBase:
    """Hand out the current paper of a kind on the sheet that is asked for, else on the customer's.

    Reading writes nothing: a paper that has yet to be made is offered, and made when its button is pressed.
    """
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    if paper_is_hidden(request.user, job, kind):
        return hidden_paper(request, job)
    asked = request.POST if request.method == "POST" else request.GET
    sheet: Sheet = {
        "job": job,
        "kind": kind,
        "paper": asked.get("paper") or job.customer.paper,
        "language": translation.get_language() or "en",
        "units": request.user.unit_system,
    }
    try:
        current = current_paper(**sheet)
        if current is not None and request.method == "POST":
            return redirect("office:issued_paper", code=current.code)
        if current is not None:
            return paper_response(request, current)
        if request.method == "POST":
            work = ask_for_paper(actor=actor_of(request), **sheet)
            return redirect("office:paper_work", number=number, pk=work.pk)
    except WorkOrderError as error:
        context = {"job": job, "refusal": str(error)}
        return render(request, "office/document_refused.html", context, status=422)
    latest = IssuedDocument.objects.of(job, kind).first()
    context = {"job": job, "kind_name": DocumentKind(kind).label, "paper": sheet["paper"], "latest": latest}
    return render(request, "office/document_offered.html", context)


def paper_is_hidden(user: User, job: Job, kind: str) -> bool:
    """Whether a paper shows a stage of the stack that is kept from a person who works on the motor."""
    shown = STAGES_SHOWN.get(kind, frozenset())
    return bool(shown) and user.may(Permission.WORK_STEPS) and bool(shown & hidden_stages(user, job))


def hidden_paper(request: ShopRequest, job: Job) -> HttpResponse:
    """Say why a paper is not shown now, and what opens it."""
    refusal = _(
        "This document shows a stack that is hidden from you now. Finish the as-built record, or answer for each "
        "bearing as second person."
    )
    context = {"job": job, "refusal": refusal}
    return render(request, "office/document_refused.html", context, status=403)


@require_http_methods(["GET", "HEAD", "POST"])
@allow(Permission.PRINT_DOCUMENTS)
@vary_on_headers("HX-Request")
def paper_work(request: ShopRequest, number: str, pk: int) -> HttpResponseBase:
    """Show how far a paper is and open it when it is ready; start again what was cut off."""
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    work = work_of_job(job, pk)
    if work is None:
        raise Http404
    if request.method == "POST":
        return _again(request, job, work)
    code = issued_code(work)
    if request.htmx:
        # The page loads itself again and so gives its place in the history to the paper.
        return (
            HttpResponseClientRefresh()
            if code
            else render(request, "office/_paper_work.html", _shown(job, work))
        )
    if code:
        return redirect("office:issued_paper", code=code)
    return render(request, "office/paper_work.html", _shown(job, work))


def _again(request: ShopRequest, job: Job, work: LongWork) -> HttpResponse:
    # Where somebody else started it again already, or it is done, the page shows it.
    with suppress(LongWorkError):
        start_again(actor=actor_of(request), work=work)
    return redirect("office:paper_work", number=job.number, pk=work.pk)


def _shown(job: Job, work: LongWork) -> dict[str, object]:
    kind = work.parameters["kind"]
    name = DocumentKind(kind).label if kind in DocumentKind.values else _("Document")
    return {"job": job, "work": work, "kind_name": name}
