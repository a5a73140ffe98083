"""The code on a paper: job, document, revision, and an address that says whether the paper still holds."""

from __future__ import annotations

import re
from io import BytesIO
from typing import Final

import segno
import zxingcpp
from django.conf import settings
from django.utils.translation import gettext as _

from repairs.documents.models import DocumentKind
from repairs.photos.services import gray_picture

LETTERS: Final = {
    DocumentKind.JOB_TAG: "g",
    DocumentKind.TRAVELER: "t",
    DocumentKind.STACK_CARD: "c",
    DocumentKind.START_UP: "s",
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


# A scanner sees the paper's address; whoever types may give the job's number or the paper's code alone.
_CODE: Final = re.compile(r"(?:^|/p/)(\d{2}-\d{4,6})(?:-([a-z])(\d{1,4})-([0-9a-f]{1,6}))?/?$")


def job_number_in(text: str) -> str:
    """Return the job's number in what a code says: our address, a paper's code or a bare number; else nothing."""
    found = _CODE.search(text.strip())
    return found[1] if found else ""


def paper_code_in(text: str) -> str:
    """Return the code of the paper that was scanned; nothing for a bare job number."""
    found = _CODE.search(text.strip())
    return found[0].rpartition("/p/")[2].strip("/") if found and found[2] else ""


def read_codes(content: bytes, name: str) -> list[str]:
    """Return what the square codes on a picture say; raise PhotoError when it cannot be read as a picture."""
    picture = gray_picture(content, name)
    return [code.text for code in zxingcpp.read_barcodes(picture) if code.text]
