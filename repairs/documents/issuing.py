"""From a job to a paper: its content, the digest that tells revisions apart, the finished page."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Any, Final

from django.utils import translation
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from repairs.documents.codes import address_drawing, paper_address
from repairs.documents.content import papers, start_up
from repairs.documents.content.blank_sheets import adds_nothing
from repairs.documents.content.photos import photos_shown
from repairs.documents.content.reader import CANONICAL, Reader, moment_words
from repairs.documents.models import DocumentKind, IssuedDocument
from repairs.documents.rendering import paper_page, render_pdf
from repairs.work_orders.models import Job

Content = dict[str, object]
CONTENTS: Final[dict[str, Callable[[Job, Reader], Content]]] = {
    DocumentKind.JOB_TAG: papers.job_tag,
    DocumentKind.TRAVELER: papers.traveler,
    DocumentKind.STACK_CARD: papers.stack_card,
    DocumentKind.START_UP: start_up.start_up,
}
PAPERS: Final = ("a4", "letter")
# What is added while the route is walked. It makes a new revision, but takes nothing back that an older paper asks for.
ADDED_BY_WORK: Final = frozenset({"done", "photos", "readings", "seats"})
# Parts that papers issued before there were any lack: such a paper is compared without them.
NEWER_PARTS: Final = frozenset({"sheets"})
PARTS: Final = {
    "head": _("job, customer or complaint"),
    "shop": _("shop address"),
    "plate": _("nameplate"),
    "hold": _("hold"),
    "built_differs": _("stack as built against specified stack"),
    "stack": _("stack"),
    "thrust": _("pump thrust"),
    "route": _("route steps"),
    "done": _("steps signed off"),
    "photos": _("photos"),
    "seats": _("bearing fits"),
    "observations": _("damage found"),
    "readings": _("readings"),
    "sheets": _("tests of the open steps"),
    "cautions": _("cautions"),
    "checks": _("final check list"),
    "governs": _("reminder"),
    "sections": _("checks at the site"),
    "frequencies": _("bearing frequencies"),
    "speed": _("motor speed"),
}


def content_of(job: Job, kind: str, reader: Reader) -> Content:
    """Return what a paper says now, in the reader's language and units, as it will be stored."""
    with translation.override(reader.language):
        return as_stored(CONTENTS[kind](job, reader))


def as_stored(content: Content) -> Content:
    """Return a content as it comes back from the database, so that old and new can be compared."""
    stored: Content = json.loads(json.dumps(content))
    return stored


def digest_of(content: Mapping[str, Any]) -> str:
    """Return the digest of a content."""
    text = json.dumps(content, sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def live_digest(job: Job, kind: str) -> str:
    """Return the digest of what a paper would say now. Language, units and paper size make no new revision."""
    return digest_of(content_of(job, kind, CANONICAL))


def fingerprint(digest: str, paper: str, reader: Reader) -> str:
    """Return a short text that differs for each revision, paper size, language and system of units."""
    text = f"{digest} {paper} {reader.language} {reader.units}"
    return hashlib.sha256(text.encode()).hexdigest()


def photo_files(content: Mapping[str, Any]) -> set[str]:
    """Return the stored pictures that a content shows, and so the only ones that its paper may read."""
    return {row["file"] for row in photos_shown(content) if row["file"]}


def finished_page(document: IssuedDocument) -> str:
    """Return the page of a document that has everything but its file."""
    with translation.override(document.language):
        return paper_page(
            f"documents/{document.kind}.html",
            {
                **document.content,
                "paper": document.paper,
                "units": document.units,
                "kind": document.kind,
                "kind_name": document.content.get("title") or document.get_kind_display(),
                "revision": document.revision,
                "edition": edition_words(document),
                "reason": document.reason,
                "issued": moment_words(document.issued_at),
                "code": document.code,
                "code_drawing": address_drawing(paper_address(document.code)),
                "LANGUAGE_CODE": document.language,
            },
        )


def edition_words(document: IssuedDocument) -> str:
    """Return the number of a paper in words: a report has issues, a paper of the shop has revisions."""
    text = gettext("issue {number}") if document.kind == DocumentKind.REPORT else gettext("revision {number}")
    return text.format(number=document.revision)


def pdf_of(document: IssuedDocument, told: Callable[[int, int], None] | None = None) -> bytes:
    """Return the bytes of a document that is about to be issued; ``told`` hears how far it is."""
    return render_pdf(finished_page(document), photos=photo_files(document.content), told=told)


def comparable(document: IssuedDocument, live: Content) -> Content:
    """Return what a job says now, without the parts that a paper as old as this one never had."""
    never_had = NEWER_PARTS - document.content.keys()
    return {name: part for name, part in live.items() if name not in never_had}


def changed_parts(document: IssuedDocument, live: Content) -> dict[str, bool]:
    """Return the parts of a paper that the job now says otherwise; True where nothing it asks for is taken back."""
    reader = Reader(document.language, "us" if document.units == "us" else "si")
    now = live if reader == CANONICAL else content_of(document.job, document.kind, reader)
    return {
        part: _only_adds(part, document.content.get(part), now[part])
        for part in comparable(document, now)
        if now[part] != document.content.get(part)
    }


def _only_adds(part: str, printed: Any, now: Any) -> bool:
    if part == "sheets":
        return adds_nothing(printed, now)
    return part in ADDED_BY_WORK


def part_name(part: str) -> str:
    """Return the name of a part of a paper."""
    return str(PARTS.get(part, part))
