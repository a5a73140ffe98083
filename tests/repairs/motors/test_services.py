"""Adding and changing motors."""

from __future__ import annotations

import pytest

from repairs.customers.models import Site
from repairs.ledger.models import Event
from repairs.motors.models import Motor
from repairs.motors.services import (
    KnownSerialError,
    MotorError,
    StaleMotorError,
    change_motor,
    create_motor,
)
from tests.repairs.factories import actor_for, make_customer, make_motor, make_user

pytestmark = pytest.mark.django_db


@pytest.fixture
def actor():
    return actor_for(make_user("office"))


def test_a_motor_is_added_with_an_event(actor):
    customer = make_customer(name="Dune Water")
    motor = create_motor(actor=actor, customer=customer, serial=" RM  77 ", tag="Well 7")
    assert motor.serial == "RM 77"
    assert Event.objects.get(verb="motor.added").after["customer"] == "Dune Water"


def test_a_serial_number_stands_once_at_a_customers_and_the_refusal_names_the_motor(actor):
    known = make_motor(serial="RM-77")
    with pytest.raises(KnownSerialError) as refused:
        create_motor(actor=actor, customer=known.customer, serial="rm-77")
    assert refused.value.motor == known
    assert "Use that motor" in str(refused.value)
    assert create_motor(actor=actor, customer=make_customer(), serial="RM-77").pk


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({}, "serial"),
        ({"serial": "X1", "serial_state": "illegible"}, "serial"),
        ({"serial": "X1", "serial_state": "guessed"}, "serial_state"),
        ({"serial": "X1", "build": "sideways"}, "build"),
        ({"serial": "x" * 81}, "serial"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(actor, fields, field):
    with pytest.raises(MotorError) as refused:
        create_motor(actor=actor, customer=make_customer(), **fields)
    assert refused.value.field == field
    assert not Motor.objects.exists()


def test_a_motor_without_any_name_is_taken_when_the_number_is_said_to_be_illegible(actor):
    motor = create_motor(actor=actor, customer=make_customer(), serial_state="illegible")
    assert str(motor) == f"motor {motor.pk}"


def test_a_site_of_another_customer_is_refused(actor):
    site = Site.objects.create(customer=make_customer(), name="Elsewhere")
    with pytest.raises(MotorError) as refused:
        create_motor(actor=actor, customer=make_customer(), serial="X1", site=site)
    assert refused.value.field == "site"


def test_a_change_of_the_plate_is_kept_field_by_field(actor):
    motor = make_motor()
    plate = {**motor.nameplate, "oil_iso_vg": {"state": "missing", "typed": "", "unit": "", "si": None}}
    changed = change_motor(actor=actor, motor=motor, version=1, nameplate=plate)
    assert changed.version == 2
    event = Event.objects.get(verb="motor.changed")
    assert list(event.after["nameplate"]) == ["oil_iso_vg"]
    assert event.before["nameplate"]["oil_iso_vg"]["si"] == 68


def test_a_stale_change_is_refused_and_leaves_everything(actor):
    motor = make_motor(tag="Well 1")
    change_motor(actor=actor, motor=motor, version=1, tag="Well 2")
    with pytest.raises(StaleMotorError):
        change_motor(actor=actor, motor=motor, version=1, tag="Well 3")
    motor.refresh_from_db()
    assert motor.tag == "Well 2"


def test_saving_without_a_change_writes_no_event(actor):
    motor = make_motor(tag="Well 1")
    change_motor(actor=actor, motor=motor, version=1, tag="Well 1")
    assert not Event.objects.filter(verb="motor.changed").exists()


def test_a_motor_changes_hands_only_with_a_site_of_the_new_owner(actor):
    site = Site.objects.create(customer=make_customer(), name="North")
    motor = make_motor(site.customer, site=site)
    new = make_customer()
    with pytest.raises(MotorError):
        change_motor(actor=actor, motor=motor, version=1, customer=new)
    assert change_motor(actor=actor, motor=motor, version=1, customer=new, site=None).customer == new
