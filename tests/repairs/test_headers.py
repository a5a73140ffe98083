"""What the headers of a request may change, and what every answer carries."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings as ours
from django.test import Client
from django.urls import clear_script_prefix, reverse, set_script_prefix
from gunicorn.config import Config
from gunicorn.http import RequestParser

from repairs.bench.kept_pages import worker_script
from repairs.office import addresses
from tests.house.test_permissions import ADDRESSES, _example
from tests.repairs.factories import make_user

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).resolve().parents[2]
PASSWORD = "right horse 42"


def test_a_peers_script_name_is_neither_believed_nor_kept_for_the_next_reader():
    worker_script.cache_clear()
    addresses.job_address.cache_clear()
    client = Client()
    client.force_login(make_user("administrator"))
    for path in (reverse("office:board"), reverse("bench:worker"), reverse("office:motor_list")):
        answer = client.get(path, SCRIPT_NAME="/evil", HTTP_SCRIPT_NAME="/evil")
        assert answer.status_code == 200
        assert "/evil" not in answer.content.decode()
    assert client.get("/", SCRIPT_NAME="/evil").url == reverse("office:board")
    assert "/evil" not in client.get(reverse("office:board")).content.decode()
    assert "/evil" not in worker_script()
    assert addresses.job_address("26-0001").startswith("/office/")


def test_the_server_as_documented_hands_no_path_of_a_header_on():
    (options,) = re.findall(r"gunicorn repairs\.wsgi ([^`\n]*)`", (ROOT / "DEVELOPERS.md").read_text())
    config = Config()
    for name, value in vars(config.parser().parse_args(options.split())).items():
        if value is not None and name in config.settings:
            config.set(name, value)
    sent = b"GET /bench/ HTTP/1.1\r\nHost: localhost\r\nSCRIPT_NAME: /evil\r\nPATH_INFO: /evil\r\n\r\n"
    request = next(RequestParser(config, [sent], ("127.0.0.1", 4711)))
    assert [name for name, _value in request.headers] == ["HOST"]
    assert "--forwarder-headers=" in (ROOT / "repairs/management/commands/demo.py").read_text()


def test_the_navigation_is_made_for_each_request():
    """Even where a prefix is set by other means, it ends with its request."""
    client = Client()
    client.force_login(make_user("administrator"))
    from repairs.people.context import shell

    request = client.get(reverse("office:board")).wsgi_request
    set_script_prefix("/evil/")
    try:
        shell(request)
    finally:
        clear_script_prefix()
    assert "/evil" not in json.dumps(shell(request), default=str)


@pytest.mark.parametrize(
    "host", ["evil.example", "localhost.evil.example", "localhost:80@evil.example", "", "a b"]
)
def test_a_host_that_is_not_the_shops_is_refused(host, client, settings):
    settings.ALLOWED_HOSTS = ["localhost"]
    assert client.get(reverse("login"), headers={"host": host}).status_code == 400


def test_a_forwarded_host_is_not_believed(client):
    answer = client.get(reverse("office:board"), headers={"x-forwarded-host": "evil.example"})
    assert answer.status_code == 302
    assert "evil.example" not in answer.url + str(answer.headers)


ELSEWHERE = (
    "https://evil.example/",
    "//evil.example/",
    "/\\evil.example/",
    "\\\\evil.example",
    "https:evil.example",
    "javascript:alert(1)",
    " //evil.example",
    "/\t/evil.example",
    "http:///evil.example",
)


@pytest.mark.parametrize("target", ELSEWHERE)
def test_signing_in_never_leads_elsewhere(target, client):
    person = make_user("lead")
    form = {"username": person.username, "password": PASSWORD, "next": target}
    answer = client.post(f"{reverse('login')}", form)
    assert (answer.status_code, answer.url) == (302, reverse("home"))


def test_a_session_from_before_signing_in_is_worth_nothing_afterwards(client):
    person = make_user("lead")
    session = client.session
    session["planted"] = "by somebody else"
    session.save()
    client.cookies[ours.SESSION_COOKIE_NAME] = planted = session.session_key
    client.get(reverse("login"))
    client.post(reverse("login"), {"username": person.username, "password": PASSWORD})
    assert client.cookies[ours.SESSION_COOKIE_NAME].value != planted
    assert "planted" not in client.session
    stranger = Client()
    stranger.cookies[ours.SESSION_COOKIE_NAME] = planted
    assert stranger.get(reverse("office:board")).status_code == 302


def test_signing_out_ends_the_session_on_the_server(client):
    client.force_login(make_user("lead"))
    key = client.cookies[ours.SESSION_COOKIE_NAME].value
    client.post(reverse("logout"))
    stranger = Client()
    stranger.cookies[ours.SESSION_COOKIE_NAME] = key
    assert stranger.get(reverse("office:board")).status_code == 302
    assert client.get(reverse("logout")).status_code == 405


@pytest.mark.parametrize("name", sorted(ADDRESSES))
def test_no_form_is_taken_without_its_token(name):
    client = Client(enforce_csrf_checks=True)
    client.force_login(make_user("administrator"))
    url = reverse(name, kwargs=_example(ADDRESSES[name]))
    for method in (client.post, client.put, client.patch, client.delete):
        assert method(url).status_code in {403, 405}


@pytest.mark.parametrize("name", ["office:board", "bench:home", "office:people", "login", "bench:people"])
def test_pages_of_the_shop_are_for_no_cache_and_no_frame(name):
    client = Client()
    client.force_login(make_user("administrator"))
    headers = client.get(reverse(name)).headers
    assert headers["Cache-Control"] == "private, no-store" or "no-store" in headers["Cache-Control"]
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    policy = dict(
        part.strip().split(" ", 1) for part in headers["Content-Security-Policy"].split(";") if part
    )
    assert policy["default-src"] == "'none'"
    assert policy["frame-ancestors"] == "'none'"
    assert "object-src" not in policy
    for part, sources in policy.items():
        assert "unsafe" not in sources, part
        assert "*" not in sources, part
        assert "http" not in sources, part
    assert {policy[part] for part in ("script-src", "style-src", "form-action", "base-uri")} == {"'self'"}


def with_https(code: str, **more: str) -> str:
    """Run code under the settings of a shop in service, in a process of its own."""
    # The browser tests of the same process say what no shop in service may say.
    of_tests = ("MOUNTSIDE_", "DJANGO_ALLOW_ASYNC_UNSAFE")
    environment = {name: value for name, value in os.environ.items() if not name.startswith(of_tests)}
    environment |= {
        "MOUNTSIDE_SECRET_KEY": "k" * 60 + "a1b2c3",
        "DJANGO_SETTINGS_MODULE": "repairs.settings",
        **more,
    }
    # A folder that is not there: how full this machine's disk is says nothing of the settings.
    environment["MOUNTSIDE_FOLDER"] = str(ROOT / "no-shop-here")
    code = f"import django; from django.conf import settings as s; django.setup(); {code}"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=environment, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_a_shop_in_service_sends_its_cookies_over_https_alone():
    names = [
        "SESSION_COOKIE_SECURE",
        "SESSION_COOKIE_HTTPONLY",
        "SESSION_COOKIE_SAMESITE",
        "CSRF_COOKIE_SECURE",
        "CSRF_COOKIE_HTTPONLY",
        "CSRF_COOKIE_SAMESITE",
        "SECURE_SSL_REDIRECT",
        "DEVICE_COOKIE",
    ]
    told = with_https(f"print([getattr(s, name) for name in {names}])")
    assert told == str([True, True, "Lax", True, True, "Lax", True, "__Host-device"])


def test_https_is_promised_for_a_year_and_for_this_host_only():
    told = with_https("print(s.SECURE_HSTS_SECONDS, s.SECURE_HSTS_INCLUDE_SUBDOMAINS, s.SECURE_HSTS_PRELOAD)")
    assert told == "31536000 False False"


def test_the_deploy_check_has_nothing_to_say():
    told = with_https(
        "from django.core.management import call_command as c; c('check', deploy=True, fail_level='WARNING')"
    )
    assert "no issues" in told


@pytest.mark.parametrize(("trusts", "secure"), [("1", True), ("0", False)])
def test_the_word_of_a_proxy_counts_only_where_the_shop_says_so(trusts, secure):
    code = (
        "from django.test import RequestFactory as F; "
        "print(F().get('/', HTTP_X_FORWARDED_PROTO='https').is_secure())"
    )
    assert with_https(code, MOUNTSIDE_BEHIND_PROXY=trusts) == str(secure)
