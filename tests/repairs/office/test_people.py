"""Adding people, changing them, shutting them out; everybody's own settings."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.people.models import User
from repairs.people.permissions import Role
from tests.repairs.factories import make_user

pytestmark = pytest.mark.django_db


@pytest.fixture
def administrator():
    return make_user("administrator", username="root.of.shop")


@pytest.fixture
def signed_in(client, administrator):
    client.force_login(administrator)
    return client


def new_person(**fields) -> dict[str, str]:
    return {
        "username": "nell", "first_name": "Nell", "last_name": "", "role": "technician", "units": "us",
        "language": "en", "password": "seven brown bears", "form_key": uuid4().hex, **fields,
    }  # fmt: skip


def change_of(person: User, **fields) -> dict[str, str]:
    kept = {
        name: getattr(person, name)
        for name in ("first_name", "last_name", "role", "units", "language", "version")
    }
    return {**kept, "is_active": "on", **fields}


def test_an_added_person_can_sign_in_and_the_ledger_knows_who_added_them(signed_in, client, administrator):
    answer = signed_in.post(reverse("office:people"), new_person())
    assert answer.status_code == 302
    client.logout()
    assert client.login(username="nell", password="seven brown bears")
    event = Event.objects.get(verb="person.added")
    assert event.actor == administrator
    assert "seven brown bears" not in str(event.after)


def test_a_form_sent_twice_adds_one_person(signed_in):
    form = new_person()
    for _time in range(2):
        assert signed_in.post(reverse("office:people"), form).status_code == 302
    assert User.objects.filter(username="nell").count() == 1
    assert Event.objects.filter(verb="person.added").count() == 1


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"username": "root.of.SHOP"}, "is taken"),
        ({"username": "no spaces"}, "Enter a valid username"),
        ({"password": "short"}, "too short"),
        ({"password": "12345678901"}, "entirely numeric"),
        ({"role": "king"}, "Select a valid choice"),
        ({"first_name": ""}, "Fill in this field"),
    ],
)
def test_a_refused_person_is_named_beside_the_field_and_nothing_typed_is_lost(signed_in, fields, said):
    answer = signed_in.post(reverse("office:people"), new_person(last_name="Quill", **fields))
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert 'value="Quill"' in answer.content.decode()
    assert not User.objects.filter(last_name="Quill").exists()


def test_a_role_is_changed_with_an_event_that_tells_both(signed_in):
    person = make_user("technician", first_name="Nell")
    signed_in.post(reverse("office:person", args=[person.pk]), change_of(person, role="lead"))
    person.refresh_from_db()
    assert (person.role, person.version) == (Role.LEAD, 2)
    event = Event.objects.get(verb="person.changed")
    assert (event.before["role"], event.after["role"]) == ("technician", "lead")


def test_a_person_who_is_shut_out_is_signed_out_at_once(signed_in, client):
    person = make_user("technician", first_name="Nell")
    other = type(client)()
    other.force_login(person)
    assert other.get(reverse("office:board")).status_code == 200
    form = change_of(person)
    del form["is_active"]
    signed_in.post(reverse("office:person", args=[person.pk]), form)
    assert other.get(reverse("office:board")).status_code == 302


def test_a_stale_change_shows_both_and_can_be_sent_again(signed_in):
    person = make_user("technician", first_name="Nell")
    form = change_of(person, first_name="Nelly")
    User.objects.filter(pk=person.pk).update(last_name="Stored", version=2)
    answer = signed_in.post(reverse("office:person", args=[person.pk]), form)
    html = answer.content.decode()
    assert answer.status_code == 409
    assert 'value="Nelly"' in html
    assert "saved a change first: Nell Stored" in html
    assert 'name="version" value="2"' in html
    assert User.objects.get(pk=person.pk).first_name == "Nell"


@pytest.mark.parametrize("fields", [{"role": "lead"}, {"is_active": ""}])
def test_the_last_administrator_stays_one(signed_in, administrator, fields):
    administrator.first_name = "Ada"
    administrator.save()
    form = {name: value for name, value in change_of(administrator, **fields).items() if value != ""}
    answer = signed_in.post(reverse("office:person", args=[administrator.pk]), form)
    assert answer.status_code == 422
    assert "This is the last administrator." in answer.content.decode()
    administrator.refresh_from_db()
    assert administrator.is_active
    assert administrator.role == Role.ADMINISTRATOR


def test_nobody_shuts_themselves_out(signed_in, administrator):
    make_user("administrator")
    form = change_of(administrator, first_name="Ada")
    del form["is_active"]
    answer = signed_in.post(reverse("office:person", args=[administrator.pk]), form)
    assert "You cannot disable yourself." in answer.content.decode()


def test_a_new_password_lets_in_and_the_old_one_does_not(signed_in, client):
    person = make_user("technician")
    url = reverse("office:person_password", args=[person.pk])
    answer = signed_in.post(url, {"password": "nine grey geese", "form_key": "k1"})
    assert answer.status_code == 302
    client.logout()
    assert not client.login(username=person.username, password="right horse 42")
    assert client.login(username=person.username, password="nine grey geese")


def test_a_weak_new_password_is_refused(signed_in):
    person = make_user("technician")
    url = reverse("office:person_password", args=[person.pk])
    answer = signed_in.post(url, {"password": "abc", "form_key": "k1"})
    assert answer.status_code == 422
    assert "too short" in answer.content.decode()


def test_everybody_sets_their_own_units(client):
    person = make_user("technician")
    client.force_login(person)
    answer = client.post(reverse("office:me"), {"units": "si", "language": "en", "version": 1})
    assert answer.status_code == 302
    person.refresh_from_db()
    assert person.units == "si"
    assert (
        client.post(reverse("office:me"), {"units": "miles", "language": "en", "version": 2}).status_code
        == 422
    )


@pytest.mark.parametrize("role", [role for role in Role.values if role != Role.ADMINISTRATOR])
def test_only_an_administrator_manages_people(client, role):
    client.force_login(make_user(role))
    assert client.get(reverse("office:people")).status_code == 403
    assert client.get(reverse("office:me")).status_code == 200


def test_everybody_changes_their_own_password_and_goes_on_working(client):
    office = make_user("office")
    client.force_login(office)
    page = reverse("office:my_password")
    sent = {"password": "right horse 42", "new": "another barn 77", "again": "another barn 77"}
    for wrong, said in (
        ({"password": "guess"}, "Wrong password"),
        ({"again": "another barn 78"}, "do not match"),
        ({"new": "12345678", "again": "12345678"}, "too common"),
    ):
        answer = client.post(page, {**sent, **wrong})
        assert answer.status_code == 422
        words = answer.content.decode()
        assert said in words
        assert "Passwords and PINs are not kept; type them again." in words
        assert "your entries are still here" not in words
    office.refresh_from_db()
    assert office.check_password("right horse 42")
    assert client.post(page, sent).status_code == 302
    office.refresh_from_db()
    assert office.check_password("another barn 77")
    assert client.get(reverse("office:me")).status_code == 200
    assert Event.objects.filter(verb="person.password_set", subject_id=str(office.pk)).exists()
