"""Enrolling a tablet by its code, and taking it out of use."""

from __future__ import annotations

from threading import Barrier, Thread

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.people.device_services import (
    CODE_HOLDS,
    CODE_SIGNS,
    CODES,
    DeviceError,
    add_device,
    enrol_device,
    give_new_code,
    withdraw_device,
)
from repairs.people.models import Device
from tests.repairs.factories import actor_for, make_user
from tests.repairs.people.tablets import Clock, at_tablet, make_tablet

HERE = "192.0.2.7"
pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def clock(monkeypatch):
    return Clock(monkeypatch)


@pytest.fixture
def administrator():
    return make_user("administrator")


@pytest.fixture
def added(administrator):
    return add_device(actor=actor_for(administrator), name="Bench 2")


def test_a_code_is_readable_and_neither_it_nor_the_token_is_stored(added, administrator):
    device, code = added
    assert len(code) == 12
    assert set(code) <= set(CODE_SIGNS)
    assert not set("01OIL") & set(CODE_SIGNS)
    assert device.state == "code_waits"
    device, token = enrol_device(code=f" {code[:4].lower()}-{code[4:8]} {code[8:]} ", place=HERE)
    assert device.state == "in_use"
    assert len(token) >= 43
    row = str(Device.objects.values().get())
    events = str(list(Event.objects.values("after", "before", "reason")))
    assert code not in row + events
    assert token not in row + events
    event = Event.objects.get(verb="device.enrolled")
    assert (event.actor, event.device) == (administrator, "Bench 2")


def test_a_code_works_once(added):
    enrol_device(code=added[1], place=HERE)
    with pytest.raises(DeviceError, match="is not valid"):
        enrol_device(code=added[1], place=HERE)


def test_a_code_runs_out_after_a_quarter_of_an_hour(added, clock):
    clock.pass_by(minutes=15, seconds=1)
    with pytest.raises(DeviceError, match="is not valid"):
        enrol_device(code=added[1], place=HERE)
    added[0].refresh_from_db()
    assert added[0].state == "code_expired"


@pytest.mark.parametrize("code", ["", "-", "ABCDEFGHJK", "x" * 500, "' OR 1=1"])
def test_what_is_no_code_enrols_nothing(added, code):
    with pytest.raises(DeviceError):
        enrol_device(code=code, place=HERE)
    added[0].refresh_from_db()
    assert added[0].state == "code_waits"


def try_wrong_codes(times, place):
    for _time in range(times):
        with pytest.raises(DeviceError):
            enrol_device(code="ABCDEFGHJKMN", place=place)


def test_strangers_who_try_codes_block_nobody_elsewhere(added):
    try_wrong_codes(CODES.most + 5, "203.0.113.9")
    with pytest.raises(DeviceError, match="Wait 3 s"):
        enrol_device(code=added[1], place="203.0.113.9")
    assert enrol_device(code=added[1], place=HERE)[0].state == "in_use"


def test_where_too_many_codes_were_tried_the_right_one_still_passes_with_a_delay(added, clock):
    try_wrong_codes(CODES.most + 5, HERE)
    clock.pass_by(seconds=3)
    assert enrol_device(code=added[1], place=HERE)[0].state == "in_use"


def test_a_code_given_before_the_clock_was_set_back_is_over(added, clock):
    clock.pass_by(days=-40)
    with pytest.raises(DeviceError, match="is not valid"):
        enrol_device(code=added[1], place=HERE)
    added[0].refresh_from_db()
    assert added[0].state == "code_expired"
    assert CODE_HOLDS.total_seconds() == 900


def test_two_tablets_in_use_never_bear_one_name(added, administrator):
    with pytest.raises(DeviceError, match="in use"):
        add_device(actor=actor_for(administrator), name=" bench  2")
    withdraw_device(actor=actor_for(administrator), device=added[0])
    assert add_device(actor=actor_for(administrator), name="Bench 2")[0].state == "code_waits"


def test_a_new_code_lets_the_tablet_work_on_until_it_is_typed(administrator):
    device, token = make_tablet()
    device, code = give_new_code(actor=actor_for(administrator), device=device)
    assert at_tablet(token).get(reverse("bench:people")).status_code == 200
    _device, newer = enrol_device(code=code, place=HERE)
    assert at_tablet(token).get(reverse("bench:people")).status_code == 403
    assert at_tablet(newer).get(reverse("bench:people")).status_code == 200


def test_withdrawing_is_final_and_an_event_once(administrator):
    device, token = make_tablet()
    for _time in range(2):
        withdraw_device(actor=actor_for(administrator), device=device)
    assert Event.objects.filter(verb="device.withdrawn").count() == 1
    assert at_tablet(token).get(reverse("bench:people")).status_code == 403
    with pytest.raises(DeviceError, match="is disabled"):
        give_new_code(actor=actor_for(administrator), device=device)


def test_the_page_takes_a_code_and_leaves_a_cookie_that_no_script_reads(added):
    client = Client()
    answer = client.post(reverse("bench:enrol"), {"code": added[1]})
    assert (answer.status_code, answer.url) == (302, reverse("bench:people"))
    cookie = answer.cookies[settings.DEVICE_COOKIE]
    assert (cookie["httponly"], cookie["samesite"], cookie["path"]) == (True, "Lax", "/")
    assert cookie["max-age"] == settings.DEVICE_COOKIE_AGE
    assert "Bench 2" in client.get(reverse("bench:people")).content.decode()


def test_the_cookie_goes_over_https_alone_where_the_shop_has_it(added, settings):
    settings.SESSION_COOKIE_SECURE = True
    answer = Client().post(reverse("bench:enrol"), {"code": added[1]})
    assert answer.cookies[settings.DEVICE_COOKIE]["secure"] is True


def test_the_page_says_what_is_wrong_with_a_code_and_keeps_it(added):
    answer = Client().post(reverse("bench:enrol"), {"code": "WRONGCODES"})
    assert answer.status_code == 422
    assert "is not valid" in answer.content.decode()
    assert 'value="WRONGCODES"' in answer.content.decode()
    assert settings.DEVICE_COOKIE not in answer.cookies


@pytest.mark.django_db(transaction=True)
def test_of_two_tablets_with_one_code_one_is_enrolled():
    _device, code = add_device(actor=actor_for(make_user("administrator")), name="Bench 3")
    answers, start = [], Barrier(2)

    def attempt():
        start.wait()
        try:
            answers.append(enrol_device(code=code, place=HERE)[1])
        except DeviceError:
            answers.append("")
        finally:
            connection.close()

    threads = [Thread(target=attempt) for _one in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(map(bool, answers)) == [False, True]
    assert Event.objects.filter(verb="device.enrolled").count() == 1
