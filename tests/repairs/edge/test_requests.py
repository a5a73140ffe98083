"""What arrives broken is refused in plain words, and text is clean before any view sees it."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pytest
from django.conf import settings
from django.http import QueryDict
from django.test import Client, RequestFactory
from django.urls import reverse

from repairs.customers.models import Customer
from repairs.edge.body import is_readable_type, plain_type
from repairs.edge.text import clean_text, cleaned
from repairs.people.middleware import PERSON_HEADER, actor_of
from repairs.wsgi import application
from tests.repairs.factories import make_job, make_motor, make_user

pytestmark = [pytest.mark.django_db, pytest.mark.data]
SIGN_IN = "/sign-in/"


@pytest.fixture
def office() -> Client:
    client = Client(raise_request_exception=False)
    client.force_login(make_user("office"))
    return client


def test_control_characters_and_half_pairs_go_and_tabs_line_ends_and_all_scripts_stay():
    assert clean_text("a\x00b\x1b\x9f\ud800c") == "abc"
    kept = "a\tb\r\nc µ Ω 😀 \u202f"
    assert clean_text(kept) == kept


def test_names_and_values_are_cleaned_and_clean_fields_are_not_copied():
    fields = QueryDict("a=1&b=2")
    assert cleaned(fields) is fields
    dirty = cleaned(QueryDict("na%00me=va%00lue&name=x"))
    assert dirty.getlist("name") == ["value", "x"]


def test_a_nul_in_a_form_a_search_and_an_address_harms_nothing(office):
    fields = {"name": "Kes\x00trel", "report_language": "en", "report_units": "us", "paper": "letter"}
    office.post(reverse("office:new_customer"), {**fields, "form_key": "a" * 32})
    assert Customer.objects.get().name == "Kestrel"
    assert office.get(reverse("office:search"), {"q": "a\x00b"}).status_code == 200
    assert office.get("/office/jobs/26-%000001/").status_code == 404


@pytest.mark.parametrize("number", [2**63, 10**30, 10**400])
def test_a_number_beyond_every_row_is_not_found(office, number):
    assert office.get(f"/office/motors/{number}/").status_code == 404
    assert Client(raise_request_exception=False).get(f"/bench/people/{number}/").status_code == 404


@pytest.mark.parametrize("coding", ["utf-16", "utf-7", "latin-1", "hex", "nothing", '"'])
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_another_coding_than_utf_8_is_refused(office, coding, method):
    kind = f"application/x-www-form-urlencoded; charset={coding}"
    assert office.generic(method, SIGN_IN, b"a=1", kind, CONTENT_TYPE=kind).status_code == 415


@pytest.mark.parametrize("coding", ["UTF-8", "utf8", "us-ascii"])
def test_every_spelling_of_utf_8_is_read(office, coding):
    kind = f"application/x-www-form-urlencoded; charset={coding}"
    answer = office.post(SIGN_IN, "username=%C2%B5&password=y", content_type=kind)
    assert answer.context["form"]["username"].value() == "µ"


def wsgi(**environ: Any) -> tuple[str, bytes]:
    said: list[str] = []
    asked = {
        "REQUEST_METHOD": "POST",
        "PATH_INFO": SIGN_IN,
        "SERVER_NAME": "127.0.0.1",
        "SERVER_PORT": "80",
        "wsgi.url_scheme": "http",
        "wsgi.input": BytesIO(b"x" * 10),
        **environ,
    }
    body = b"".join(application(asked, lambda status, _headers: said.append(status[:3])))
    return said[0], body


def test_a_content_type_that_the_framework_cannot_take_apart_is_refused():
    for kind in (
        "text/plain; charset*=nothing''x",
        "a/b; charset=a\x00b",
        "multipart/form-data; boundary*=x'y'z",
    ):
        assert wsgi(CONTENT_TYPE=kind, CONTENT_LENGTH="10")[0] in {"415", "400", "403"}


def test_too_many_fields_in_an_address_are_refused_under_any_type():
    many = "&a" * 1200
    for kind in ("", "text/plain; charset=utf-8", "multipart/form-data; charset=utf-8; boundary=x"):
        assert wsgi(CONTENT_TYPE=kind, QUERY_STRING=many, CONTENT_LENGTH="0")[0] == "400"


def test_a_type_keeps_its_edge_and_loses_its_coding():
    assert plain_type("multipart/form-data; charset=utf8; boundary=a") == 'multipart/form-data; boundary="a"'
    assert plain_type("multipart/form-data; boundary=a") == "multipart/form-data; boundary=a"
    assert plain_type("text/plain; charset=us-ascii") == "text/plain"
    assert not is_readable_type(plain_type("text/plain; charset=utf-16"))


class Unread(BytesIO):
    def read(self, *_size: Any) -> bytes:
        raise AssertionError("read before it was refused")

    readline = read  # type: ignore[assignment]


def test_what_is_too_long_or_has_no_length_is_refused_before_it_is_read():
    most = settings.REQUEST_MAX_BYTES
    kind = "multipart/form-data; boundary=x"
    status, words = wsgi(CONTENT_TYPE=kind, CONTENT_LENGTH=str(most + 1), **{"wsgi.input": Unread()})
    assert status == "413"
    assert b"limit 510 MB" in words
    for length in ("x", "-1", "9" * 5000, "²"):
        assert wsgi(CONTENT_TYPE=kind, CONTENT_LENGTH=length, **{"wsgi.input": Unread()})[0] == "400"


def test_where_nobody_signs_in_a_long_form_is_refused_before_it_is_read():
    length = str(settings.OPEN_PAGES_MAX_BYTES + 1)
    path = f"{settings.OPEN_PAGES}x/commissioning/"
    status, words = wsgi(PATH_INFO=path, CONTENT_LENGTH=length, **{"wsgi.input": Unread()})
    assert status == "413"
    assert b"too large" in words


def test_the_largest_form_has_room_for_all_the_photos_that_one_may_hold():
    assert settings.REQUEST_MAX_BYTES > settings.DATA_UPLOAD_MAX_NUMBER_FILES * settings.PHOTO_MAX_BYTES


def test_text_beyond_the_limit_of_a_form_is_too_large_and_a_name_that_no_field_has_is_refused(office):
    assert office.post(SIGN_IN, {"username": "x" * 3_000_000}).status_code == 413
    plain = "application/x-www-form-urlencoded"
    assert office.post(SIGN_IN, "a=" + "x" * 3_000_000, content_type=plain).status_code == 413
    assert office.post(SIGN_IN, {"x" * 300: "1"}).status_code == 400
    assert (
        office.post(SIGN_IN, "&".join(f"a{n}=1" for n in range(2000)), content_type=plain).status_code == 400
    )


def test_an_entry_of_a_tablet_is_refused_in_json():
    client = Client(raise_request_exception=False)
    answer = client.post(SIGN_IN, {"x" * 300: "1"}, headers={"X-Outbox": "later"})
    assert (answer.status_code, answer.json()["state"]) == (400, "refused")
    answer = client.get("/nowhere/", headers={"X-Outbox": "later"})
    assert (answer.status_code, answer.json()["state"]) == (404, "refused")


def test_a_cookie_with_a_nul_is_left_aside():
    client = Client(raise_request_exception=False)
    client.cookies[settings.SESSION_COOKIE_NAME] = "abcdefgh\x00"
    client.cookies[settings.DEVICE_COOKIE] = "abc\x00"
    answer = client.get("/bench/people/")
    assert answer.status_code == 403
    assert answer.headers[PERSON_HEADER] == "0"


def test_forged_numbers_in_forms_and_addresses_are_answered(office):
    job = make_job(make_motor())
    office.force_login(make_user("lead"))
    for nonsense in ("²", "9" * 5000, str(2**63), "-1", "1.5"):
        posts = [
            (reverse("office:job_hold", args=[job.number]), {"step": nonsense}),
            (reverse("office:report", args=[job.number]), {"do": "revoke", "link": nonsense}),
            (reverse("bench:hand_over", args=[job.number]), {"accept": nonsense}),
            (reverse("bench:hand_over", args=[job.number]), {"meant_for": nonsense, "done": "x"}),
            (reverse("bench:parts", args=[job.number]), {"do": f"change:{nonsense}", "version": nonsense}),
            (reverse("bench:lay_out", args=[job.number]), {"revision": nonsense}),
        ]
        for address, fields in posts:
            answer = office.post(address, {"form_key": "k" * 32, **fields})
            assert answer.status_code < 500, (address, nonsense)
        for address in ("office:motor_list", "office:new_motor", "office:open_job", "office:book_editions"):
            query = {"customer": nonsense, "newer": nonsense, "motor": nonsense}
            assert office.get(reverse(address), query).status_code < 500, (address, nonsense)


@pytest.mark.parametrize(
    "time",
    [
        "0001-01-01T00:00:00+23:59",
        "9999-12-31T23:59:59-23:59",
        "1970-01-01T00:00:00+00:00",
        "x",
        "2026-11-30T10:00",
    ],
)
def test_a_time_of_making_at_the_edge_of_the_calendar_is_left_aside(time):
    request = RequestFactory().post("/", headers={"X-Made-At": time})
    request.user = make_user()
    assert actor_of(request).made_at == ""


def test_a_time_of_making_is_kept():
    request = RequestFactory().post("/", headers={"X-Made-At": "2026-11-30T10:00:00+00:00"})
    request.user = make_user()
    assert actor_of(request).made_at == "2026-11-30T10:00:00+00:00"


@pytest.mark.parametrize("address", ["http://[", "http://[::1", "//["])
def test_a_part_of_a_page_that_is_nowhere_is_answered_like_any_other(address):
    client = Client()
    client.force_login(make_user("engineer"))
    answer = client.get(reverse("office:search"), HTTP_HX_REQUEST="true", HTTP_HX_CURRENT_URL=address)
    assert answer.status_code == 200
