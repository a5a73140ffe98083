"""Sentences that former versions kept with a job become figures, and sentences again on the way back."""

from __future__ import annotations

from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection, transaction

from repairs.work_orders.models import Job, StackRecord
from repairs.work_orders.warning_words import alert_text, difference_text
from tests.repairs.factories import make_job
from tests.repairs.signed_stacks import approved, built

pytestmark = pytest.mark.django_db
migration = import_module("repairs.work_orders.migrations.0013_warnings_in_figures")


def forward() -> None:
    migration.in_figures(apps, None)


def back() -> None:
    with transaction.atomic():
        migration.in_sentences(apps, SimpleNamespace(connection=connection))


def test_the_sentence_of_a_finding_becomes_its_figures_and_comes_back():
    job = make_job()
    record = approved(job)
    assert record.assessment is not None
    job.refresh_from_db()
    now = job.alert
    assert now is not None
    row = next(row for row in record.assessment.answer["findings"] if row["code"] == now["code"])
    kept = {name: row[name] for name in ("code", "ref", "value", "limit", "unit")}
    Job.objects.filter(pk=job.pk).update(alert={"kind": "finding", **kept, "text": row["message"]})
    forward()
    job.refresh_from_db()
    assert job.alert == now
    back()
    job.refresh_from_db()
    assert job.alert["text"] == row["message"]


def test_a_sentence_whose_figures_are_gone_stays_as_it_was_written():
    job = make_job()
    old = {
        "kind": "finding",
        "code": "life",
        "ref": "1",
        "value": 1,
        "limit": 2,
        "unit": "h",
        "text": "As it was.",
    }
    Job.objects.filter(pk=job.pk).update(alert=old)
    forward()
    job.refresh_from_db()
    assert job.alert == old
    assert alert_text(job.alert, "us") == "As it was."


def test_differences_that_were_signed_in_codes_have_their_sentence_on_the_way_back():
    job = make_job()
    approved(job)
    record = built(job, "duu")
    (row,) = record.differences
    assert "text" not in row
    back()
    (old,) = StackRecord.objects.get(pk=record.pk).differences
    assert old == {**row, "text": difference_text(row, "si")}
    job.refresh_from_db()
    assert job.alert["text"] == old["text"]
