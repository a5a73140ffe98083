"""Readings: judged exactly, never silently passed, corrected by a row of their own."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.measurements.forms import CorrectionForm, ReadingForm
from repairs.measurements.limits import verdict_of
from repairs.measurements.models import Reading
from repairs.measurements.services import correct_reading, record_reading
from repairs.work_orders.errors import WorkOrderError
from tests.repairs.factories import actor_for, make_job, make_user

D = Decimal
SEAT = {"quantity": "seat of bearing 1, plane 1", "unit": "mm"}
# ISO 286-2, shaft 100 k5: +3 to +18 µm
K5 = {"limit_low": D("100.003"), "limit_high": D("100.018"), "limit_source": "ISO 286-2, 100 k5"}
TYPED = {**SEAT, "value": "100.011", "moment": "as_found", "limit_low": "100.003", "limit_high": "100.018"}


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("100.003", "pass"), ("100.018", "pass"), ("100.002999", "fail"), ("100.018001", "fail")],
)
def test_a_value_on_the_limit_passes_and_a_nanometre_beyond_fails(value, verdict):
    assert verdict_of(D(value), K5["limit_low"], K5["limit_high"], K5["limit_source"]) == verdict


@pytest.mark.parametrize(
    ("low", "high", "source"), [(None, None, "drawing"), (D(1), None, ""), (None, D(9), "  ")]
)
def test_without_a_limit_or_without_its_source_nothing_is_checked(low, high, source):
    assert verdict_of(D(5), low, high, source) == "not_checked"


@pytest.mark.parametrize(("low", "high", "verdict"), [(D(5), None, "fail"), (None, D(5), "pass")])
def test_one_limit_is_enough(low, high, verdict):
    assert verdict_of(D("4.9"), low, high, "shop default") == verdict


@pytest.mark.django_db
def test_a_reading_is_kept_exactly_with_its_verdict_and_event():
    job, actor = make_job(), actor_for(make_user())
    reading = record_reading(actor=actor, job=job, value=D("100.011"), **SEAT, **K5)
    stored = Reading.objects.get(pk=reading.pk)
    assert (stored.value, stored.verdict, stored.person_name) == (D("100.011"), "pass", actor.name)
    event = Event.objects.of_job(job.number)[0]
    assert (event.verb, event.after["value"]) == ("reading.recorded", "100.011")


@pytest.mark.django_db
@pytest.mark.parametrize("value", ["999999999.999999", "-999999999.999999", "0.000001"])
def test_the_largest_and_the_smallest_numbers_come_back_as_they_were(value):
    reading = record_reading(actor=actor_for(make_user()), job=make_job(), value=D(value), **SEAT)
    assert Reading.objects.get(pk=reading.pk).value == D(value)


@pytest.mark.django_db
@pytest.mark.parametrize("value", ["1e9", "NaN", "Infinity", "0.0000001"])
def test_the_service_refuses_what_it_cannot_keep_and_names_the_field(value):
    with pytest.raises(WorkOrderError) as refusal:
        record_reading(actor=actor_for(make_user()), job=make_job(), value=D(value), **SEAT)
    assert refusal.value.field == "value"
    assert Reading.objects.count() == 0


@pytest.mark.django_db
def test_a_correction_is_a_row_of_its_own_and_the_first_stays_readable():
    job, actor = make_job(), actor_for(make_user())
    first = record_reading(actor=actor, job=job, value=D("100.111"), **SEAT, **K5)
    second = correct_reading(actor=actor, reading=first, value=D("100.011"), reason="gauge was not zeroed")
    assert (first.verdict, second.verdict, second.replaces) == ("fail", "pass", first)
    assert list(Reading.objects.of_job(job).standing()) == [second]
    assert list(Reading.objects.of_job(job).out_of_limits()) == [first]
    event = Event.objects.of_job(job.number)[0]
    assert (event.verb, event.reason) == ("reading.corrected", "gauge was not zeroed")
    assert D(event.before["value"]) == D("100.111")


@pytest.mark.django_db
def test_a_reading_is_corrected_once_and_only_for_a_reason():
    job, actor = make_job(), actor_for(make_user())
    first = record_reading(actor=actor, job=job, value=D(1), **SEAT)
    with pytest.raises(WorkOrderError, match="why"):
        correct_reading(actor=actor, reading=first, value=D(2), reason=" ")
    correct_reading(actor=actor, reading=first, value=D(2), reason="slipped")
    with pytest.raises(WorkOrderError, match="already corrected"):
        correct_reading(actor=actor, reading=first, value=D(3), reason="again")
    assert Reading.objects.count() == 2


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("12e12", "Accepted: -999999999 to 999999999"),
        ("1.23456789", "at most 6"),
        ("ten", "“ten” is not a number"),
        ("1,5", "Enter 1.5."),
        ("nan", "not a number"),
    ],
)
def test_a_number_that_cannot_be_kept_is_refused_beside_its_field(typed, words):
    form = ReadingForm({**TYPED, "value": typed})
    assert not form.is_valid()
    assert words in form.errors["value"][0]
    assert set(form.errors) == {"value"}


@pytest.mark.parametrize(
    ("typed", "unit", "kept"),
    [("0.002 in", "in", "in"), ('.002"', "in", "in"), ("0.05 mm", "mm", "mm"), ("12 °C", "", "°C")],
)
def test_a_unit_may_be_typed_behind_the_number(typed, unit, kept):
    form = ReadingForm({**TYPED, "value": typed, "unit": unit})
    assert form.is_valid(), form.errors
    assert form.cleaned_data["unit"] == kept


def test_a_unit_behind_the_number_that_is_another_one_is_asked_about():
    form = ReadingForm({**TYPED, "value": "0.002 in", "unit": "mm"})
    assert "Number typed in in, unit set to mm." in form.errors["value"][0]


def test_limits_that_are_crossed_are_refused_beside_the_lower_one():
    form = ReadingForm({**TYPED, "limit_low": "2", "limit_high": "1"})
    assert "is above" in form.errors["limit_low"][0]


def test_a_correction_asks_for_its_reason():
    assert set(CorrectionForm({"value": "1"}).errors) == {"reason"}


def test_a_typed_minus_sign_and_thin_spaces_are_understood():
    assert ReadingForm({**TYPED, "value": "−1,000.5"}).is_valid()


@pytest.mark.django_db
def test_a_refused_reading_page_keeps_all_that_was_typed(client):
    job = make_job()
    client.force_login(make_user())
    answer = client.post(
        reverse("bench:reading", args=[job.number]),
        {**TYPED, "value": "12e12", "note": "cold", "form_key": "k1"},
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert all(words in page for words in ("12e12", "100.018", "cold", "seat of bearing 1", "k1"))
    assert Reading.objects.count() == 0


@pytest.mark.django_db
def test_a_reading_form_that_arrives_twice_is_kept_once(client):
    job = make_job()
    client.force_login(make_user())
    for _again in range(2):
        client.post(reverse("bench:reading", args=[job.number]), {**TYPED, "form_key": "once"})
    assert Reading.objects.of_job(job).count() == 1
