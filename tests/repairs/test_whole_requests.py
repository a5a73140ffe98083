"""A form whose connection broke is not carried out, however complete its beginning looks."""

from __future__ import annotations

from io import BytesIO
from typing import Any
from urllib.parse import urlencode

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from repairs.measurements.models import Reading
from repairs.wsgi import WholeBody, application
from tests.repairs.factories import make_job, make_user

pytestmark = pytest.mark.django_db(transaction=True)


def post(arrived: bytes, promised: int, kind: str) -> str:
    """Send a reading of which only ``arrived`` came; return the status."""
    user, job, client = make_user(), make_job(), Client()
    client.force_login(user)
    token = "a" * 32
    session = client.cookies[settings.SESSION_COOKIE_NAME].value
    environ: dict[str, Any] = {
        "REQUEST_METHOD": "POST",
        "PATH_INFO": reverse("bench:reading", args=[job.number]),
        "SERVER_NAME": "127.0.0.1",
        "SERVER_PORT": "80",
        "wsgi.url_scheme": "http",
        "wsgi.input": BytesIO(arrived),
        "CONTENT_LENGTH": str(promised),
        "CONTENT_TYPE": kind,
        "HTTP_COOKIE": f"sessionid={session}; csrftoken={token}",
        "HTTP_X_CSRFTOKEN": token,
        "HTTP_X_OUTBOX": "later",
        "HTTP_X_OUTBOX_PERSON": str(user.pk),
    }
    said: list[str] = []
    b"".join(application(environ, lambda status, _headers: said.append(status)))
    return said[0]


FIELDS = {
    "quantity": "Run-out",
    "unit": "µm",
    "moment": "as_found",
    "form_key": "0123456789abcdef",
    "value": "1200",
}
PLAIN = urlencode(FIELDS).encode()
EDGE = "edge"
PARTS = "".join(
    f'--{EDGE}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'
    for name, value in FIELDS.items()
)
MULTIPART = f"{PARTS}--{EDGE}--\r\n".encode()
KINDS = [
    pytest.param(PLAIN, "application/x-www-form-urlencoded", id="plain"),
    pytest.param(MULTIPART, f"multipart/form-data; boundary={EDGE}", id="with parts"),
]


@pytest.mark.parametrize(("content", "kind"), KINDS)
def test_a_whole_form_is_carried_out(content, kind):
    assert post(content, len(content), kind) == "200 OK"
    assert Reading.objects.get().value == 1200


@pytest.mark.parametrize(("content", "kind"), KINDS)
@pytest.mark.parametrize("missing", [2, 12, 40])
def test_a_form_that_broke_off_is_not(content, kind, missing):
    status = post(content[:-missing], len(content), kind)
    assert status[:3] in {"400", "403", "422"}
    assert not Reading.objects.exists()


def test_what_arrived_whole_reads_as_it_was_sent_by_pieces_and_by_lines():
    text = b"one\ntwo\nthree"
    assert WholeBody(BytesIO(text), len(text)).read() == text
    pieces = WholeBody(BytesIO(text + b"next request"), len(text))
    assert [pieces.read(5), pieces.read(50), pieces.read(5)] == [text[:5], text[5:], b""]
    assert WholeBody(BytesIO(text), len(text)).readlines() == [b"one\n", b"two\n", b"three"]
    with pytest.raises(OSError, match="broke"):
        WholeBody(BytesIO(text), len(text) + 1).readlines()
