"""Tablets and PINs in the office: who may see and do what, and what is shown once."""

from __future__ import annotations

import re
from uuid import uuid4

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.people.device_services import enrol_device
from repairs.people.models import Device, Pin
from tests.repairs.factories import make_user
from tests.repairs.people.tablets import (
    OTHER_PIN,
    PIN,
    WRONG,
    Clock,
    at_tablet,
    enter_pin,
    make_person_with_pin,
    make_tablet,
    pin_of,
)

HERE = "192.0.2.7"
pytestmark = pytest.mark.django_db
PAGE, NEW = reverse("office:devices"), reverse("office:new_device")


@pytest.fixture
def administrator(client):
    user = make_user("administrator")
    client.force_login(user)
    return client


def shown(answer) -> str:
    found = re.search(r'class="given__code">([^<]+)<', answer.content.decode())
    return found.group(1) if found else ""


def key(**fields: str) -> dict[str, str]:
    return {"form_key": uuid4().hex, **fields}


def test_an_administrator_adds_a_tablet_and_sees_its_code_once(administrator):
    form = key(name="Bench 2")
    code = shown(administrator.post(NEW, form))
    assert re.fullmatch(r"[A-Z2-9]{4}-[A-Z2-9]{4}-[A-Z2-9]{4}", code)
    assert code not in administrator.get(PAGE).content.decode()
    again = administrator.post(NEW, form, follow=True)
    assert shown(again) == ""
    assert "already shown once" in again.content.decode()
    assert Device.objects.count() == 1
    assert enrol_device(code=code, place=HERE)[0].name == "Bench 2"


def test_a_name_in_use_is_refused_beside_its_field_and_stays(administrator):
    administrator.post(NEW, key(name="Bench 2"))
    answer = administrator.post(NEW, key(name="BENCH 2"))
    assert answer.status_code == 422
    assert "Give this tablet another name" in answer.content.decode()
    assert 'value="BENCH 2"' in answer.content.decode()


def test_a_new_code_and_withdrawing_go_through_the_page(administrator):
    device, _token = make_tablet("Bench 4")
    code = shown(administrator.post(reverse("office:device_code", args=[device.pk]), key()))
    _device, newer = enrol_device(code=code, place=HERE)
    answer = administrator.post(reverse("office:device_withdraw", args=[device.pk]), follow=True)
    assert "Bench 4 disabled" in answer.content.decode()
    assert at_tablet(newer).get(reverse("bench:people")).status_code == 403
    answer = administrator.post(reverse("office:device_code", args=[device.pk]), key())
    assert answer.status_code == 422
    assert "disabled" in answer.content.decode()


def test_a_given_pin_is_shown_once_and_opens_the_bench(administrator):
    _device, token = make_tablet()
    person = make_user()
    form = key()
    pin = shown(administrator.post(reverse("office:person_pin", args=[person.pk]), form))
    assert re.fullmatch("[0-9]{6}", pin)
    assert shown(administrator.post(reverse("office:person_pin", args=[person.pk]), form, follow=True)) == ""
    assert enter_pin(at_tablet(token), person, pin).status_code == 302
    event = Event.objects.get(verb="pin.set")
    assert event.after == {"one_time": True}


def test_nobody_gives_a_pin_to_the_office(administrator):
    answer = administrator.post(reverse("office:person_pin", args=[make_user("office").pk]), key())
    assert answer.status_code == 422
    assert "password only" in answer.content.decode()


def test_a_lead_unlocks_with_a_note_but_sees_and_manages_no_tablet(client, monkeypatch):
    clock = Clock(monkeypatch)
    device, token = make_tablet("Bench 9")
    person = make_person_with_pin(first_name="Nell")
    for _time in range(5):
        enter_pin(at_tablet(token), person, WRONG)
        clock.pass_by(seconds=11)
    client.force_login(make_user("lead"))
    page = client.get(PAGE).content.decode()
    assert "locked until" in page
    assert "Bench 9" not in page
    assert "Give PIN" not in page
    address = reverse("office:person_unlock", args=[person.pk])
    assert client.post(address, key(note="")).status_code == 422
    assert client.post(address, key(note="She told me")).status_code == 302
    assert pin_of(person).locked_until is None
    for other in (
        NEW,
        reverse("office:device_withdraw", args=[device.pk]),
        reverse("office:person_pin", args=[1]),
    ):
        assert client.post(other, key()).status_code == 403


def test_people_choose_their_pin_after_their_password(client):
    person = make_user()
    client.force_login(person)
    address, good = reverse("office:my_pin"), {"password": "right horse 42", "pin": PIN, "again": PIN}
    assert "Tablet PIN" in client.get(reverse("office:me")).content.decode()
    for wrong, word in (
        ({"password": "wrong horse 41"}, "Wrong password"),
        ({"again": WRONG}, "do not match"),
        ({"pin": "111111", "again": "111111"}, "at least three different"),
        ({"pin": "4029", "again": "4029"}, "needs 6"),
        ({"pin": "letter", "again": "letter"}, "4 to 8 digits"),
    ):
        answer = client.post(address, {**good, **wrong})
        assert answer.status_code == 422
        assert word in answer.content.decode()
        assert Pin.objects.count() == 0
    assert client.post(address, good).status_code == 302
    assert not pin_of(person).one_time
    assert client.post(address, {**good, "pin": OTHER_PIN, "again": OTHER_PIN}).status_code == 302
    assert pin_of(person).version == 2


def test_the_office_and_the_administrator_are_asked_for_no_pin(client):
    for role in ("office", "administrator"):
        client.force_login(make_user(role))
        assert "Tablet PIN" not in client.get(reverse("office:me")).content.decode()
        answer = client.post(
            reverse("office:my_pin"), {"password": "right horse 42", "pin": PIN, "again": PIN}
        )
        assert answer.status_code == 422


def test_people_unlock_their_own_pin_after_signing_in_by_password(client):
    _device, token = make_tablet()
    person = make_person_with_pin()
    enter_pin(at_tablet(token), person, WRONG)
    client.force_login(person)
    assert "1 wrong try." in client.get(reverse("office:me")).content.decode()
    client.post(reverse("office:my_pin_unlock"))
    assert pin_of(person).failures == 0


def test_the_page_costs_the_same_queries_for_few_and_for_many(administrator, django_assert_max_num_queries):
    for wanted in (1, 12):
        for _time in range(wanted):
            make_tablet()
            make_person_with_pin()
        with django_assert_max_num_queries(4):
            assert administrator.get(PAGE).status_code == 200
