"""Pages of the bench as a shared tablet opens them by PIN, and shop tests with their rules, in the made-up language."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.test import Client
from django.urls import reverse

from repairs.management.shop.building import build_shop
from repairs.management.shop.people import PEOPLE
from repairs.measurements.models import Instrument, TestRecord
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.measurements.shop_tests.sheets import sheet_of
from repairs.people.models import User
from repairs.work_orders.models import Job, Stage, Step, StepKind
from tests.made_up_language import in_the_made_up_language
from tests.repairs.factories import actor_for
from tests.repairs.people.tablets import WRONG, at_tablet, enter_pin, make_tablet
from tests.repairs.test_made_up_language import Judge, by_place

pytestmark = pytest.mark.django_db
INSULATION = {"winding_c": 25.0, "r_1min": 500.0, "r_10min": 1500.0}
TYPED = {"winding_c": "25", "r_1min": "500", "r_10min": "1500"}


@pytest.fixture
def step() -> Step:
    """The step of the final test of an open job, in the invented shop."""
    build_shop()
    return Step.objects.filter(kind=StepKind.FINAL_TEST, job__number__endswith="-0001").get()


def opened(client: Client, name: str, *arguments: object, **asked: str) -> tuple[str, str]:
    """Open a page that must be there."""
    address = reverse(name, args=arguments)
    answer = client.get(address, asked)
    assert answer.status_code == 200, (address, answer.status_code)
    return name, answer.content.decode()


def sent(client: Client, name: str, *arguments: object, status: int = 200, **typed: str) -> tuple[str, str]:
    answer = client.post(reverse(name, args=arguments), typed)
    assert answer.status_code == status, (name, answer.status_code)
    return f"sent {name}", answer.content.decode()


def by_pin(username: str) -> tuple[Client, User]:
    """Return a tablet on which a person of the shop signed in by PIN."""
    _device, token = make_tablet()
    person = User.objects.get(username=username)
    client = at_tablet(token)
    pin = next(one.pin for one in PEOPLE if one.username == username)
    assert enter_pin(client, person, pin).status_code == 302
    return client, person


def pages_before_a_pin(person: User) -> Iterator[tuple[str, str]]:
    """Yield what a tablet shows to nobody in particular, and what a wrong PIN is answered."""
    _device, token = make_tablet()
    client = at_tablet(token)
    yield opened(client, "bench:people")
    yield opened(client, "bench:pin", person.pk)
    yield opened(client, "bench:pin_password", person.pk)
    yield "wrong PIN", enter_pin(client, person, WRONG).content.decode()
    yield opened(Client(), "bench:enrol")


def pages_of_the_bench(client: Client, job: Job) -> Iterator[tuple[str, str]]:
    """Yield the pages that a technician opens in a shift."""
    for name in ("home", "outbox", "scan", "not_kept"):
        yield opened(client, f"bench:{name}")
    names = ("job", "reading", "seats", "new_seat", "photos", "parts", "compare", "observations")
    for name in (*names, "new_observation", "lay_out", "stack_wall", "second_look"):
        yield opened(client, f"bench:{name}", job.number)
    for stage in (Stage.AS_FOUND, Stage.AS_BUILT):
        for name in ("stack", "stack_add", "stack_file"):
            yield opened(client, f"bench:{name}", job.number, stage)
        yield opened(client, "bench:stack_new_item", job.number, stage, "spacer")


def pages_of_a_lead(client: Client, step: Step) -> Iterator[tuple[str, str]]:
    """Yield what only a lead opens: limits, rules of tests, entries that came late, a customer's consent."""
    for name in ("late_entries", "shop_limits", "shop_rules"):
        yield opened(client, f"bench:{name}")
    for name in ("limits", "job_rules"):
        yield opened(client, f"bench:{name}", step.job.number)
    yield opened(client, "bench:concession", step.job.number, step.pk)


def pages_of_tests(client: Client, step: Step, record: TestRecord) -> Iterator[tuple[str, str]]:
    """Yield every test of a step empty, one filled in and refused, the kept one and its correction."""
    number = step.job.number
    sheet = sheet_of(step)
    assert sheet is not None
    assert len(sheet.tests) > 3
    for row in sheet.tests:
        yield opened(client, "bench:shop_test", number, step.pk, row.test)
    yield sent(client, "bench:test_verdict", number, step.pk, "insulation", **TYPED)
    wrong = {**TYPED, "r_1min": "much", "winding_c": "900 °C"}
    yield sent(client, "bench:shop_test", number, step.pk, "insulation", status=422, **wrong)
    yield opened(client, "bench:test_record", number, record.pk)
    yield opened(client, "bench:test_correct", number, record.pk)


def pages_of_the_office(lead: User) -> Iterator[tuple[str, str]]:
    """Yield sheets and instruments, and what they refuse."""
    client = Client()
    client.force_login(lead)
    yield opened(client, "office:sheets")
    for kind in (StepKind.INCOMING_TEST, StepKind.FINAL_TEST, StepKind.MEASURE):
        yield opened(client, "office:sheet", kind, "all")
    yield opened(client, "office:instruments")
    yield opened(client, "office:instrument", Instrument.objects.earliest("pk").pk)
    yield sent(client, "office:instruments", status=422, form_key="k1", tag="", calibration_due="soon")


def test_every_word_that_a_shared_tablet_shows_by_pin_can_be_translated(step):
    tablet, technician = by_pin("tech1")
    lead = User.objects.get(username="lead")
    with_lead, _lead = by_pin("lead")
    record = record_test(
        actor=actor_for(technician),
        job=step.job,
        step=step,
        entry=TestEntry(test="insulation", values=INSULATION),
    )
    judge = Judge()
    with in_the_made_up_language():
        faults = by_place(pages_before_a_pin(technician), judge)
        faults += by_place(pages_of_the_bench(tablet, step.job), judge)
        faults += by_place(pages_of_tests(tablet, step, record), judge)
        faults += by_place(pages_of_a_lead(with_lead, step), judge)
        faults += by_place(pages_of_the_office(lead), judge)
    assert not faults, "\n".join(dict.fromkeys(faults))
