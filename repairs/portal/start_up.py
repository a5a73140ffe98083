"""The commissioning sheet behind the private link: to read, to print, to fill in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from repairs.documents.content.heads import shop_block
from repairs.documents.content.reader import Reader
from repairs.documents.content.start_up import start_up
from repairs.documents.models import DocumentKind, IssuedDocument, StartUpRecord
from repairs.documents.reports import customer_reader, read_report
from repairs.documents.serving import paper_response
from repairs.documents.site_fields import asked_of
from repairs.documents.site_forms import StartUpForm, entered_rows
from repairs.documents.start_up_records import TooOftenError, record_start_up
from repairs.portal.private import SAME_ORIGIN, behind_link
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job


def opens_for(job: Job, *, interim: bool) -> bool:
    """Whether the sheet is there for a job: its repair is finished and nothing stands against running the motor."""
    return not interim and job.state != Job.State.CANCELLED


@require_http_methods(["GET", "HEAD", "POST"])
@behind_link
def sheet(request: HttpRequest, job: Job, token: str) -> HttpResponseBase:
    """Show the sheet with what was entered so far; keep once what is entered."""
    reader = customer_reader(job)
    if not opens_for(job, interim=bool(read_report(job.pk, reader).content["interim"])):
        status = 409 if request.method == "POST" else 200
        context = {"job": job, "token": token, "shop_name": shop_block()["name"]}
        return render(request, "portal/start_up_closed.html", context, status=status)
    form = StartUpForm(
        asked_of(job.motor), request.POST if request.method == "POST" else None, units=reader.units
    )
    status = 200
    if request.method == "POST":
        status = _keep(request, token, form)
        if status == 303:
            return redirect("portal:start_up", token=token)
    response = render(
        request, "portal/start_up.html", _context(request, job, token, form, reader), status=status
    )
    # A browser sends a form of a page without referrer as if it came from nowhere, and it would be refused.
    response.headers["Referrer-Policy"] = SAME_ORIGIN
    return response


def _keep(request: HttpRequest, token: str, form: StartUpForm) -> int:
    """Keep what was entered; return the status of the answer, 303 where it is kept."""
    if not form.is_valid():
        return 422
    try:
        record_start_up(
            token=token, key=request.POST.get("form_key", ""), entry=form.entry(), now=timezone.now()
        )
    except WorkOrderError as error:
        form.add_error(None, str(error))
        return 429 if isinstance(error, TooOftenError) else 422
    return 303


def _context(
    request: HttpRequest, job: Job, token: str, form: StartUpForm, reader: Reader
) -> dict[str, object]:
    with translation.override(reader.language):
        told = start_up(job, reader)
    return {
        **told,
        "sections": [_with_fields(section, form) for section in told["sections"]],  # type: ignore[attr-defined]
        "job": job,
        "token": token,
        "shop_name": shop_block()["name"],
        "form": form,
        "form_key": request.POST.get("form_key") or uuid4().hex,
        "paper": IssuedDocument.objects.of(job, DocumentKind.START_UP).first(),
        "records": [
            {"record": one, "rows": entered_rows(one, reader.units)}
            for one in StartUpRecord.objects.of_job(job)
        ],
    }


def _with_fields(section: dict[str, Any], form: StartUpForm) -> dict[str, Any]:
    for row in section["rows"]:
        form.fields[row["code"]].help_text = _hint(row)
    return {**section, "rows": [{**row, "field": form[row["code"]]} for row in section["rows"]]}


def _hint(row: Mapping[str, Any]) -> str:
    """Say beside an entry what the shop knows of it: limit or nameplate, and its own last value."""
    said = []
    if row["known"]:
        words = _("Limit: {known} ({source}).") if row["limited"] else _("Nameplate: {known}.")
        said.append(words.format(known=row["known"], source=row["source"]))
    elif row["unknown"]:
        said.append(_("Limit not known here: use the manufacturer's."))
    if row["left"]:
        said.append(_("As left in the shop: {left}.").format(left=row["left"]))
    return " ".join(said)


@require_safe
@behind_link
def paper(request: HttpRequest, job: Job, token: str) -> HttpResponseBase:
    """Hand out the sheet that the shop printed last, as it was issued."""
    issued = IssuedDocument.objects.of(job, DocumentKind.START_UP).first()
    if issued is None:
        raise Http404
    return paper_response(request, issued, "portal/report_damaged.html")
