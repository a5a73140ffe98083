"""The customer's pages: progress, the report, its file, its photos."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from repairs.documents.content.heads import shop_block
from repairs.documents.content.photos import photos_shown
from repairs.documents.links import count_opening
from repairs.documents.reports import customer_reader, latest_report, read_report
from repairs.documents.serving import paper_response
from repairs.photos.models import Photo
from repairs.photos.views import photo_response
from repairs.portal.private import behind_link
from repairs.portal.progress import progress
from repairs.portal.start_up import opens_for
from repairs.work_orders.models import Job


@require_safe
@behind_link
def job(request: HttpRequest, job: Job, token: str) -> HttpResponseBase:
    """Show where the job stands, and the report when one was issued."""
    count_opening(token, timezone.now())
    issued = latest_report(job)
    facts = read_report(job.pk, customer_reader(job))
    context = {
        **(issued.content if issued else {}),
        "units": issued.units if issued else "",
        "issued": issued,
        "job": job,
        "token": token,
        "shop_name": shop_block()["name"],
        "steps": progress(job),
        "live_notices": facts.content["notices"],
        "start_up_open": opens_for(job, interim=bool(facts.content["interim"])),
        "newer": issued is not None and issued.content["issue"].get("facts") != facts.digest,
        "photo_base": reverse("portal:job", args=[token]) + "photos/",
    }
    return render(request, "portal/job.html", context)


@require_safe
@behind_link
def report(request: HttpRequest, job: Job, token: str) -> HttpResponseBase:
    """Hand out the report that holds, as it was issued."""
    issued = latest_report(job)
    if issued is None:
        raise Http404
    return paper_response(request, issued, "portal/report_damaged.html")


@require_safe
@behind_link
def photo(request: HttpRequest, job: Job, token: str, photo_id: UUID) -> HttpResponseBase:
    """Show a photo, if the issued report shows it."""
    issued = latest_report(job)
    content = issued.content if issued else {}
    shown = {row["id"] for row in photos_shown(content)}
    if str(photo_id) not in shown:
        raise Http404
    return photo_response(get_object_or_404(Photo, pk=photo_id), "print")
