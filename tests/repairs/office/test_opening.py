"""Opening a job on one page."""

from __future__ import annotations

from html.parser import HTMLParser
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from repairs.customers.models import Contact, Customer, Site
from repairs.ledger.models import Event
from repairs.motors.models import Motor
from repairs.work_orders.models import Job
from tests.repairs.factories import make_customer, make_job, make_motor, make_template, make_user

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
URL = "/office/open-a-job/"


@pytest.fixture
def office(client):
    make_template(name="Vertical", for_build="vertical_hollow")
    client.force_login(make_user("office"))
    return client


def job_form(**fields) -> dict[str, str]:
    return {
        "form_key": uuid4().hex, "motor": "", "customer": "", "seen_serial": "", "find": "", "customer_name": "",
        "serial": "", "serial_state": "read", "tag": "", "build": "vertical_hollow", "site": "", "contact_name": "",
        "contact_telephone": "", "complaint": "It growls.", "purchase_order": "PO 1", "priority": "rush",
        "promised_on": "", "template": "", "do": "open", **fields,
    }  # fmt: skip


def test_everything_that_is_new_is_made_with_the_job(office):
    form = job_form(
        customer_name="Dune Water",
        serial="RM-77",
        tag="Well 7",
        site="North",
        contact_name="Ann",
        contact_telephone="1",
    )
    answer = office.post(URL, form)
    job = Job.objects.get()
    assert answer.status_code == 302
    assert answer.url == reverse("office:job", args=[job.number])
    assert (job.customer.name, job.motor.serial, job.site.name, job.contact.name) == (
        "Dune Water", "RM-77", "North", "Ann",
    )  # fmt: skip
    assert (job.priority, job.purchase_order, job.steps_total) == ("rush", "PO 1", 12)
    verbs = set(Event.objects.values_list("verb", flat=True))
    assert {"customer.added", "site.added", "motor.added", "contact.added", "job.opened"} <= verbs


def test_after_opening_the_job_page_leads_to_job_tag_and_traveler(office):
    page = office.post(URL, job_form(customer_name="Dune", serial="X1"), follow=True).content.decode()
    number = Job.objects.get().number
    assert f"Job {number} opened" in page
    for kind in ("job_tag", "traveler"):
        assert reverse("office:document", args=[number, kind]) in page


def test_a_form_sent_twice_opens_one_job(office):
    form = job_form(customer_name="Dune", serial="X1")
    first, second = office.post(URL, form), office.post(URL, form)
    assert first.url == second.url
    assert (Job.objects.count(), Motor.objects.count(), Customer.objects.count()) == (1, 1, 1)


def test_a_key_that_comes_back_with_other_words_is_refused(office):
    form = job_form(customer_name="Dune", serial="X1")
    office.post(URL, form)
    answer = office.post(URL, {**form, "complaint": "Something else."})
    assert answer.status_code == 422
    assert "already saved with other entries" in answer.content.decode()
    assert Job.objects.count() == 1


def test_a_known_motor_brings_its_owner_its_history_and_its_contacts(office):
    motor = make_motor(tag="Well 7")
    make_job(motor, complaint="It dripped oil.")
    contact = Contact.objects.create(customer=motor.customer, name="Ann Porter")
    page = office.get(URL, {"motor": motor.pk}).content.decode()
    for words in ("It dripped oil.", "Ann Porter", "This motor is already in the shop"):
        assert words in page
    answer = office.post(URL, job_form(motor=motor.pk, contact=contact.pk))
    assert answer.status_code == 302
    assert Job.objects.order_by("-id").first().contact == contact


def test_customer_and_motor_are_found_as_one_types_and_without_javascript(office):
    motor = make_motor(make_customer(name="Kestrel Paper"), serial="HV-20417", tag="Fan 2")
    form = job_form(find="kestrel", complaint="Typed before.", do="find")
    whole = office.post(URL, form).content.decode()
    assert f'value="motor:{motor.pk}"' in whole
    assert f'value="customer:{motor.customer_id}"' in whole
    assert "Typed before." in whole
    part = office.post(URL, form, headers=HTMX).content.decode()
    assert "<html" not in part
    assert f'value="motor:{motor.pk}"' in part
    chosen = office.post(URL, {**form, "do": f"motor:{motor.pk}"})
    assert chosen.status_code == 200
    assert f'name="motor" value="{motor.pk}"' in chosen.content.decode()
    assert "Typed before." in chosen.content.decode()
    assert not Job.objects.exists()


def test_a_repeated_serial_number_shows_the_motors_history_at_once(office):
    motor = make_motor(serial="HV-20417", tag="Well 7")
    make_job(motor, complaint="It dripped oil.")
    part = office.post(URL, job_form(serial="hv-20417", do="serial"), headers=HTMX).content.decode()
    assert "<html" not in part
    assert "It dripped oil." in part
    assert f'value="motor:{motor.pk}"' in part
    assert 'name="seen_serial" value="hv-20417"' in part


def test_a_repeated_serial_number_that_was_not_shown_is_refused_once(office):
    make_motor(serial="HV-20417")
    form = job_form(customer_name="Another owner", serial="HV-20417")
    answer = office.post(URL, form)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "have had this serial number in before" in page
    assert 'name="seen_serial" value="HV-20417"' in page
    assert not Job.objects.exists()
    assert not Customer.objects.filter(name="Another owner").exists()
    assert office.post(URL, {**form, "seen_serial": "HV-20417"}).status_code == 302


def test_the_same_serial_number_at_the_same_customer_is_never_made_twice(office):
    motor = make_motor(serial="HV-20417")
    form = job_form(customer=motor.customer_id, serial="HV-20417", seen_serial="HV-20417")
    answer = office.post(URL, form)
    assert answer.status_code == 422
    assert "already has a motor with serial no." in answer.content.decode()


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"customer_name": ""}, "Choose a customer, or enter a new customer"),
        ({"customer_name": "KNOWN"}, "is already in the list"),
        ({"serial": ""}, "Enter the serial no."),
        ({"complaint": ""}, "Fill in this field"),
        ({"complaint": "x" * 4001}, "Use 4000 characters at most"),
        ({"promised_on": "1999-01-01"}, "is in the past"),
        ({"promised_on": "soon"}, "Enter a date such as"),
        ({"priority": "yesterday"}, "Select a valid choice"),
        ({"template": "999"}, "Select a valid choice"),
        ({"motor": "999"}, "Select a valid choice"),
        ({"motor": "9" * 40}, "Select a valid choice"),
        ({"build": "horizontal"}, "No active route template fits"),
        ({"form_key": ""}, "Fill in this field"),
    ],
)
def test_a_refusal_makes_nothing_and_loses_nothing(office, fields, said):
    make_customer(name="Known")
    form = job_form(customer_name="Dune", serial="X1", purchase_order="PO 4410-7") | fields
    answer = office.post(URL, form)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page
    assert 'value="PO 4410-7"' in page
    assert not Job.objects.exists()
    assert not Motor.objects.exists()
    assert not Site.objects.exists()
    assert [one.name for one in Customer.objects.all()] == ["Known"]


def test_a_contact_of_another_customer_cannot_be_slipped_in(office):
    motor = make_motor()
    foreign = Contact.objects.create(customer=make_customer(), name="Foreign")
    answer = office.post(URL, job_form(motor=motor.pk, contact=foreign.pk))
    assert answer.status_code == 422
    assert not Job.objects.exists()


def test_a_promise_for_today_is_accepted(office):
    form = job_form(customer_name="Dune", serial="X1", promised_on=timezone.localdate().isoformat())
    assert office.post(URL, form).status_code == 302


def test_an_unknown_button_and_a_crooked_address_do_no_harm(office):
    assert office.post(URL, job_form(do="motor:abc")).status_code == 200
    assert office.post(URL, job_form(do="motor:²")).status_code == 200
    assert office.get(URL, {"motor": "9" * 40, "customer": "x"}).status_code == 200


class _Fields(HTMLParser):
    """Collect what a browser would send: inputs, areas, and each choice that stands selected."""

    def __init__(self) -> None:
        super().__init__()
        self.sent: dict[str, str] = {}
        self.choice = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        own = dict(attrs)
        if tag in {"input", "textarea", "select"} and own.get("name"):
            self.choice = own["name"] if tag == "select" else ""
            self.sent[own["name"]] = own.get("value") or ""
        elif tag == "option" and self.choice and ("selected" in own or not self.sent[self.choice]):
            self.sent[self.choice] = own.get("value") or ""


@pytest.mark.parametrize("preset", ["motor", "customer"])
def test_what_the_page_itself_sends_opens_the_job(office, preset):
    motor = make_motor()
    query = {"motor": motor.pk} if preset == "motor" else {"customer": motor.customer_id}
    fields = _Fields()
    fields.feed(office.get(URL, query).content.decode())
    typed = {"complaint": "It growls.", "do": "open"} | ({"tag": "Fan 3"} if preset == "customer" else {})
    answer = office.post(URL, fields.sent | typed)
    assert answer.status_code == 302, answer.context["form"].errors
    job = Job.objects.get()
    assert job.customer == motor.customer
    assert (job.motor == motor) == (preset == "motor")


def test_a_chosen_customer_offers_its_motors_at_once(office):
    motor = make_motor(make_customer(name="Kestrel Paper"), tag="Fan 2")
    make_motor(tag="Well 9")
    page = office.get(URL, {"customer": motor.customer_id}).content.decode()
    assert f'value="motor:{motor.pk}"' in page
    assert "Well 9" not in page


def test_what_was_typed_of_a_new_motor_is_kept_while_a_known_one_is_chosen(office):
    motor = make_motor()
    fields = _Fields()
    fields.feed(
        office.post(URL, job_form(serial="NEW-1", tag="Fan 3", do=f"motor:{motor.pk}")).content.decode()
    )
    back = office.post(URL, fields.sent | {"do": "forget"}).content.decode()
    assert 'value="NEW-1"' in back
    assert 'value="Fan 3"' in back


@pytest.mark.parametrize("role", ["technician", "engineer"])
def test_only_the_office_and_leads_open_jobs(client, role):
    client.force_login(make_user(role))
    assert client.get(URL).status_code == 403
    assert client.post(URL, job_form(customer_name="Dune", serial="X1")).status_code == 403
    assert not Job.objects.exists()


def test_the_page_costs_few_queries(office, django_assert_max_num_queries):
    motor = make_motor()
    for _n in range(8):
        make_job(motor)
    with django_assert_max_num_queries(7):
        office.get(URL, {"motor": motor.pk})


def test_a_promise_in_the_past_is_told_together_with_what_else_is_wrong(client):
    client.force_login(make_user("office"))
    answer = client.post(
        reverse("office:open_job"), {"promised_on": "2020-01-01", "complaint": "Hums.", "do": "open"}
    )
    errors = answer.context["form"].errors
    assert "promised_on" in errors
    assert len(errors) > 1


@pytest.mark.parametrize("typed", ["sf 20871", "SF20871", "sf-20 871"])
def test_a_repeat_motor_is_proposed_however_its_number_is_typed(client, typed):
    motor = make_motor(serial="SF-20871")
    client.force_login(make_user("office"))
    answer = client.post(
        reverse("office:open_job"), {"do": "serial", "serial": typed}, headers={"HX-Request": "true"}
    )
    assert "We have had this serial number in before" in answer.content.decode()
    assert f'value="motor:{motor.pk}"' in answer.content.decode()
