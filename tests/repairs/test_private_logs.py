"""No log holds the way to a customer's pages, and none is filled by what strangers send."""

from __future__ import annotations

import io
import logging
import logging.config
import re
import secrets

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from repairs.private_logs import PrivateLog, keep_links_out_of, without_links
from tests.repairs.factories import make_user

TOKEN = secrets.token_urlsafe(32)


@pytest.fixture
def written():
    """What the shop's own logging writes, on a stream of the test's."""
    stream = io.StringIO()
    handler = logging.StreamHandler(stream)
    for name in settings.LOGGING["handlers"]["console"]["filters"]:
        path = settings.LOGGING["filters"][name]["()"]
        assert path == f"{PrivateLog.__module__}.{PrivateLog.__name__}"
        handler.addFilter(PrivateLog())
    root = logging.getLogger()
    root.addHandler(handler)
    yield stream.getvalue
    root.removeHandler(handler)


def test_every_handler_of_the_shop_takes_the_links_out():
    handlers = settings.LOGGING["handlers"]
    assert handlers
    assert all("private" in handler["filters"] for handler in handlers.values())


@pytest.mark.parametrize(
    "text",
    [
        "Not Found: /my/TOKEN/report.pdf",
        "GET /my/TOKEN HTTP/1.1",
        "GET /my/TOKEN/?x=1 HTTP/1.1",
        '"https://shop.example/my/TOKEN/photos/"',
        "/sign-in/?next=/my/TOKEN/",
        "/sign-in/?next=%2Fmy%2FTOKEN%2F",
        "/sign-in/?next=%252fmy%252fTOKEN%252F",
        "/MY/TOKEN/",
        "'path': '/my/TOKEN/', 'again': '/my/TOKEN/'",
    ],
)
def test_a_token_is_taken_out_however_it_is_written(text):
    kept = without_links(text.replace("TOKEN", TOKEN))
    assert TOKEN not in kept
    assert "[link]" in kept
    assert without_links(kept) == kept


def test_other_addresses_stay_readable():
    for text in ("Not Found: /office/jobs/26-0001/", "/army/major/", "/static/css/my.css", "/my/"):
        assert without_links(text) == text


@pytest.mark.django_db
def test_an_unknown_expired_or_mistyped_link_leaves_no_token_in_the_log(written):
    client = Client(raise_request_exception=False)
    for address in (f"/my/{TOKEN}/", f"/my/{TOKEN}/report.pdf", f"/my/{TOKEN}/nothing/here/", f"/my/{TOKEN}"):
        client.get(address)
    client.post(f"/my/{TOKEN}/")
    assert "[link]" in written()
    assert TOKEN not in written()


def test_a_traceback_keeps_its_lines_and_loses_the_token(written):
    try:
        raise ValueError(f"at /my/{TOKEN}/")
    except ValueError:
        logging.getLogger("django.request").exception("Internal Server Error: %s", f"/my/{TOKEN}/")
    assert "Traceback" in written()
    assert "ValueError" in written()
    assert TOKEN not in written()


@pytest.mark.django_db
def test_a_refused_request_is_one_line(written, client):
    client.force_login(make_user("technician"))
    assert client.get(reverse("office:people")).status_code == 403
    assert client.get("/", headers={"host": "evil.example"}).status_code == 400
    lines = written().strip().splitlines()
    assert "Traceback" not in written()
    assert 2 <= len(lines) <= 3
    assert re.search(r"Forbidden", written())


def test_the_servers_own_lines_lose_the_token_too():
    stream = io.StringIO()
    server = logging.getLogger("gunicorn.access")
    handler = logging.StreamHandler(stream)
    server.addHandler(handler)
    level, server.level = server.level, logging.INFO
    before = list(server.filters)
    keep_links_out_of(["gunicorn.access"])
    try:
        atoms = {"r": f"GET /my/{TOKEN}/ HTTP/1.1", "f": f"https://shop.example/my/{TOKEN}/", "s": "200"}
        server.info('"%(r)s" %(s)s "%(f)s"', atoms)
    finally:
        server.removeHandler(handler)
        server.level, server.filters = level, before
    assert stream.getvalue() == '"GET /my/[link]/ HTTP/1.1" 200 "https://shop.example/my/[link]/"\n'


def test_the_entry_point_guards_the_servers_loggers():
    from repairs import wsgi  # noqa: F401  (guards them as it is loaded)

    for name in ("gunicorn.access", "gunicorn.error"):
        assert any(isinstance(kept, PrivateLog) for kept in logging.getLogger(name).filters)
