"""What a new shop is asked: wrong answers are refused with their cure before anything is made."""

from __future__ import annotations

import builtins
import getpass
import shutil

import pytest
from django.core.management import CommandError, call_command

from repairs.customers.models import Customer
from repairs.ledger.models import Event
from repairs.motors.models import Motor
from repairs.people.models import User
from repairs.work_orders.models import RouteTemplate, ShopPolicy

pytestmark = pytest.mark.django_db
PASSWORD = "copper lamp 58 river"
ANSWERS = {
    "shop": "Bare Test Works",
    "units": "us",
    "time_zone": "America/Denver",
    "first_name": "Ada",
    "last_name": "",
    "username": "ada",
    "address": "https://shop.example:8443/",
}


@pytest.fixture
def folder(settings, tmp_path):
    settings.SHOP_FOLDER = tmp_path / "shop"
    settings.STATIC_ROOT = settings.SHOP_FOLDER / "static"
    settings.MEDIA_ROOT = settings.SHOP_FOLDER / "media"
    return settings.SHOP_FOLDER


@pytest.fixture
def no_environment_key(monkeypatch):
    monkeypatch.delenv("MOUNTSIDE_SECRET_KEY", raising=False)


@pytest.fixture
def quick(monkeypatch):
    """Leave out what the test database has already, and the static files."""
    real = call_command
    monkeypatch.setattr(
        "repairs.management.commands.begin.call_command",
        lambda name, **how: None if name in {"migrate", "collectstatic"} else real(name, **how),
    )


def begin(tmp_path, password=PASSWORD, **changed):
    secret = tmp_path / "password"
    secret.write_text(f"{password}\n")
    call_command("begin", no_input=True, password_file=str(secret), **(ANSWERS | changed))


def test_a_new_shop_has_an_administrator_policy_and_routes_and_nothing_invented(
    folder, tmp_path, quick, no_environment_key
):
    begin(tmp_path)
    person = User.objects.get()
    assert (person.username, person.role, person.units) == ("ada", "administrator", "us")
    assert person.check_password(PASSWORD)
    assert ShopPolicy.objects.get().name == "Bare Test Works"
    assert not Customer.objects.exists()
    assert not Motor.objects.exists()
    assert 'address = "https://shop.example:8443"' in (folder / "settings.toml").read_text()
    verbs = set(Event.objects.values_list("verb", flat=True))
    assert verbs == {"person.added", "policy.changed", "template.added"}
    routes = {
        template.name: list(template.steps.values_list("kind", flat=True))
        for template in RouteTemplate.objects.filter(active=True)
    }
    assert len(routes) == 3
    assert all(kinds[0] == "receive" and kinds[-1] == "report" for kinds in routes.values())
    assert {"specify", "lay_out", "mount", "second_person"} <= set(routes["Vertical motor, thrust bearings"])


@pytest.mark.parametrize(("name", "value", "told"), [
    ("units", "metric", "Enter us"),
    ("time_zone", "Mars/Base", "America/Chicago"),
    ("time_zone", "../../etc/passwd", "America/Chicago"),
    ("address", "shop.example", "https://shop.example:8443"),
    ("address", 'https://a"b', "https://shop.example:8443"),
    ("address", "https://shop.example/path", "https://shop.example:8443"),
    ("username", "a b", "Enter a valid username"),
    ("username", "x" * 151, "150"),
    ("shop", "x" * 121, "at most 120"),
    ("first_name", " ", "--first-name is missing"),
])  # fmt: skip
def test_a_wrong_answer_is_refused_with_its_cure_and_makes_nothing(folder, tmp_path, name, value, told):
    with pytest.raises(CommandError, match=told):
        begin(tmp_path, **{name: value})
    assert not folder.exists()
    assert not User.objects.exists()


@pytest.mark.parametrize("password", ["", "short 1", "password1234", "84759238475"])
def test_a_weak_password_is_refused_and_makes_nothing(folder, tmp_path, password):
    with pytest.raises(CommandError, match=r"(?i)password"):
        begin(tmp_path, password)
    assert not folder.exists()


def test_without_questions_the_password_must_be_given_by_a_file_that_can_be_read(folder, tmp_path):
    with pytest.raises(CommandError, match="--password-file is missing"):
        call_command("begin", no_input=True, **ANSWERS)
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("begin", no_input=True, password_file=str(tmp_path / "none"), **ANSWERS)
    assert not folder.exists()


def test_what_no_option_gives_is_asked_and_asked_again_when_it_is_wrong(
    folder, quick, no_environment_key, monkeypatch, capsys
):
    typed = iter(["", "Typed Works", "feet", "si", "Nowhere", "Europe/Berlin", "", "Ada", "", "ada"])
    secret = iter(["one thing", "another thing", "short", "short", PASSWORD, PASSWORD])
    monkeypatch.setattr(builtins, "input", lambda _question: next(typed))
    monkeypatch.setattr(getpass, "getpass", lambda _question: next(secret))
    call_command("begin")
    told = capsys.readouterr().err
    for words in ("--shop is missing", "Enter us", "America/Chicago", "do not match", "too short"):
        assert words in told
    assert User.objects.get().units == "si"
    text = (folder / "settings.toml").read_text()
    assert 'time_zone = "Europe/Berlin"' in text
    assert 'address = ""' in text
    assert next(typed, None) is None


def test_a_question_left_unanswered_makes_nothing(folder, monkeypatch):
    def end_of_input(_question):
        raise EOFError

    monkeypatch.setattr(builtins, "input", end_of_input)
    with pytest.raises(CommandError, match="Nothing was set up"):
        call_command("begin")
    assert not folder.exists()


@pytest.mark.parametrize("command", ["begin", "demo"])
def test_a_folder_with_other_files_is_left_alone(folder, tmp_path, command):
    folder.mkdir()
    (folder / "letter.txt").write_text("keep me")
    with pytest.raises(CommandError, match=r"not empty|not made by the demo"):
        begin(tmp_path) if command == "begin" else call_command("demo", reset=True, no_serve=True)
    assert [path.name for path in folder.iterdir()] == ["letter.txt"]
    shutil.rmtree(folder)


def test_the_administrator_of_djangos_own_command_is_an_administrator(folder):
    call_command("createsuperuser", interactive=False, username="root", email="", verbosity=0)
    assert User.objects.get(username="root").role == "administrator"
