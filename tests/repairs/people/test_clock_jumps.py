"""A clock that is set back or forward neither leaves a tablet open nor shuts a name for weeks."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from repairs.people.bench_services import PinRefusedError, locked_words, sign_in_by_pin
from repairs.people.models import PinTry
from repairs.people.pin_rules import LOCK, MOST_ON_A_DEVICE, MOST_TRIES
from repairs.people.pin_services import give_one_time_pin
from tests.repairs.factories import actor_for, make_user
from tests.repairs.people.tablets import (
    PIN,
    WRONG,
    Clock,
    at_the_bench,
    make_person_with_pin,
    make_tablet,
    pin_of,
)

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def clock(monkeypatch):
    return Clock(monkeypatch)


def refused(device, person, pin=WRONG) -> PinRefusedError:
    with pytest.raises(PinRefusedError) as error:
        sign_in_by_pin(device=device, person=person, pin=pin)
    return error.value


@pytest.mark.parametrize("jump", [{"minutes": -1}, {"minutes": -10}, {"days": -40}, {"hours": 8}])
def test_a_tablet_asks_for_the_pin_after_the_clock_jumped(jump, clock):
    client, _person, _device = at_the_bench()
    assert client.get(reverse("bench:home")).status_code == 200
    clock.pass_by(**jump)
    answer = client.get(reverse("bench:home"))
    assert answer.status_code == 302
    assert answer.url.startswith(reverse("bench:go_on"))
    assert client.post(reverse("bench:go_on"), {"pin": PIN}).status_code == 302
    assert client.get(reverse("bench:home")).status_code == 200


def test_a_clock_that_is_corrected_by_a_moment_asks_for_nothing(clock):
    client, _person, _device = at_the_bench()
    clock.pass_by(seconds=-2)
    assert client.get(reverse("bench:home")).status_code == 200


def test_one_wrong_pin_and_a_clock_set_back_never_make_a_wait_of_weeks(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    for _time in range(3):
        clock.pass_by(seconds=11)
        refused(device, person)
    clock.pass_by(days=-40)
    error = refused(device, person, PIN)
    assert 0 < error.seconds <= 10
    assert "3456" not in str(error)
    clock.pass_by(seconds=10)
    assert sign_in_by_pin(device=device, person=person, pin=PIN)


def test_a_lock_holds_its_full_time_from_when_the_clock_was_set_back_and_then_ends(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    for _time in range(MOST_TRIES):
        clock.pass_by(seconds=11)
        refused(device, person)
    clock.pass_by(days=-40)
    assert "locked" in str(refused(device, person, PIN))
    kept = pin_of(person)
    assert kept.locked_until == clock.now + LOCK
    assert re.search(r"locked until", locked_words(kept))
    clock.pass_by(minutes=14, seconds=59)
    refused(device, person, PIN)
    clock.pass_by(seconds=1)
    assert sign_in_by_pin(device=device, person=person, pin=PIN)


def test_the_page_of_a_locked_name_says_a_time_of_today_after_the_clock_was_set_back(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    for _time in range(MOST_TRIES):
        clock.pass_by(seconds=11)
        refused(device, person)
    clock.pass_by(days=-40)
    assert pin_of(person).open_again_at(clock.now) == clock.now + LOCK


def test_wrong_pins_of_a_crowd_do_not_shut_a_tablet_until_the_clock_has_caught_up(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    other = make_person_with_pin()
    PinTry.objects.bulk_create(
        PinTry(at=clock.now, device=device, person=other) for _time in range(MOST_ON_A_DEVICE)
    )
    clock.pass_by(days=-40)
    assert "Too many wrong PINs" in str(refused(device, person, PIN))
    clock.pass_by(minutes=16)
    assert sign_in_by_pin(device=device, person=person, pin=PIN)


def test_a_pin_for_one_use_is_over_where_the_clock_no_longer_tells(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    pin = give_one_time_pin(actor=actor_for(make_user("administrator")), person=person)
    clock.pass_by(days=-40)
    assert "worked once" in str(refused(device, person, pin))
