"""The maker of PDFs sees the project's own files and nothing else."""

from __future__ import annotations

import logging
import subprocess
import sys

import pytest

from repairs.documents import rendering
from repairs.documents.rendering import PHOTO_BASE, STATIC_BASE, PaperError, closed_fetcher, render_pdf

PAGE = '<!DOCTYPE html><html lang="en"><head><title>One</title></head><body><p>One</p>{}</body></html>'
OUTSIDE = (
    "http://192.0.2.1/mark.png",  # RFC 5737: an address for documentation
    "https://example.org/mark.png",
    "file:///etc/passwd",
    "ftp://192.0.2.1/mark.png",
    "data:text/html,x",
    f"{STATIC_BASE}../repairs/settings.py",
    f"{STATIC_BASE}js/shell.js",
    f"{PHOTO_BASE}photos/print/aa/other.jpg",
)


@pytest.mark.parametrize("address", OUTSIDE)
def test_the_fetcher_refuses_whatever_is_not_the_papers_own(address):
    from weasyprint.urls import FatalURLFetchingError

    with pytest.raises(FatalURLFetchingError):
        closed_fetcher(["photos/print/aa/own.jpg"]).fetch(address)


@pytest.mark.parametrize("address", OUTSIDE[:4])
def test_a_page_that_asks_for_something_outside_is_not_printed(address):
    with pytest.raises(PaperError, match="not one of its own files"):
        render_pdf(PAGE.format(f'<img src="{address}" alt="mark">'))


def test_a_stored_photo_is_given_only_to_the_paper_that_shows_it(settings):
    from weasyprint.urls import FatalURLFetchingError

    own = settings.MEDIA_ROOT / "photos/print/aa/own.jpg"
    own.parent.mkdir(parents=True)
    own.write_bytes(b"picture")
    address = f"{PHOTO_BASE}photos/print/aa/own.jpg"
    assert closed_fetcher(["photos/print/aa/own.jpg"]).fetch(address).read() == b"picture"
    with pytest.raises(FatalURLFetchingError):
        closed_fetcher([]).fetch(address)


def test_styles_and_fonts_are_read_from_the_project():
    assert b"@page" in closed_fetcher([]).fetch(f"{STATIC_BASE}css/print.css").read()
    assert closed_fetcher([]).fetch(f"{STATIC_BASE}fonts/barlow-latin-400.woff2").read(4) == b"wOF2"


def test_a_missing_system_library_is_named_without_a_traceback(monkeypatch):
    class NoLibrary:
        def find_spec(self, name, _path=None, _target=None):
            if name == "weasyprint":
                raise OSError("cannot load library 'libpango-1.0-0'")

    for name in [name for name in sys.modules if name.split(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [NoLibrary(), *sys.meta_path])
    with pytest.raises(PaperError, match=r"libpango-1\.0-0 and libpangoft2-1\.0-0"):
        render_pdf(PAGE.format(""))


def test_the_same_page_gives_the_same_bytes():
    assert render_pdf(PAGE.format("")) == render_pdf(PAGE.format(""))


def test_starting_the_shop_does_not_load_the_maker_of_pdfs():
    code = "import sys, django; django.setup(); import repairs.urls; sys.exit('weasyprint' in sys.modules)"
    environment = {"DJANGO_SETTINGS_MODULE": "tests.settings", "PATH": ""}
    answer = subprocess.run(
        [sys.executable, "-c", code], env=environment, check=False, cwd=rendering.settings.ROOT
    )
    assert answer.returncode == 0


def test_nothing_is_logged_as_an_error_while_printing(caplog):
    with caplog.at_level(logging.ERROR, logger="weasyprint"):
        render_pdf(PAGE.format(""))
    assert caplog.records == []
