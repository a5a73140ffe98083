"""Hand out stored papers, and say of a scanned one whether it still holds."""

from __future__ import annotations

from io import BytesIO

from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from repairs.documents import issuing
from repairs.documents.content.reader import CANONICAL
from repairs.documents.faults import note_damage, note_sound
from repairs.documents.files import Damage, DamagedFileError, sound_bytes
from repairs.documents.models import DocumentKind, IssuedDocument
from repairs.documents.reports import says_the_newest
from repairs.ledger.snapshots import one_snapshot
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest


def paper_response(
    request: HttpRequest, document: IssuedDocument, damaged: str = "documents/damaged.html"
) -> HttpResponseBase:
    """Return an issued paper as it was issued, or say that its stored file is not that any more.

    The file is compared with the digest that it was stored under. A changed one answers 409, a missing one 410.
    """
    try:
        content = sound_bytes(document.file)
    except DamagedFileError as error:
        note_damage(document, error.damage)
        status = 410 if error.damage is Damage.MISSING else 409
        context = {"document": document, "job": document.job, "missing": error.damage is Damage.MISSING}
        return render(request, damaged, context, status=status)
    note_sound(document)
    name = slugify(f"{document.job.number} {document.get_kind_display()} revision {document.revision}")
    response = FileResponse(BytesIO(content), content_type="application/pdf", filename=f"{name}.pdf")
    response.headers["Cache-Control"] = "private, no-store"
    response.headers["X-Robots-Tag"] = "noindex"
    return response


def standing(document: IssuedDocument) -> dict[str, object]:
    """Say whether a paper is current: ``state`` is current, added_to, newer or superseded.

    A report is superseded by another issue; until then ``newer`` says that facts which it prints have changed. A paper
    of the shop floor holds while the job still says what it
    says; when only the work done since is missing on it, what it asks for still stands.
    """
    latest = IssuedDocument.objects.filter(job=document.job, kind=document.kind).order_by("-revision", "-id")[
        0
    ]
    answer = {"document": document, "job": document.job, "latest": latest, "changed": []}
    answer["edition"] = issuing.edition_words(document)
    if document.kind == DocumentKind.REPORT:
        if latest.revision != document.revision:
            return {**answer, "state": "superseded"}
        return {**answer, "state": "current" if says_the_newest(document) else "newer"}
    with one_snapshot():
        live = issuing.comparable(document, issuing.content_of(document.job, document.kind, CANONICAL))
    if issuing.digest_of(live) == document.content_hash:
        return {**answer, "state": "current"}
    if latest.revision > document.revision:
        return {**answer, "state": "superseded"}
    changed = issuing.changed_parts(document, live)
    return {
        **answer,
        "state": "added_to" if all(changed.values()) else "superseded",
        "changed": [issuing.part_name(part) for part in changed],
    }


def superseded_words(code: str) -> str:
    """Say of a scanned paper that another one took its place; nothing when it holds or is not known."""
    document = IssuedDocument.objects.with_job().filter(code=code).first() if code else None
    if document is None or standing(document)["state"] != "superseded":
        return ""
    return _("{paper}, revision {revision}, is out of date. Reprint it before use.").format(
        paper=document.get_kind_display(), revision=document.revision
    )


@require_safe
@allow(Permission.VIEW_SHOP)
def scanned(request: ShopRequest, code: str) -> HttpResponse:
    """Answer the code on a paper."""
    document = get_object_or_404(IssuedDocument.objects.with_job(), code=code)
    return render(request, "documents/scanned.html", standing(document))
