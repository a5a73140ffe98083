"""Open a job by the code on its tag or paper: the camera's picture is read here, or what was typed."""

from __future__ import annotations

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from repairs.documents.codes import job_number_in, paper_code_in, read_codes
from repairs.documents.serving import superseded_words
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.photos.services import PhotoError
from repairs.work_orders.models import Job


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def scan(request: ShopRequest) -> HttpResponse:
    """Read a code and go to its job; what cannot be read is said, and the number can be typed."""
    typed, problem = request.POST.get("code", "").strip()[:200], ""
    if request.method == "POST":
        file = request.FILES.get("picture")
        text, problem = _text_of(file) if file else (typed, "")
        number, problem = _job_of(text) if not problem else ("", problem)
        if number:
            if words := superseded_words(paper_code_in(text)):
                messages.warning(request, words)
            return redirect("bench:job", number=number)
    return render(
        request, "bench/scan.html", {"typed": typed, "problem": problem}, status=422 if problem else 200
    )


def _text_of(file: UploadedFile[bytes]) -> tuple[str, str]:
    """Return what the first of our codes on a picture says, or what is wrong with the picture."""
    try:
        texts = read_codes(file.read(), (file.name or "")[:200])
    except PhotoError as error:
        return "", str(error)
    if not texts:
        return "", _("No code found in this photo. Hold the camera straight and closer, in good light.")
    ours = next((text for text in texts if job_number_in(text)), "")
    return ours, "" if ours else _("This code is not from this shop's papers.")


def _job_of(text: str) -> tuple[str, str]:
    """Return the number of the job that a code or a typed number names, or why there is none."""
    number = job_number_in(text)
    if not number:
        return "", _("“{typed}” is not a job number. Enter one like 26-0147.").format(typed=text[:40])
    if Job.objects.filter(number=number).exists():
        return number, ""
    return "", _("No job {number} in this shop.").format(number=number)
