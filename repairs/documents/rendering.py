"""From a finished page to a PDF. Nothing is fetched but the project's own styles and the paper's own photos."""

from __future__ import annotations

import hashlib
import logging
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from repairs.ledger.transactions import outside_transaction

# A reserved name (RFC 2606) that no network knows: the fetcher answers for it from the disk and for nothing else.
PAPER_HOST: Final = "https://paper.invalid/"
STATIC_BASE: Final = f"{PAPER_HOST}static/"
PHOTO_BASE: Final = f"{PAPER_HOST}photo/"
KINDS: Final = {".css": "text/css", ".woff2": "font/woff2", ".svg": "image/svg+xml"}
VARIANT: Final = "pdf/ua-1"


class PaperError(Exception):
    """A paper cannot be made; the message is fit to show to a person."""


def closed_fetcher(photos: Iterable[str]) -> Any:
    """Return a fetcher that knows the project's styles and fonts, and these stored photos, and nothing else."""
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    own = frozenset(photos)

    class PaperFetcher(URLFetcher):  # type: ignore[misc]  # weasyprint carries no types
        def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> Any:
            path = _file_for(url, own)
            if path is None:
                raise FatalURLFetchingError(url)
            kind = KINDS.get(path.suffix, "image/jpeg")
            return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": kind})

    return PaperFetcher()


def _file_for(url: str, photos: frozenset[str]) -> Path | None:
    """Return the file that an address of the paper stands for, or None when it may not be read."""
    if url.startswith(STATIC_BASE):
        name = url.removeprefix(STATIC_BASE)
        found = None if ".." in name else finders.find(name)
        path = Path(found) if isinstance(found, str) else None
        return path if path is not None and path.suffix in KINDS else None
    if url.startswith(PHOTO_BASE) and (name := url.removeprefix(PHOTO_BASE)) in photos:
        path = Path(settings.MEDIA_ROOT) / name
        return path if path.is_file() else None
    return None


def photo_is_sound(name: str) -> bool:
    """Whether a stored picture is in the shop's folder as it was stored: its name begins with its content's digest."""
    path = Path(settings.MEDIA_ROOT) / name
    try:
        known = path.stat()
    except OSError:
        return False
    return _digest_of(path, known.st_mtime_ns, known.st_size) == path.stem.partition("-")[0]


@lru_cache(maxsize=4096)
def _digest_of(path: Path, _changed_ns: int, _size: int) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def paper_page(template: str, context: Mapping[str, Any]) -> str:
    """Return the finished page of a paper."""
    return render_to_string(
        template, {**context, "static_base": STATIC_BASE, "photo_base": PHOTO_BASE, "on_paper": True}
    )


# The maker of PDFs says at which of its seven steps it is; an eighth stands for storing the paper.
STEP: Final = re.compile(r"^Step (\d)")
STAGES: Final = 8


@contextmanager
def _heard(told: Callable[[int, int], None] | None) -> Iterator[None]:
    """Pass on what the maker of PDFs says of its progress, while the block runs."""
    logger = logging.getLogger("weasyprint.progress")

    class Ear(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            if told is not None and (step := STEP.match(record.getMessage())):
                told(int(step[1]), STAGES)

    ear, level, passes_on = Ear(), logger.level, logger.propagate
    logger.addHandler(ear)
    logger.setLevel(logging.INFO)
    logger.propagate = False
    try:
        yield
    finally:
        logger.removeHandler(ear)
        logger.setLevel(level)
        logger.propagate = passes_on


def render_pdf(
    page: str, *, photos: Iterable[str] = (), told: Callable[[int, int], None] | None = None
) -> bytes:
    """Return a tagged PDF of a finished page, or raise PaperError in words; ``told`` hears how far it is.

    Never inside a transaction.
    """
    outside_transaction("A paper")
    try:
        from weasyprint import HTML
        from weasyprint.urls import FatalURLFetchingError
    except OSError as error:
        raise PaperError(
            _(
                "PDFs need the system packages libpango-1.0-0 and libpangoft2-1.0-0, and one of them is missing. "
                "Install both (apt-get install libpango-1.0-0 libpangoft2-1.0-0) and print again."
            )
        ) from error
    # The screens' style sheets hold much that paper has no use for; only errors are worth a line in the log.
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    try:
        with _heard(told):
            document = HTML(string=page, base_url=PAPER_HOST, url_fetcher=closed_fetcher(photos))
            pdf: bytes = document.write_pdf(pdf_variant=VARIANT)
    except FatalURLFetchingError as error:
        raise PaperError(
            _("The paper asks for {address}, which is not one of its own files.").format(address=error)
        ) from error
    return pdf
