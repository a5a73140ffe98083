"""Papers of a job: print the current one, hand an issued one out again."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.utils import timezone, translation
from django.views.decorators.http import require_GET

from bearings.public import Units
from repairs.documents.rendering import PaperError
from repairs.documents.services import issue_document
from repairs.documents.serving import pdf_response
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job


@require_GET
@allow(Permission.PRINT_DOCUMENTS)
def document(request: ShopRequest, number: str, kind: str) -> HttpResponseBase:
    """Print the current paper of a kind on the sheet that is asked for, else on the customer's."""
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    try:
        issued = issue_document(
            actor=actor_of(request),
            job=job,
            kind=kind,
            paper=request.GET.get("paper") or job.customer.paper,
            language=translation.get_language() or "en",
            units=cast(Units, request.user.units),
            now=timezone.now(),
        )
    except (PaperError, WorkOrderError) as error:
        messages.error(request, str(error))
        status = 503 if isinstance(error, PaperError) else 422
        return render(request, "office/document_refused.html", {"job": job}, status=status)
    return pdf_response(issued)
