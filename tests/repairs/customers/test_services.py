"""Customers, sites and contacts: added, changed once, guarded by one version, written in the ledger."""

from __future__ import annotations

import pytest

from repairs.customers.models import Contact, Customer, Site
from repairs.customers.services import (
    CustomerError,
    StaleCustomerError,
    add_contact,
    add_site,
    change_contact,
    change_customer,
    change_site,
    create_customer,
)
from repairs.ledger.models import Event
from tests.repairs.factories import actor_for, make_customer, make_user

pytestmark = pytest.mark.django_db


@pytest.fixture
def actor():
    return actor_for(make_user("office"))


def test_a_customer_is_added_with_an_event(actor):
    customer = create_customer(actor=actor, name="  Dune   County Water ")
    assert customer.name == "Dune County Water"
    event = Event.objects.get(verb="customer.added")
    assert (event.subject_id, event.after["name"]) == (str(customer.pk), "Dune County Water")


@pytest.mark.parametrize("name", ["Dune Water", "dune  WATER"])
def test_a_name_stands_once_however_it_is_written(actor, name):
    make_customer(name="Dune Water")
    with pytest.raises(CustomerError) as refused:
        create_customer(actor=actor, name=name)
    assert refused.value.field == "name"
    assert Customer.objects.count() == 1


def test_an_empty_name_is_refused_beside_the_name(actor):
    with pytest.raises(CustomerError) as refused:
        create_customer(actor=actor, name="   ")
    assert refused.value.field == "name"


def test_a_stale_change_is_refused_and_leaves_everything(actor):
    customer = make_customer(name="Old")
    change_customer(actor=actor, customer=customer, version=1, name="New")
    with pytest.raises(StaleCustomerError):
        change_customer(actor=actor, customer=customer, version=1, name="Other")
    customer.refresh_from_db()
    assert (customer.name, customer.version) == ("New", 2)
    assert Event.objects.get(verb="customer.changed").before == {"name": "Old"}


def test_saving_without_a_change_writes_no_event(actor):
    customer = make_customer(name="Same")
    change_customer(actor=actor, customer=customer, version=1, name="Same")
    assert not Event.objects.filter(verb="customer.changed").exists()


def test_sites_and_contacts_are_added_and_raise_the_customers_version(actor):
    customer = make_customer()
    site = add_site(actor=actor, customer=customer, name="North station")
    contact = add_contact(actor=actor, customer=customer, name="Ann Porter", site=site, telephone="555 0100")
    customer.refresh_from_db()
    assert customer.version == 3
    assert contact.site == site
    assert Event.objects.get(verb="contact.added").after["site"] == "North station"


def test_a_site_or_contact_changed_meanwhile_is_not_overwritten(actor):
    customer = make_customer()
    site = Site.objects.create(customer=customer, name="North")
    contact = Contact.objects.create(customer=customer, name="Ann")
    change_site(actor=actor, site=site, version=1, name="South")
    with pytest.raises(StaleCustomerError):
        change_contact(actor=actor, contact=contact, version=1, name="Bea")
    assert change_contact(actor=actor, contact=contact, version=2, name="Bea").name == "Bea"


def test_two_sites_of_one_customer_have_two_names(actor):
    customer = make_customer()
    add_site(actor=actor, customer=customer, name="North")
    with pytest.raises(CustomerError) as refused:
        add_site(actor=actor, customer=customer, name="NORTH")
    assert refused.value.field == "name"
    assert add_site(actor=actor, customer=make_customer(), name="North").pk


def test_a_contact_stands_at_a_site_of_its_own_customer(actor):
    foreign = Site.objects.create(customer=make_customer(), name="Elsewhere")
    with pytest.raises(CustomerError) as refused:
        add_contact(actor=actor, customer=make_customer(), name="Ann", site=foreign)
    assert refused.value.field == "site"
    assert not Contact.objects.exists()


def test_a_false_address_is_refused_beside_its_field(actor):
    with pytest.raises(CustomerError) as refused:
        add_contact(actor=actor, customer=make_customer(), name="Ann", email="not an address")
    assert refused.value.field == "email"


def test_only_known_fields_can_be_changed(actor):
    with pytest.raises(TypeError):
        change_customer(actor=actor, customer=make_customer(), version=1, pk=5)
