"""At a shared tablet: pick a name, enter the PIN, reach the bench and nothing else, change over."""

from __future__ import annotations

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.people.bench_services import PinRefusedError, sign_in_by_pin
from repairs.people.device_services import withdraw_device
from repairs.people.models import Device
from repairs.people.pin_services import give_one_time_pin, set_own_pin
from repairs.people.services import change_person
from repairs.work_orders.models import HandOver, StackRecord, Stage
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.people.tablets import (
    OTHER_PIN,
    PIN,
    WRONG,
    Clock,
    at_tablet,
    at_the_bench,
    enter_pin,
    make_person_with_pin,
    make_tablet,
    pin_of,
)
from tests.repairs.signed_stacks import with_reasons

pytestmark = pytest.mark.django_db
HOME, PEOPLE = reverse("bench:home"), reverse("bench:people")


@pytest.fixture
def clock(monkeypatch):
    return Clock(monkeypatch)


def test_an_enrolled_tablet_without_a_person_shows_the_people_who_have_a_pin():
    _device, token = make_tablet("Winding room")
    make_person_with_pin(first_name="Nell", last_name="Turner")
    make_person_with_pin("lead", first_name="Lee", last_name="Mast")
    make_user(first_name="Without", last_name="Pin")
    gone = make_person_with_pin(first_name="Gone", last_name="Away")
    type(gone).objects.filter(pk=gone.pk).update(is_active=False)
    client = at_tablet(token)
    answer = client.get(HOME)
    assert answer.url == f"{PEOPLE}?next=%2Fbench%2F"
    page = client.get(answer.url).content.decode()
    assert "Nell Turner" in page
    assert "Lee Mast" in page
    assert "Winding room" in page
    assert "Without Pin" not in page
    assert "Gone Away" not in page


def test_a_device_that_is_not_enrolled_shows_no_names_and_takes_no_pin():
    person = make_person_with_pin(first_name="Nell", last_name="Turner")
    for client in (Client(), at_tablet("made-up-token"), at_tablet("x" * 5000)):
        answer = client.get(PEOPLE)
        assert answer.status_code == 403
        assert "Nell" not in answer.content.decode()
        assert enter_pin(client, person).url == PEOPLE
        assert client.get(HOME).url.startswith(reverse("login"))


def test_the_pin_opens_the_bench_at_the_page_that_was_asked_for():
    _device, token = make_tablet()
    person, job = make_person_with_pin(), make_job()
    client, wanted = at_tablet(token), reverse("bench:job", args=[job.number])
    assert client.get(wanted).url == f"{PEOPLE}?next={wanted.replace('/', '%2F')}"
    answer = enter_pin(client, person, next=wanted)
    assert answer.url == wanted
    assert client.get(wanted).status_code == 200


@pytest.mark.parametrize(
    "address", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)"]
)
def test_nobody_is_led_out_of_the_shop_after_signing_in(address):
    _device, token = make_tablet()
    assert enter_pin(at_tablet(token), make_person_with_pin(), next=address).url == HOME


@pytest.mark.parametrize("typed", ["letters", "40 2917", "4029175503948571", "٤٠٢٩١٧", "", "123"])
def test_what_is_no_pin_is_refused_in_words_not_counted_and_not_shown_again(typed):
    _device, token = make_tablet()
    person = make_person_with_pin()
    answer = enter_pin(at_tablet(token), person, typed)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "4 to 8 digits" in page or "required" in page
    assert not typed or f'value="{typed}"' not in page
    assert pin_of(person).failures == 0


def test_a_wrong_pin_says_how_many_tries_are_left_and_a_locked_name_the_ways_back(clock):
    _device, token = make_tablet()
    client, person = at_tablet(token), make_person_with_pin()
    answer = enter_pin(client, person, WRONG)
    assert (answer.status_code, "4 tries left" in answer.content.decode()) == (422, True)
    for _time in range(4):
        clock.pass_by(seconds=11)
        answer = enter_pin(client, person, WRONG)
    assert "locked until" in answer.content.decode()
    page = client.get(reverse("bench:pin", args=[person.pk])).content.decode()
    assert "ask a lead or administrator to unlock it" in page
    assert reverse("bench:pin_password", args=[person.pk]) in page
    assert client.get(HOME).status_code == 302


def test_the_password_opens_the_bench_alone_and_the_locked_pin():
    _device, token = make_tablet()
    client, person = at_tablet(token), make_person_with_pin("lead")
    address = reverse("bench:pin_password", args=[person.pk])
    enter_pin(client, person, WRONG)
    assert client.post(address, {"password": "wrong horse 41"}).status_code == 422
    assert client.post(address, {"password": "right horse 42"}).url == HOME
    assert pin_of(person).failures == 0
    assert client.get(HOME).status_code == 200
    assert client.get(reverse("office:board")).status_code == 403


def test_what_is_entered_carries_the_person_and_the_tablet():
    client, person, device = at_the_bench()
    job = make_job()
    answer = client.post(
        reverse("bench:hand_over", args=[job.number]),
        {"done": "Stator washed.", "form_key": "k1"},
    )
    assert answer.status_code == 302
    assert HandOver.objects.get().written_by == person
    event = Event.objects.get(verb="hand_over.written")
    assert (event.actor, event.device) == (person, device.name)
    page = client.get(HOME).content.decode()
    assert f'data-person="{person.pk}"' in page
    assert f'data-device="{device.name}"' in page


def test_a_technician_with_a_pin_cannot_approve_and_a_lead_with_one_can():
    record = make_stack_record(make_job(), Stage.SPECIFIED)
    address = reverse("bench:stack_act", args=[record.job.number, Stage.SPECIFIED])
    approve = {"do": "approve", "version": str(record.version)}
    technician, _person, _device = at_the_bench("technician")
    assert technician.post(address, {**approve, "form_key": "k1"}).status_code == 403
    engineer, _person, _device = at_the_bench("engineer")
    assert engineer.post(address, {**approve, "form_key": "k2"}).status_code == 422
    lead, person, device = at_the_bench("lead")
    with_reasons(actor_for(person), record)
    assert lead.post(address, {**approve, "form_key": "k3"}).status_code in {200, 302}
    assert StackRecord.objects.get(pk=record.pk).is_frozen
    event = Event.objects.get(verb="stack.approved")
    assert (event.actor, event.device) == (person, device.name)


def test_a_page_of_the_office_answers_in_words_with_a_way_back():
    client, _person, _device = at_the_bench("lead")
    answer = client.get(reverse("office:policy"))
    page = answer.content.decode()
    assert answer.status_code == 403
    assert "not for the bench" in page
    assert f'href="{HOME}"' in page
    assert f"{reverse('login')}?next=%2Foffice%2Fpolicy%2F" in page


def test_the_start_leads_back_to_the_bench_whatever_the_role():
    client, _person, _device = at_the_bench("lead")
    assert client.get("/").url == HOME


def test_pages_at_the_bench_offer_no_link_that_is_refused_and_one_tap_to_change_over():
    client, _person, _device = at_the_bench("lead")
    job = make_job()
    for address in (HOME, reverse("bench:job", args=[job.number])):
        page = client.get(address).content.decode()
        assert 'href="/office/' not in page
        assert f'action="{reverse("bench:switch")}"' in page


def test_each_sign_in_has_a_session_key_of_its_own_and_nothing_of_the_former_person():
    device, token = make_tablet()
    first, second = make_person_with_pin(), make_person_with_pin(pin=OTHER_PIN)
    client = at_tablet(token)
    client.get(PEOPLE)
    enter_pin(client, first)
    key = client.cookies[settings.SESSION_COOKIE_NAME].value
    session = client.session
    session["left_behind"] = "of the first"
    session.save()
    enter_pin(client, second, OTHER_PIN)
    assert client.cookies[settings.SESSION_COOKIE_NAME].value != key
    assert "left_behind" not in client.session
    assert client.session["_auth_user_id"] == str(second.pk)
    old = at_tablet(token)
    old.cookies[settings.SESSION_COOKIE_NAME] = key
    assert old.get(HOME).url.startswith(PEOPLE)
    assert Event.objects.get(verb="bench.signed_out").actor == first
    assert Event.objects.get(verb="bench.signed_out").device == device.name


def test_one_tap_leaves_the_tablet_to_the_next_person():
    client, person, device = at_the_bench()
    answer = client.post(reverse("bench:switch"))
    assert answer.url == PEOPLE
    assert "_auth_user_id" not in client.session
    assert client.get(HOME).url.startswith(PEOPLE)
    event = Event.objects.get(verb="bench.signed_out")
    assert (event.actor, event.device) == (person, device.name)
    assert client.post(reverse("bench:switch")).url == PEOPLE
    assert Event.objects.filter(verb="bench.signed_out").count() == 1


def test_words_for_the_former_person_are_not_read_by_the_next():
    client, _person, _device = at_the_bench()
    job = make_job()
    client.post(reverse("bench:hand_over", args=[job.number]), {"done": "Secret words", "form_key": "k3"})
    client.post(reverse("bench:switch"))
    assert 'class="message message--success"' not in client.get(PEOPLE).content.decode()


def test_a_withdrawn_tablet_is_refused_at_the_next_request_and_stays_so():
    client, _person, device = at_the_bench()
    assert client.get(HOME).status_code == 200
    withdraw_device(actor=actor_for(make_user("administrator")), device=device)
    answer = client.get(HOME)
    assert answer.status_code == 403
    assert "not enrolled" in answer.content.decode()
    assert "_auth_user_id" not in client.session
    assert client.get(HOME).url.startswith(reverse("login"))


@pytest.mark.parametrize("device", ["none", "another tablet"])
def test_a_session_of_the_bench_is_worth_nothing_on_another_device(device):
    client, _person, _device = at_the_bench()
    thief = Client() if device == "none" else at_tablet(make_tablet()[1])
    thief.cookies[settings.SESSION_COOKIE_NAME] = client.cookies[settings.SESSION_COOKIE_NAME].value
    assert thief.get(HOME).status_code == 403
    assert thief.get(HOME).status_code == 302


def test_somebody_shut_out_is_refused_at_the_next_request():
    client, person, _device = at_the_bench()
    administrator = make_user("administrator")
    change_person(actor=actor_for(administrator), person=person, version=person.version, is_active=False)
    assert client.get(HOME).url.startswith(PEOPLE)
    assert client.post(reverse("bench:scan"), {"code": "x"}).url.startswith(PEOPLE)
    assert "_auth_user_id" not in client.session


@pytest.mark.parametrize("role", ["office", "administrator"])
def test_somebody_whose_role_works_by_password_alone_now_is_refused_at_the_next_request(role):
    client, person, device = at_the_bench()
    administrator = make_user("administrator")
    change_person(actor=actor_for(administrator), person=person, version=person.version, role=role)
    assert client.get(HOME).url.startswith(PEOPLE)
    assert "_auth_user_id" not in client.session
    person.refresh_from_db()
    with pytest.raises(PinRefusedError, match="just disabled"):
        sign_in_by_pin(device=device, person=person, pin=PIN)


def test_a_new_pin_ends_what_the_old_one_opened():
    client, person, _device = at_the_bench()
    set_own_pin(actor=actor_for(person), person=person, pin=OTHER_PIN)
    answer = client.get(HOME)
    assert answer.url.startswith(PEOPLE)
    assert "That person or PIN has changed" in client.get(answer.url).content.decode()
    assert enter_pin(client, person, PIN).status_code == 422
    assert enter_pin(client, person, OTHER_PIN).status_code == 302


def test_a_pin_for_one_use_leads_to_choosing_ones_own_before_anything_else():
    _device, token = make_tablet()
    person, administrator = make_user(), make_user("administrator")
    pin = give_one_time_pin(actor=actor_for(administrator), person=person)
    client = at_tablet(token)
    enter_pin(client, person, pin)
    choose = reverse("bench:new_pin")
    for address in (HOME, reverse("bench:scan"), reverse("bench:outbox")):
        assert client.get(address).url.startswith(choose)
    assert client.get(choose).status_code == 200
    for new, again, word in (
        (pin, pin, "you were given"),
        ("123456", "123456", "in sequence"),
        (PIN, WRONG, "do not match"),
    ):
        answer = client.post(choose, {"pin": new, "again": again})
        assert answer.status_code == 422
        assert word in answer.content.decode()
    assert client.post(choose, {"pin": PIN, "again": PIN}).status_code == 302
    assert client.get(HOME).status_code == 200
    assert client.get(choose).status_code == 302
    client.post(reverse("bench:switch"))
    assert enter_pin(client, person, PIN).status_code == 302
    assert client.get(HOME).status_code == 200


def test_the_password_over_a_session_of_the_bench_begins_one_for_everything():
    client, person, _device = at_the_bench("lead")
    client.post(reverse("login"), {"username": person.username, "password": "right horse 42"})
    assert client.get(reverse("office:board")).status_code == 200
    assert "bench" not in client.session


@pytest.mark.parametrize("away", [{}, {"minutes": 6}])
def test_whoever_holds_a_pin_signs_out_even_after_the_tablet_was_shut(away, clock):
    tablet, _person, _device = at_the_bench()
    clock.pass_by(**away)
    assert tablet.post(reverse("logout")).url == PEOPLE
    assert "bench" not in tablet.session


def test_signing_out_on_a_tablet_shows_the_people_and_elsewhere_the_sign_in(client):
    tablet, _person, _device = at_the_bench()
    assert tablet.post(reverse("logout")).url == PEOPLE
    client.force_login(make_user("office"))
    assert client.post(reverse("logout")).url == reverse("login")


def test_a_password_session_on_an_office_computer_is_left_alone(client, clock):
    client.force_login(make_user("lead"))
    assert client.get(reverse("office:board")).status_code == 200
    clock.pass_by(hours=3)
    assert client.get(reverse("office:board")).status_code == 200
    assert client.get(HOME).status_code == 200
    assert "device" not in client.session
    assert reverse("bench:switch") not in client.get(HOME).content.decode()


def test_a_password_session_on_a_tablet_names_the_tablet(client):
    _device, token = make_tablet("Bench 7")
    client.cookies[settings.DEVICE_COOKIE] = token
    client.force_login(make_user("lead"))
    assert client.get(reverse("office:board")).status_code == 200
    assert client.session["device_name"] == "Bench 7"


def test_when_a_tablet_was_last_seen_is_kept_to_the_minute(clock):
    client, _person, device = at_the_bench()
    clock.pass_by(minutes=2)
    client.get(HOME)
    assert Device.objects.get(pk=device.pk).last_seen == clock.now


def test_the_list_of_people_costs_the_same_queries_for_two_people_and_for_twenty(django_assert_num_queries):
    _device, token = make_tablet()
    client, there = at_tablet(token), 0
    for more in (2, 18):
        for _one in range(more):
            make_person_with_pin()
        there += more
        with django_assert_num_queries(2):
            page = client.get(PEOPLE).content.decode()
        assert page.count('class="pick"') == there


def test_the_tablet_costs_a_page_of_the_bench_one_query(django_assert_num_queries):
    client, person, _device = at_the_bench()
    plain = Client()
    plain.force_login(person)
    address = reverse("bench:scan")
    for one in (client, plain):
        one.get(address)
    with CaptureQueriesContext(connection) as without:
        plain.get(address)
    with django_assert_num_queries(len(without) + 1):
        client.get(address)
