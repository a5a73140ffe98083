"""Trying passwords: strangers are held, nobody is shut out by somebody else, and every hold ends."""

from __future__ import annotations

from datetime import timedelta
from itertools import count
from pathlib import Path
from threading import Barrier, Thread
from typing import Any

import pytest
from django.conf import settings as ours
from django.contrib.auth import hashers
from django.db import connection
from django.test import Client
from django.urls import reverse

from repairs.people.known_browsers import HOLDS_SECONDS, MOST_ACCOUNTS
from repairs.people.models import TryCount
from repairs.people.services import set_password
from repairs.people.sign_in_accounts import account_of
from repairs.people.sign_in_limits import ACCOUNT, BROWSER, PAIR, PLACE
from tests.repairs.factories import actor_for, make_user
from tests.repairs.people.tablets import Clock, at_tablet, make_person_with_pin, make_tablet

pytestmark = [pytest.mark.django_db, pytest.mark.data]
RIGHT, WRONG, NEWER = "right horse 42", "wrong horse 41", "another horse 77"
SHOP, STRANGER = "198.51.100.4", "203.0.113.9"
_addresses = count(1)


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    """Let no time pass but what a test says: on a slow machine a slowed place would let its next try in."""
    return Clock(monkeypatch)


def try_once(name: str, password: str = WRONG, address: str = STRANGER, client: Client | None = None) -> Any:
    form = {"username": name, "password": password}
    return (client or Client()).post(reverse("login"), form, REMOTE_ADDR=address)


def try_often(name: str, times: int, address: str = STRANGER, client: Client | None = None) -> int:
    """Try a wrong password so often; return the last answer's status."""
    return [try_once(name, WRONG, address, client).status_code for _time in range(times)][-1]


def another_address() -> str:
    number = next(_addresses)
    return f"192.0.{number // 250}.{number % 250}"


def known_browser(person, address: str = SHOP) -> Client:
    """Return a browser that the person signed in with, and out again."""
    client = Client()
    assert try_once(person.username, RIGHT, address, client).status_code == 302
    client.post(reverse("logout"))
    return client


def test_a_name_is_held_at_one_place_after_a_few_wrong_tries_and_not_elsewhere():
    person = make_user()
    assert try_often(person.username, PAIR.most) == 422
    held = try_once(person.username, RIGHT)
    assert held.status_code == 429
    assert 0 < int(held.headers["Retry-After"]) <= PAIR.window.total_seconds()
    assert "Wait 15 minutes" in held.content.decode()
    assert try_once(person.username, RIGHT, SHOP).status_code == 302


def test_a_hold_ends_in_its_time_though_tries_go_on(clock):
    person = make_user()
    try_often(person.username, PAIR.most)
    for _minute in range(14):
        clock.pass_by(minutes=1)
        assert try_often(person.username, 3) == 429
    clock.pass_by(minutes=1)
    assert try_once(person.username, RIGHT).status_code == 302


def test_a_right_password_is_not_compared_while_the_name_is_held(monkeypatch):
    person = make_user()
    try_often(person.username, PAIR.most)
    compared = []
    monkeypatch.setattr(hashers, "check_password", lambda *words, **more: compared.append(words))
    assert try_once(person.username, RIGHT).status_code == 429
    assert compared == []


def test_a_new_password_ends_what_is_held_at_once():
    person, administrator = make_user(), make_user("administrator")
    try_often(person.username, PAIR.most + 3, SHOP)
    set_password(actor=actor_for(administrator), person=person, password=NEWER)
    assert try_once(person.username, NEWER, SHOP).status_code == 302


def test_a_new_password_opens_the_name_even_where_the_whole_place_is_slowed():
    person, administrator = make_user(), make_user("administrator")
    for number in range(PLACE.most + 5):
        try_once(f"nobody{number}", WRONG, SHOP)
    assert try_once(person.username, RIGHT, SHOP).status_code == 429
    set_password(actor=actor_for(administrator), person=person, password=NEWER)
    assert try_once(person.username, NEWER, SHOP).status_code == 302


def test_strangers_cannot_keep_a_name_shut_for_a_browser_that_its_owner_used(clock):
    person = make_user()
    browser = known_browser(person)
    for _try in range(ACCOUNT.most + 10):
        try_once(person.username, WRONG, another_address())
    try_often(person.username, PAIR.most + 3, SHOP)
    assert try_once(person.username, RIGHT, SHOP).status_code == 429
    assert try_once(person.username, RIGHT, SHOP, browser).status_code == 302


def test_one_bad_browser_behind_the_shops_address_keeps_no_colleague_out(clock):
    colleagues = [make_user() for _one in range(4)]
    browsers = [known_browser(person) for person in colleagues]
    for number in range(PLACE.most * 3):
        try_once(f"nobody{number}", WRONG, SHOP)
    for person, browser in zip(colleagues, browsers, strict=True):
        assert try_once(person.username, RIGHT, SHOP, browser).status_code == 302
    newcomer = make_user()
    assert try_once(newcomer.username, RIGHT, SHOP).status_code == 429
    clock.pass_by(seconds=10)
    assert try_once(newcomer.username, RIGHT, SHOP).status_code == 302


def test_spraying_over_many_names_is_slowed_to_one_try_each_ten_seconds(clock):
    compared = 0
    for number in range(200):
        compared += try_once(f"name{number}").status_code == 422
        clock.pass_by(seconds=1)
    assert compared <= PLACE.most + 200 // 10 + 1


def test_a_name_tried_from_many_addresses_is_slowed_for_strangers_and_not_shut(clock):
    person = make_user()
    answers = [
        try_once(person.username, WRONG, another_address()).status_code for _try in range(ACCOUNT.most + 5)
    ]
    assert answers.count(422) == ACCOUNT.most
    assert try_once(person.username, RIGHT, another_address()).status_code == 429
    clock.pass_by(minutes=2)
    assert try_once(person.username, RIGHT, another_address()).status_code == 302


def test_an_own_account_does_not_wash_the_address_clean():
    person = make_user()
    statuses = []
    for number in range(PLACE.most * 2):
        if number % 5 == 4:
            try_once(person.username, RIGHT)
        statuses.append(try_once(f"name{number}").status_code)
    assert statuses.count(422) <= PLACE.most


def test_a_known_browser_has_a_limit_of_its_own():
    person = make_user()
    browser = known_browser(person)
    assert try_often(person.username, BROWSER.most, SHOP, browser) == 422
    assert try_once(person.username, RIGHT, SHOP, browser).status_code == 429
    assert try_once(person.username, RIGHT, SHOP).status_code == 302


def test_a_browser_is_known_for_the_names_that_signed_in_with_it_alone():
    person, other = make_user(), make_user()
    browser = known_browser(person)
    try_often(other.username, PAIR.most, SHOP, browser)
    assert try_once(other.username, RIGHT, SHOP, browser).status_code == 429


@pytest.mark.parametrize("forged", ["", "x", "x:y:z", "eyJhIjoxfQ:1:abc", "a" * 5000])
def test_a_made_up_cookie_makes_no_browser_known(forged):
    person, browser = make_user(), Client()
    browser.cookies[ours.BROWSER_COOKIE] = forged
    try_often(person.username, PAIR.most, SHOP, browser)
    assert try_once(person.username, RIGHT, SHOP, browser).status_code == 429


def test_the_cookie_is_out_of_reach_of_scripts_and_tells_no_name():
    people = [make_user() for _one in range(MOST_ACCOUNTS + 2)]
    browser = Client()
    for person in people:
        try_once(person.username, RIGHT, SHOP, browser)
    cookie = browser.cookies[ours.BROWSER_COOKIE]
    assert (cookie["httponly"], cookie["samesite"], cookie["max-age"]) == (True, "Lax", HOLDS_SECONDS)
    assert len(cookie.value) < 1000
    assert not any(person.username in cookie.value for person in people)


def test_nothing_that_is_stored_tells_a_name_or_an_address():
    try_once("password typed as a name")
    rows = str(list(TryCount.objects.values()))
    assert TryCount.objects.exists()
    assert "password" not in rows
    assert STRANGER not in rows


@pytest.mark.parametrize("spelled", ["LEAD77", " lead77 ", "Lead77", "ＬＥＡＤ77"])
def test_one_name_is_counted_once_however_it_is_spelled(spelled):
    assert account_of(spelled) == account_of("lead77")


def test_unknown_disabled_and_wrong_read_alike_and_cost_the_same(monkeypatch):
    there, gone = make_user(), make_user(is_active=False)
    hashed = []
    hasher = type(hashers.get_hasher())
    encode = hasher.encode
    monkeypatch.setattr(hasher, "encode", lambda self, *words: hashed.append(1) or encode(self, *words))
    answers = {}
    for name, password in (
        (there.username, WRONG),
        ("nobody", WRONG),
        (gone.username, WRONG),
        (gone.username, RIGHT),
    ):
        hashed.clear()
        answer = try_once(name, password, another_address())
        page = answer.content.decode().replace(name, "NAME")
        answers[(name, password)] = (
            answer.status_code,
            len(hashed),
            page.split("</form>")[0].split("csrf")[0],
        )
        assert "do not match" in page
    assert len(set(answers.values())) == 1
    assert next(iter(answers.values()))[:2] == (422, 1)


def test_unknown_names_are_held_like_known_ones():
    person = make_user()
    for name in (person.username, "nobody at all"):
        address = another_address()
        statuses = [try_once(name, WRONG, address).status_code for _try in range(PAIR.most + 1)]
        assert statuses == [422] * PAIR.most + [429]


def test_a_clock_set_back_never_makes_a_wait_longer_than_the_limits_own(clock):
    person = make_user()
    try_often(person.username, PAIR.most)
    clock.pass_by(days=-40)
    held = try_once(person.username, RIGHT)
    assert held.status_code == 429
    assert int(held.headers["Retry-After"]) <= PAIR.window.total_seconds()
    clock.pass_by(minutes=15)
    assert try_once(person.username, RIGHT).status_code == 302


def test_a_clock_set_back_leaves_the_slow_lane_open(clock):
    person = make_user()
    for number in range(PLACE.most):
        try_once(f"nobody{number}", WRONG, SHOP)
    clock.pass_by(days=-40)
    assert int(try_once(person.username, RIGHT, SHOP).headers["Retry-After"]) <= 10
    clock.pass_by(seconds=10)
    assert try_once(person.username, RIGHT, SHOP).status_code == 302


def test_a_clock_that_jumps_ahead_only_ends_holds(clock):
    person = make_user()
    try_often(person.username, PAIR.most)
    clock.pass_by(days=400)
    assert try_once(person.username, RIGHT).status_code == 302
    assert TryCount.objects.filter(touched_at__lt=clock.now - timedelta(days=1)).count() == 0


def test_a_forged_header_moves_no_count_and_the_proxys_word_does(settings):
    settings.PROXIES = 1
    person = make_user()

    def through_proxy(real: str, password: str = WRONG) -> int:
        forwarded = f"10.9.8.{next(_addresses) % 250}, {real}"
        form = {"username": person.username, "password": password}
        answer = Client().post(reverse("login"), form, REMOTE_ADDR="10.0.0.2", HTTP_X_FORWARDED_FOR=forwarded)
        return answer.status_code

    for _try in range(PAIR.most):
        through_proxy(STRANGER)
    assert through_proxy(STRANGER, RIGHT) == 429
    assert through_proxy(SHOP, RIGHT) == 302


def test_strangers_do_not_hold_a_name_at_the_shops_own_tablet():
    person = make_person_with_pin()
    _device, token = make_tablet()
    for _try in range(ACCOUNT.most + 5):
        try_once(person.username, WRONG, another_address())
    try_often(person.username, PAIR.most, SHOP)
    address = reverse("bench:pin_password", args=[person.pk])
    assert at_tablet(token).post(address, {"password": RIGHT}, REMOTE_ADDR=SHOP).status_code == 302


def test_passwords_are_counted_at_the_tablet_and_for_ones_own_pin_too():
    person = make_person_with_pin()
    _device, token = make_tablet()
    address = reverse("bench:pin_password", args=[person.pk])
    for _try in range(PAIR.most):
        assert at_tablet(token).post(address, {"password": WRONG}).status_code == 422
    held = at_tablet(token).post(address, {"password": RIGHT})
    assert held.status_code == 422
    assert "Too many tries" in held.content.decode()
    client = Client()
    client.force_login(person)
    own = {"password": WRONG, "pin": "402917", "again": "402917"}
    for _try in range(PAIR.most):
        client.post(reverse("office:my_pin"), own)
    assert (
        "Too many tries" in client.post(reverse("office:my_pin"), {**own, "password": RIGHT}).content.decode()
    )


def test_a_password_is_compared_in_one_place_only():
    root = Path(__file__).resolve().parents[3] / "repairs"
    words = ("import authenticate", ".check_password(")
    users = {path.name for path in root.rglob("*.py") if any(word in path.read_text() for word in words)}
    assert users == {"sign_in_limits.py"}


@pytest.mark.django_db(transaction=True)
def test_of_many_tries_at_once_no_more_are_compared_than_are_allowed():
    person, answers, start = make_user(), [], Barrier(12)

    def attempt() -> None:
        start.wait()
        try:
            answers.append(try_once(person.username).status_code)
        finally:
            connection.close()

    threads = [Thread(target=attempt) for _one in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(answers) == [422] * PAIR.most + [429] * (12 - PAIR.most)
