"""Nobody touched the tablet for a while: the PIN is asked again, and what was sent goes on its way after it."""

from __future__ import annotations

import html
import re

import pytest
from django.conf import settings
from django.urls import reverse

from repairs.bench.kept_forms import read_kept_form
from repairs.ledger.models import Event
from repairs.work_orders.models import HandOver
from tests.repairs.factories import make_job, make_user, picture_file
from tests.repairs.people.tablets import OTHER_PIN, PIN, WRONG, Clock, at_the_bench, enter_pin, make_tablet

pytestmark = pytest.mark.django_db
HOME, GO_ON = reverse("bench:home"), reverse("bench:go_on")


@pytest.fixture
def clock(monkeypatch):
    return Clock(monkeypatch)


def kept_in(answer) -> str:
    return html.unescape(re.search(r'name="kept" value="([^"]*)"', answer.content.decode()).group(1))


def hidden_fields(answer) -> dict[str, str]:
    found = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', answer.content.decode())
    return {name: html.unescape(value) for name, value in found}


def note(number: str) -> tuple[str, dict[str, str]]:
    return reverse("bench:hand_over", args=[number]), {
        "done": 'Rotor <b>balanced</b> & "ready"\nnot yet painted', "form_key": "key-1",
    }  # fmt: skip


def test_while_somebody_is_there_no_pin_is_asked(clock):
    client, _person, _device = at_the_bench()
    for _time in range(6):
        clock.pass_by(minutes=4, seconds=50)
        assert client.get(HOME).status_code == 200


def test_after_five_minutes_the_pin_is_asked_and_leads_back_to_the_page(clock):
    client, _person, _device = at_the_bench()
    address = f"{reverse('bench:scan')}?from=here"
    clock.pass_by(minutes=5)
    answer = client.get(address)
    assert answer.url == f"{GO_ON}?next=%2Fbench%2Fscan%2F%3Ffrom%3Dhere"
    page = client.get(answer.url).content.decode()
    assert "5 minutes" in page
    key = client.cookies[settings.SESSION_COOKIE_NAME].value
    assert client.post(GO_ON, {"pin": PIN, "next": address}).url == address
    assert client.cookies[settings.SESSION_COOKIE_NAME].value != key
    assert client.get(address).status_code == 200
    assert Event.objects.filter(verb="bench.signed_in", after__again=True).count() == 1


def test_the_shop_sets_how_long_that_is(clock, settings):
    settings.BENCH_IDLE_MINUTES = 1
    client, _person, _device = at_the_bench()
    clock.pass_by(seconds=61)
    assert client.get(HOME).url.startswith(GO_ON)


def test_looking_at_the_question_does_not_open_anything(clock):
    client, _person, _device = at_the_bench()
    clock.pass_by(minutes=6)
    client.get(GO_ON)
    assert client.get(HOME).url.startswith(GO_ON)
    assert client.post(GO_ON, {"pin": WRONG}).status_code == 422
    assert client.get(HOME).url.startswith(GO_ON)
    assert client.post(GO_ON, {"pin": "abc"}).status_code == 422


def test_what_pages_ask_by_themselves_does_not_count_as_somebody(clock):
    client, _person, _device = at_the_bench()
    for _time in range(3):
        clock.pass_by(minutes=2)
        client.get(reverse("bench:outbox_token"), headers={"x-outbox": "later"})
        client.get(reverse("bench:today"))
        client.get(HOME, headers={"sec-fetch-mode": "cors"})
    assert client.get(HOME).url.startswith(GO_ON)


def test_a_sent_form_is_kept_unseen_and_goes_on_after_the_pin(clock):
    client, person, device = at_the_bench()
    address, fields = note(make_job().number)
    clock.pass_by(minutes=6)
    answer = client.post(address, fields)
    assert answer.status_code == 401
    asked = answer.content.decode()
    assert "<html" in asked
    assert 'name="pin"' in asked
    assert "balanced" not in asked
    assert HandOver.objects.count() == 0
    wrong = client.post(GO_ON, {"pin": WRONG, "kept": kept_in(answer)})
    assert wrong.status_code == 422
    on_its_way = client.post(GO_ON, {"pin": PIN, "kept": kept_in(wrong)})
    assert on_its_way.status_code == 200
    assert f'action="{address}"' in on_its_way.content.decode()
    sent = hidden_fields(on_its_way)
    assert {name: sent[name] for name in fields} == fields
    client.post(address, {name: sent[name] for name in fields})
    assert HandOver.objects.get().done == fields["done"]
    event = Event.objects.get(verb="hand_over.written")
    assert (event.actor, event.device) == (person, device.name)


def test_neither_pin_nor_password_nor_token_is_kept(clock):
    client, person, _device = at_the_bench()
    address, fields = note(make_job().number)
    clock.pass_by(minutes=6)
    answer = client.post(
        address, {**fields, "pin": PIN, "password": "right horse 42", "csrfmiddlewaretoken": "t"}
    )
    kept = read_kept_form(kept_in(answer), person.pk)
    assert kept is not None
    assert dict(kept.fields) == fields


def test_a_kept_form_is_nobody_elses_and_cannot_be_made_up(clock):
    client, person, _device = at_the_bench()
    address, fields = note(make_job().number)
    clock.pass_by(minutes=6)
    kept = kept_in(client.post(address, fields))
    assert read_kept_form(kept, person.pk) is not None
    assert read_kept_form(kept, person.pk + 1) is None
    assert read_kept_form(kept[:-2] + "xx", person.pk) is None
    answer = client.post(GO_ON, {"pin": PIN, "kept": kept[:-2] + "xx", "next": HOME})
    assert answer.url == HOME
    assert "Enter it again" in client.get(HOME).content.decode()


def test_htmx_gets_the_question_in_the_place_of_the_page(clock):
    client, _person, _device = at_the_bench()
    address, fields = note(make_job().number)
    clock.pass_by(minutes=6)
    here = {"hx-request": "true", "hx-current-url": f"http://testserver{reverse('bench:scan')}"}
    answer = client.post(address, fields, headers=here)
    assert answer.status_code == 401
    assert (answer.headers["HX-Retarget"], answer.headers["HX-Reswap"]) == ("#main", "innerHTML")
    assert "<html" not in answer.content.decode()
    assert kept_in(answer)
    asked = client.get(HOME, {"number": "26"}, headers=here)
    assert asked.headers["HX-Redirect"] == f"{GO_ON}?next=%2Fbench%2Fscan%2F"


def test_the_outbox_is_told_that_nobody_is_signed_in_and_keeps_its_entry(clock):
    client, person, _device = at_the_bench()
    address, fields = note(make_job().number)
    clock.pass_by(minutes=6)
    for answer in (
        client.get(reverse("bench:outbox_token"), headers={"x-outbox": "later"}),
        client.post(address, fields, headers={"x-outbox": "at-once", "x-outbox-person": str(person.pk)}),
    ):
        assert (answer.status_code, answer.json()["state"]) == (401, "signed_out")
    client.post(GO_ON, {"pin": PIN})
    answer = client.post(address, fields, headers={"x-outbox": "later", "x-outbox-person": str(person.pk)})
    assert answer.json()["state"] == "done"


def test_a_script_that_asks_for_a_page_of_a_shut_tablet_gets_no_page(clock):
    client, _person, _device = at_the_bench()
    clock.pass_by(minutes=6)
    answer = client.get(HOME, headers={"sec-fetch-mode": "cors"})
    assert (answer.status_code, answer.content, answer["Content-Type"]) == (401, b"", "text/plain")


def test_photos_cannot_be_kept_and_that_is_said(clock):
    client, _person, _device = at_the_bench()
    number = make_job().number
    clock.pass_by(minutes=6)
    answer = client.post(
        reverse("bench:photos", args=[number]), {"files": picture_file(), "caption": "Stack", "form_key": "k"}
    )
    assert "Choose them again" in answer.content.decode()


def test_somebody_else_at_the_locked_tablet_picks_their_own_name(clock):
    client, _person, _device = at_the_bench()
    clock.pass_by(minutes=6)
    assert client.post(reverse("bench:switch")).url == reverse("bench:people")
    from tests.repairs.people.tablets import make_person_with_pin

    other = make_person_with_pin(pin=OTHER_PIN)
    assert client.post(GO_ON, {"pin": OTHER_PIN}).status_code == 302
    assert enter_pin(client, other, OTHER_PIN).url == HOME


def test_the_password_goes_on_too_and_opens_a_locked_pin(clock):
    client, _person, _device = at_the_bench()
    clock.pass_by(minutes=6)
    for _time in range(5):
        clock.pass_by(seconds=11)
        client.post(GO_ON, {"pin": WRONG})
    assert "locked until" in client.post(GO_ON, {"pin": PIN}).content.decode()
    assert client.post(GO_ON, {"password": "wrong horse 41"}).status_code == 422
    assert client.post(GO_ON, {"password": "right horse 42", "next": HOME}).url == HOME
    assert client.get(HOME).status_code == 200


def test_a_password_session_on_a_tablet_is_shut_too_and_no_pin_opens_it(client, clock):
    _device, token = make_tablet()
    client.cookies[settings.DEVICE_COOKIE] = token
    lead = make_user("lead")
    client.force_login(lead)
    board = reverse("office:board")
    client.get(board)
    clock.pass_by(minutes=6)
    assert client.get(board).url == f"{GO_ON}?next=%2Foffice%2F"
    assert client.post(GO_ON, {"pin": PIN, "next": board}).status_code == 422
    assert client.get(board).status_code == 302
    assert client.post(GO_ON, {"password": "right horse 42", "next": board}).url == board
    assert client.get(board).status_code == 200
