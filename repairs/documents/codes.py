"""The code on a paper: job, document, revision, and an address that says whether the paper still holds."""

from __future__ import annotations

from io import BytesIO
from typing import Final

import segno
from django.conf import settings
from django.utils.translation import gettext as _

from repairs.documents.models import DocumentKind

LETTERS: Final = {
    DocumentKind.JOB_TAG: "g",
    DocumentKind.TRAVELER: "t",
    DocumentKind.STACK_CARD: "c",
    DocumentKind.REPORT: "r",
}


def paper_code(*, number: str, kind: str, revision: int, fingerprint: str) -> str:
    """Return the code of one paper, such as 26-0147-t3-9f3a1c; paper sizes of one revision differ at its end."""
    return f"{number}-{LETTERS[DocumentKind(kind)]}{revision}-{fingerprint[:6]}"[:24]


def paper_address(code: str) -> str:
    """Return the address that a scanner opens."""
    return f"{settings.BASE_URL.rstrip('/')}/p/{code}/"


def address_drawing(address: str, words: str = "") -> str:
    """Return an address as a square code, an SVG with a title that says what it is for."""
    title = words or _("Code: {address}").format(address=address)
    out = BytesIO()
    segno.make(address, error="m", micro=False).save(
        out, kind="svg", xmldecl=False, svgns=True, border=0, title=title, svgclass="code-square", lineclass=None,
        omitsize=True, dark="#000000", nl=False,
    )  # fmt: skip
    return out.getvalue().decode()
