"""Pages of customers, sites and contacts."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from repairs.customers.models import Contact, Customer, Site
from tests.repairs.factories import make_customer, make_job, make_motor, make_user

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


@pytest.fixture
def office(client):
    client.force_login(make_user("office"))
    return client


def customer_form(**fields) -> dict[str, str]:
    return {
        "name": "Dune Water", "address": "Pump road 1", "note": "", "report_language": "en",
        "report_units": "us", "paper": "letter", "form_key": uuid4().hex, **fields,
    }  # fmt: skip


def test_a_customer_is_added_once_however_often_the_form_is_sent(office):
    form = customer_form()
    for _time in range(2):
        answer = office.post(reverse("office:new_customer"), form)
        assert answer.status_code == 302
    customer = Customer.objects.get()
    assert answer.url == reverse("office:customer", args=[customer.pk])


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"name": ""}, "Fill in this field"),
        ({"name": "TAKEN name"}, "is already in the list"),
        ({"name": "x" * 121}, "Use 120 characters at most"),
        ({"report_units": "furlongs"}, "Select a valid choice"),
        ({"form_key": ""}, "Fill in this field"),
    ],
)
def test_a_refused_customer_is_named_beside_the_field_and_nothing_typed_is_lost(office, fields, said):
    make_customer(name="Taken name")
    answer = office.post(reverse("office:new_customer"), customer_form(**fields))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page
    assert "Pump road 1" in page
    assert Customer.objects.count() == 1


def test_hostile_text_is_shown_as_text(office):
    customer = make_customer(name="<script>alert(1)</script>")
    page = office.get(reverse("office:customer", args=[customer.pk])).content.decode()
    assert "<script>alert(1)" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_two_people_see_each_others_change_before_one_overwrites_it(office):
    customer = make_customer(name="Old name")
    url = reverse("office:edit_customer", args=[customer.pk])
    change = {**customer_form(name="Mine", address="My address"), "version": "1"}
    assert office.post(url, {**change, "name": "Theirs", "address": "Their address"}).status_code == 302
    answer = office.post(url, change)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Their address" in page
    assert "My address" in page
    assert 'name="version" value="2"' in page
    assert office.post(url, {**change, "version": "2"}).status_code == 302
    customer.refresh_from_db()
    assert customer.name == "Mine"


def test_sites_and_contacts_are_added_and_changed(office):
    customer = make_customer()
    office.post(reverse("office:new_site", args=[customer.pk]), {"name": "North", "form_key": uuid4().hex})
    site = Site.objects.get()
    contact = {"name": "Ann Porter", "telephone": "555 0100", "site": site.pk, "form_key": uuid4().hex}
    assert office.post(reverse("office:new_contact", args=[customer.pk]), contact).status_code == 302
    ann = Contact.objects.get()
    customer.refresh_from_db()
    change = {"name": "Ann Porter", "email": "wrong", "version": customer.version}
    refused = office.post(reverse("office:contact", args=[ann.pk]), change)
    assert refused.status_code == 422
    assert "Enter a valid email address" in refused.content.decode()
    change["email"] = "ann@example.org"
    assert office.post(reverse("office:contact", args=[ann.pk]), change).status_code == 302
    change = {"name": "South", "version": customer.version + 1}
    assert office.post(reverse("office:site", args=[site.pk]), change).status_code == 302
    page = office.get(reverse("office:customer", args=[customer.pk])).content.decode()
    for words in ("Ann Porter", "ann@example.org", "South"):
        assert words in page


def test_a_site_of_another_customer_cannot_be_slipped_in(office):
    foreign = Site.objects.create(customer=make_customer(), name="Elsewhere")
    customer = make_customer()
    form = {"name": "Ann", "site": foreign.pk, "form_key": uuid4().hex}
    answer = office.post(reverse("office:new_contact", args=[customer.pk]), form)
    assert answer.status_code == 422
    assert not Contact.objects.exists()


def test_the_list_counts_motors_and_open_jobs_and_narrows_by_name(office):
    customer = make_customer(name="Kestrel Paper")
    make_customer(name="Dune Water")
    for _n in range(3):
        make_job(make_motor(customer))
    answer = office.get(reverse("office:customer_list"), {"q": "estrel"})
    (row,) = answer.context["page_obj"].object_list
    assert (row["name"], row["motor_count"], row["open_count"]) == ("Kestrel Paper", 3, 3)
    part = office.get(reverse("office:customer_list"), {"q": "nobody"}, headers=HTMX).content.decode()
    assert "<html" not in part
    assert "No matching customers" in part


def test_a_technician_sees_customers_without_buttons_to_change_them(client):
    client.force_login(make_user("technician"))
    customer = make_customer()
    page = client.get(reverse("office:customer", args=[customer.pk])).content.decode()
    assert reverse("office:edit_customer", args=[customer.pk]) not in page
    assert client.get(reverse("office:edit_customer", args=[customer.pk])).status_code == 403


@pytest.mark.parametrize("motors", [1, 12])
def test_pages_cost_the_same_queries_however_many_rows_there_are(
    office, motors, django_assert_max_num_queries
):
    customer = make_customer()
    for _n in range(motors):
        make_job(make_motor(customer))
    Contact.objects.bulk_create(Contact(customer=customer, name=f"C {n}") for n in range(motors))
    with django_assert_max_num_queries(8):
        office.get(reverse("office:customer", args=[customer.pk]))
    with django_assert_max_num_queries(4):
        office.get(reverse("office:customer_list"))
