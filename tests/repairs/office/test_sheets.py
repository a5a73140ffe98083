"""Sheets and instruments in the office: a lead edits them, a stale or wrong edit is refused beside its box."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from repairs.measurements.models import Instrument, ReadingSheet
from repairs.measurements.shop_tests.sheets import sheet_for
from repairs.people.models import User
from repairs.work_orders.models import StepKind
from tests.repairs.factories import make_user

pytestmark = pytest.mark.django_db
URL = ("office:sheet", [StepKind.FINAL_TEST, "all"])


@pytest.fixture
def lead() -> User:
    return make_user("lead", units="us")


@pytest.fixture
def shop(client: Client, lead: User) -> Client:
    client.force_login(lead)
    return client


def row(number: int, **fields: str) -> dict[str, str]:
    usual = {"answer": "number", "quantity": "plain", "low": "", "high": "", "must": "", "label": ""}
    return {f"{name}-{number}": value for name, value in {**usual, **fields}.items()}


def typed(**more: str) -> dict[str, object]:
    blank = {name: value for number in range(5) for name, value in row(number).items()}
    return {"form_key": "k", "version": "0", "do": "save", **blank, **more}


def test_a_sheet_is_saved_with_its_order_what_it_requires_and_rows_of_its_own(shop: Client) -> None:
    data = {
        **typed(),
        "test-vibration": "on", "place-vibration": "1", "required-vibration": ["vib_top_0"],
        "test-insulation": "on", "place-insulation": "2",
        **row(0, label="Oil temperature", quantity="temperature", high="150"),
        **row(1, label="Ratchet holds", answer="yes_no", must="yes"),
        "required-1": "on",
    }  # fmt: skip
    assert shop.post(reverse(URL[0], args=URL[1]), data).status_code == 302
    found = sheet_for(StepKind.FINAL_TEST, "vertical_hollow")
    assert found is not None
    assert [(one.test, one.required) for one in found.tests] == [
        ("vibration", ("vib_top_0",)),
        ("insulation", ()),
    ]
    oil, ratchet = found.own
    assert (oil.label, oil.high) == ("Oil temperature", pytest.approx(65.5556, abs=1e-3))
    assert (ratchet.must, ratchet.required, ratchet.answer) == ("yes", True, "yes_no")
    page = shop.get(reverse(URL[0], args=URL[1])).content.decode()
    assert 'value="150"' in page


def test_a_second_tap_and_a_stale_page_change_nothing(shop: Client) -> None:
    url, data = reverse(URL[0], args=URL[1]), {**typed(), "test-insulation": "on", **row(0), **row(1)}
    assert [shop.post(url, data).status_code for _ in range(2)] == [302, 302]
    assert ReadingSheet.objects.count() == 1
    stale = shop.post(url, {**data, "form_key": "other"})
    assert stale.status_code == 409
    assert "Someone else changed this sheet" in stale.content.decode()


def test_a_limit_that_is_no_number_is_refused_beside_its_box(shop: Client) -> None:
    refused = shop.post(
        reverse(URL[0], args=URL[1]), {**typed(), **row(0, label="Oil", high="much"), **row(1)}
    )
    assert refused.status_code == 422
    assert "is not a number" in refused.content.decode()
    assert not ReadingSheet.objects.exists()


def test_more_rows_keep_what_was_typed(shop: Client) -> None:
    page = shop.post(
        reverse(URL[0], args=URL[1]), {**typed(), "do": "more", **row(0, label="My own row"), **row(1)}
    ).content.decode()
    assert "My own row" in page
    assert 'name="label-6"' in page
    assert not ReadingSheet.objects.exists()


def test_no_such_sheet(shop: Client) -> None:
    assert shop.get(reverse("office:sheet", args=["nothing", "all"])).status_code == 404
    assert shop.get(reverse("office:sheet", args=[StepKind.CLEAN, "rocket"])).status_code == 404


def test_the_list_names_tests_and_versions(shop: Client) -> None:
    page = shop.get(reverse("office:sheets")).content.decode()
    assert "Insulation resistance" in page
    assert "standard" in page


def test_an_instrument_is_added_and_changed(shop: Client) -> None:
    url = reverse("office:instruments")
    fields = {
        "tag": "MEG-1",
        "name": "tester",
        "calibration_due": "2020-01-31",
        "active": "on",
        "form_key": "a",
    }
    assert shop.post(url, fields).status_code == 302
    page = shop.get(url).content.decode()
    assert "MEG-1" in page
    assert "overdue" in page
    one = Instrument.objects.get()
    changed = {**fields, "form_key": "b", "version": "1", "calibration_due": "2099-01-31"}
    assert shop.post(reverse("office:instrument", args=[one.pk]), changed).status_code == 302
    stale = shop.post(reverse("office:instrument", args=[one.pk]), {**changed, "form_key": "c"})
    assert stale.status_code == 409
    twice = shop.post(url, {**fields, "form_key": "d"})
    assert "Another instrument has the tag" in twice.content.decode()
