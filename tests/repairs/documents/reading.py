"""Read a PDF as a person and as a scanner would."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import pypdf
import pypdfium2
import zxingcpp
from django.conf import settings

from repairs.documents.models import IssuedDocument


def stored(document: IssuedDocument) -> bytes:
    return (Path(settings.MEDIA_ROOT) / document.file).read_bytes()


def pages_of(pdf: bytes) -> list[str]:
    """Return the words of each page, with every kind of blank as one space."""
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(BytesIO(pdf)).pages]


def catalogue_of(pdf: bytes) -> Any:
    return pypdf.PdfReader(BytesIO(pdf)).trailer["/Root"]


def size_of(pdf: bytes) -> tuple[int, int]:
    box = pypdf.PdfReader(BytesIO(pdf)).pages[0].mediabox
    return round(float(box.width)), round(float(box.height))


def scanned_codes(pdf: bytes, page: int) -> list[str]:
    """Return what a scanner reads on a page."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        picture = document[page].render(scale=3).to_pil().convert("L")
    finally:
        document.close()
    return [code.text for code in zxingcpp.read_barcodes(picture)]
