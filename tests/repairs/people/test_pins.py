"""Setting PINs, trying them, being locked, and the ways back."""

from __future__ import annotations

import re
from datetime import timedelta
from threading import Barrier, Thread

import pytest
from django.db import connection
from django.utils import timezone
from django.utils.formats import date_format

from repairs.ledger.models import Event
from repairs.people import bench_services
from repairs.people.bench_services import PinRefusedError, sign_in_by_password, sign_in_by_pin
from repairs.people.device_services import withdraw_device
from repairs.people.models import PinTry
from repairs.people.pin_hashing import check_pin, hash_pin
from repairs.people.pin_services import PinError, give_one_time_pin, set_own_pin, unlock_pin
from tests.repairs.factories import actor_for, make_user
from tests.repairs.people.tablets import (
    OTHER_PIN,
    PIN,
    WRONG,
    Clock,
    make_person_with_pin,
    make_tablet,
    pin_of,
)
from tests.repairs.transactions import written_together

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def clock(monkeypatch):
    return Clock(monkeypatch)


def try_wrong(device, person, clock, times):
    words = ""
    for _time in range(times):
        clock.pass_by(seconds=11)
        with pytest.raises(PinRefusedError) as refused:
            sign_in_by_pin(device=device, person=person, pin=WRONG)
        words = str(refused.value)
    return words


def test_a_stored_pin_is_hashed_with_pepper_and_person_and_no_event_tells_it():
    one, other = make_person_with_pin(), make_person_with_pin()
    assert pin_of(one).hash != pin_of(other).hash
    assert PIN not in pin_of(one).hash
    event = Event.objects.filter(verb="pin.set").last()
    assert PIN not in f"{event.before}{event.after}{event.reason}"
    assert check_pin(one.pk, PIN, pin_of(one).hash) == (True, False)
    assert check_pin(other.pk, PIN, pin_of(one).hash)[0] is False


def test_a_stolen_table_without_the_pepper_tells_nothing(settings):
    person = make_person_with_pin()
    settings.PIN_PEPPERS = [b"somebody else's guess"]
    assert check_pin(person.pk, PIN, pin_of(person).hash)[0] is False


def test_a_pin_under_a_former_pepper_still_holds_and_is_hashed_anew_when_used(settings):
    (device, _token), person = make_tablet(), make_person_with_pin()
    settings.PIN_PEPPERS = [b"the new one", *settings.PIN_PEPPERS]
    before = pin_of(person).hash
    sign_in_by_pin(device=device, person=person, pin=PIN)
    after = pin_of(person).hash
    assert after != before
    assert check_pin(person.pk, PIN, after) == (True, False)
    settings.PIN_PEPPERS = [b"the new one"]
    assert check_pin(person.pk, PIN, after) == (True, False)


def test_only_the_person_chooses_and_only_roles_of_the_bench_have_one():
    lead, technician = make_user("lead"), make_user()
    with pytest.raises(PinError, match="Only the person"):
        set_own_pin(actor=actor_for(lead), person=technician, pin=PIN)
    for role in ("office", "administrator"):
        person = make_user(role)
        with pytest.raises(PinError, match="password only"):
            set_own_pin(actor=actor_for(person), person=person, pin=PIN)
    with pytest.raises(PinError, match="in sequence") as refused:
        set_own_pin(actor=actor_for(technician), person=technician, pin="123456")
    assert refused.value.field == "pin"


def test_a_given_pin_is_random_holds_a_day_and_may_not_be_kept(clock):
    (device, _token), person, administrator = make_tablet(), make_user(), make_user("administrator")
    pins = {give_one_time_pin(actor=actor_for(administrator), person=person) for _time in range(5)}
    assert len(pins) == 5
    assert all(re.fullmatch("[0-9]{6}", pin) for pin in pins)
    pin = give_one_time_pin(actor=actor_for(administrator), person=person)
    assert sign_in_by_pin(device=device, person=person, pin=pin).one_time
    with pytest.raises(PinError, match="you were given"):
        set_own_pin(actor=actor_for(person), person=person, pin=pin)
    clock.pass_by(hours=24)
    with pytest.raises(PinRefusedError, match="worked once, within 24 hours"):
        sign_in_by_pin(device=device, person=person, pin=pin)
    set_own_pin(actor=actor_for(person), person=person, pin=PIN)
    assert not sign_in_by_pin(device=device, person=person, pin=PIN).one_time


def test_signing_in_is_an_event_of_the_person_on_the_tablet():
    (device, _token), person = make_tablet("Bench 2"), make_person_with_pin()
    sign_in_by_pin(device=device, person=person, pin=PIN)
    event = Event.objects.get(verb="bench.signed_in")
    assert (event.actor, event.device, event.after["by"]) == (person, "Bench 2", "pin")
    assert PinTry.objects.filter(device=device).count() == 0


def test_five_wrong_ones_lock_the_name_and_not_even_the_right_one_opens_it(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    assert "4 tries left" in try_wrong(device, person, clock, 1)
    assert "1 try left" in try_wrong(device, person, clock, 3)
    opens = date_format(timezone.localtime(clock.now + timedelta(minutes=15, seconds=11)), "TIME_FORMAT")
    assert f"locked until {opens}." in try_wrong(device, person, clock, 1)
    assert Event.objects.filter(verb="pin.locked", subject_id=person.pk, device=device.name).count() == 1
    other, _token = make_tablet()
    for tablet in (device, other):
        with pytest.raises(PinRefusedError, match="locked until"):
            sign_in_by_pin(device=tablet, person=person, pin=PIN)
    clock.pass_by(minutes=14, seconds=59)
    with pytest.raises(PinRefusedError):
        sign_in_by_pin(device=device, person=person, pin=PIN)
    clock.pass_by(seconds=2)
    sign_in_by_pin(device=device, person=person, pin=PIN)
    assert (pin_of(person).failures, pin_of(person).lockouts, pin_of(person).locked_until) == (0, 0, None)


def test_a_second_lock_in_a_row_lasts_twice_as_long(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    try_wrong(device, person, clock, 5)
    clock.pass_by(minutes=16)
    assert "4 tries left" in try_wrong(device, person, clock, 1)
    try_wrong(device, person, clock, 4)
    clock.pass_by(minutes=29)
    with pytest.raises(PinRefusedError, match="locked until"):
        sign_in_by_pin(device=device, person=person, pin=PIN)
    clock.pass_by(minutes=2)
    sign_in_by_pin(device=device, person=person, pin=PIN)


def test_a_try_before_the_wait_is_over_is_neither_compared_nor_counted(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    try_wrong(device, person, clock, 3)
    with pytest.raises(PinRefusedError, match="Wait 5 seconds") as refused:
        sign_in_by_pin(device=device, person=person, pin=PIN)
    assert refused.value.seconds == 5
    assert pin_of(person).failures == 3
    clock.pass_by(seconds=5)
    sign_in_by_pin(device=device, person=person, pin=PIN)


def test_the_pin_of_another_person_is_a_wrong_pin():
    (device, _token), person = make_tablet(), make_person_with_pin()
    make_person_with_pin(pin=OTHER_PIN)
    with pytest.raises(PinRefusedError, match="Wrong PIN"):
        sign_in_by_pin(device=device, person=person, pin=OTHER_PIN)


def test_a_tablet_on_which_many_names_are_tried_takes_no_pin_for_a_quarter_of_an_hour(clock):
    (device, _token), (other, _other_token) = make_tablet(), make_tablet()
    people = [make_person_with_pin() for _one in range(5)]
    for person in people[:4]:
        try_wrong(device, person, clock, 3)
    assert "2 tries left" in try_wrong(device, people[4], clock, 3)
    fresh = make_person_with_pin()
    with pytest.raises(PinRefusedError, match="on this tablet"):
        sign_in_by_pin(device=device, person=fresh, pin=PIN)
    sign_in_by_pin(device=other, person=fresh, pin=PIN)
    PinTry.objects.update(at=clock.now)
    clock.pass_by(minutes=14, seconds=59)
    with pytest.raises(PinRefusedError, match="on this tablet"):
        sign_in_by_pin(device=device, person=fresh, pin=PIN)
    clock.pass_by(seconds=1)
    sign_in_by_pin(device=device, person=fresh, pin=PIN)


def test_too_many_wrong_pins_in_the_whole_shop_shut_every_tablet_for_a_while(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    tablets = [make_tablet()[0] for _one in range(5)]
    PinTry.objects.bulk_create(
        PinTry(at=clock.now, device=tablet, person=person) for tablet in tablets for _time in range(12)
    )
    with pytest.raises(PinRefusedError, match="in the shop"):
        sign_in_by_pin(device=device, person=person, pin=PIN)
    clock.pass_by(minutes=16)
    sign_in_by_pin(device=device, person=person, pin=PIN)
    clock.pass_by(days=1)
    with pytest.raises(PinRefusedError):
        sign_in_by_pin(device=device, person=person, pin=WRONG)
    assert PinTry.objects.count() == 1


def test_a_lead_unlocks_with_a_note_and_a_technician_does_not(clock):
    (device, _token), person, lead = make_tablet(), make_person_with_pin(), make_user("lead")
    try_wrong(device, person, clock, 5)
    with pytest.raises(PinError, match="Only a lead"):
        unlock_pin(actor=actor_for(make_user()), person=person, note="It was they")
    with pytest.raises(PinError, match="how you confirmed"):
        unlock_pin(actor=actor_for(lead), person=person, note="  ")
    unlock_pin(actor=actor_for(lead), person=person, note="Stood beside me")
    unlock_pin(actor=actor_for(lead), person=person, note="Stood beside me")
    event = Event.objects.get(verb="pin.unlocked")
    assert (event.actor, event.reason) == (lead, "Stood beside me")
    sign_in_by_pin(device=device, person=person, pin=PIN)


def test_the_password_is_a_way_back_too(clock):
    (device, _token), person = make_tablet(), make_person_with_pin()
    try_wrong(device, person, clock, 5)
    sign_in_by_password(device=device, person=person)
    assert list(Event.objects.order_by("id").values_list("verb", flat=True))[-2:] == [
        "pin.unlocked",
        "bench.signed_in",
    ]
    sign_in_by_pin(device=device, person=person, pin=PIN)


def test_a_withdrawn_tablet_takes_no_pin():
    (device, _token), person = make_tablet(), make_person_with_pin()
    withdraw_device(actor=actor_for(make_user("administrator")), device=device)
    with pytest.raises(PinRefusedError, match="just disabled"):
        sign_in_by_pin(device=device, person=person, pin=PIN)


def test_a_right_and_a_wrong_pin_are_hashed_once_each(monkeypatch):
    hashed = []
    from repairs.people import pin_hashing

    real = pin_hashing.check_password
    monkeypatch.setattr(pin_hashing, "check_password", lambda *given: hashed.append(1) or real(*given))
    (device, _token), person = make_tablet(), make_person_with_pin()
    sign_in_by_pin(device=device, person=person, pin=PIN)
    with pytest.raises(PinRefusedError):
        sign_in_by_pin(device=device, person=person, pin=WRONG)
    assert len(hashed) == 2
    assert hash_pin(1, PIN) != hash_pin(1, PIN)


@pytest.mark.django_db(transaction=True)
def test_many_at_once_get_no_more_tries_than_are_allowed(monkeypatch):
    (device, _token), person = make_tablet(), make_person_with_pin()
    compared, start = [], Barrier(12)
    real = bench_services.check_pin
    monkeypatch.setattr(bench_services, "check_pin", lambda *given: compared.append(1) or real(*given))

    def attempt():
        start.wait()
        try:
            sign_in_by_pin(device=device, person=person, pin=WRONG)
        except PinRefusedError:
            pass
        finally:
            connection.close()

    threads = [Thread(target=attempt) for _one in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(compared) <= 2
    assert pin_of(person).failures == len(compared)


def test_what_signing_in_writes_is_written_together(clock):
    (device, _token), person, lead = make_tablet(), make_person_with_pin(), actor_for(make_user("lead"))
    own = actor_for(person)
    with written_together():
        try_wrong(device, person, clock, 5)
        sign_in_by_password(device=device, person=person)
        try_wrong(device, person, clock, 2)
        unlock_pin(actor=lead, person=person, note="Stood beside me")
        set_own_pin(actor=own, person=person, pin=OTHER_PIN)
        sign_in_by_pin(device=device, person=person, pin=OTHER_PIN)
    assert pin_of(person).failures == 0


def test_the_password_of_one_opens_only_that_ones_pin_and_says_so_only_where_one_was_tried_wrongly(clock):
    (device, _token), locked, person = make_tablet(), make_person_with_pin(), make_person_with_pin()
    try_wrong(device, locked, clock, 5)
    sign_in_by_password(device=device, person=person)
    assert not Event.objects.filter(verb="pin.unlocked").exists()
    assert pin_of(locked).failures == 5
    assert Event.objects.get(verb="bench.signed_in").after == {"by": "password", "device": device.name}
    sign_in_by_pin(device=device, person=person, pin=PIN)
    assert Event.objects.filter(verb="bench.signed_in").last().after == {"by": "pin", "device": device.name}


def test_a_pin_that_is_changed_while_the_old_one_is_compared_does_not_let_the_old_one_in(monkeypatch):
    (device, _token), person = make_tablet(), make_person_with_pin()
    real = bench_services.check_pin

    def compared_slowly(*given):
        answer = real(*given)
        set_own_pin(actor=actor_for(person), person=person, pin=OTHER_PIN)
        return answer

    monkeypatch.setattr(bench_services, "check_pin", compared_slowly)
    with pytest.raises(PinRefusedError, match="just changed") as refused:
        sign_in_by_pin(device=device, person=person, pin=PIN)
    assert (refused.value.field, refused.value.seconds) == ("pin", 0)
    assert not Event.objects.filter(verb="bench.signed_in").exists()


def test_a_given_pin_opens_until_its_day_is_over(clock):
    (device, _token), person, administrator = make_tablet(), make_user(), make_user("administrator")
    pin = give_one_time_pin(actor=actor_for(administrator), person=person)
    clock.pass_by(hours=23, minutes=59)
    assert sign_in_by_pin(device=device, person=person, pin=pin).one_time
    clock.pass_by(minutes=2)
    with pytest.raises(PinRefusedError, match="within 24 hours"):
        sign_in_by_pin(device=device, person=person, pin=pin)
