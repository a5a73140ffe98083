"""A form takes as many letters as its column holds: not one more, which a database cuts or refuses, and none less."""

from __future__ import annotations

from typing import Final

import pytest
from django import forms
from django.db import models

from bearings.models import Rating, Source
from repairs.bench.overrides import OverrideForm
from repairs.bench.parts import BackForm, SentForm, StrippedForm, UsedForm
from repairs.customers.models import Contact, Customer, Site
from repairs.measurements import forms as readings
from repairs.measurements.models import (
    Instrument,
    Observation,
    Reading,
    RunConcession,
    SeatRecord,
    TestRecord,
)
from repairs.measurements.observations.forms import ObservationForm
from repairs.measurements.seat_forms import SeatForm
from repairs.measurements.shop_tests.forms import TestForm
from repairs.motors.models import Motor
from repairs.office.book_forms import RatingForm, SourceForm
from repairs.office.customer_forms import ContactForm, CustomerForm, SiteForm
from repairs.office.job_forms import JobForm
from repairs.office.motor_forms import MotorForm
from repairs.office.sheet_forms import InstrumentForm
from repairs.work_orders.models import Job, OutsideService, Override, StrippedPart, UsedPart

FORMS: Final[dict[type[forms.BaseForm], type[models.Model]]] = {
    OverrideForm: Override,
    StrippedForm: StrippedPart,
    UsedForm: UsedPart,
    SentForm: OutsideService,
    BackForm: OutsideService,
    readings.ReadingForm: Reading,
    readings.CorrectionForm: Reading,
    TestForm: TestRecord,
    InstrumentForm: Instrument,
    readings.ConcessionForm: RunConcession,
    ObservationForm: Observation,
    SeatForm: SeatRecord,
    SourceForm: Source,
    RatingForm: Rating,
    CustomerForm: Customer,
    SiteForm: Site,
    ContactForm: Contact,
    MotorForm: Motor,
    JobForm: Job,
}
# Entered under one name, kept under another.
KEPT_AS: Final = {("CorrectionForm", "reason"): "note"}


def pairs() -> list[tuple[str, str, int, int]]:
    """Return form, field, what the form takes and what the column holds."""
    found = []
    for form, model in FORMS.items():
        columns = {one.name: getattr(one, "max_length", None) for one in model._meta.get_fields()}
        for name, field in form.base_fields.items():
            column = columns.get(KEPT_AS.get((form.__name__, name), name))
            if getattr(field, "max_length", None) and column:
                found.append((form.__name__, name, field.max_length, column))
    return found


def test_the_forms_are_found() -> None:
    assert len(pairs()) >= 45


@pytest.mark.parametrize(("form", "field", "taken", "held"), pairs())
def test_a_form_takes_what_its_column_holds(form: str, field: str, taken: int, held: int) -> None:
    assert taken == held
