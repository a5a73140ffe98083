"""Warnings of jobs are kept in codes and figures. Sentences of former versions stay readable as they were written."""

from django.db import migrations
from django.utils import translation

from repairs.ledger.frozen_rows import opened

STAGE = "specified"


def in_figures(apps, _schema_editor):
    """Put the figures behind a job's sentence in its place, where the stack that it came from still has them."""
    records = apps.get_model("work_orders", "StackRecord")._base_manager
    for job in apps.get_model("work_orders", "Job")._base_manager.filter(alert__kind="finding"):
        specified = records.filter(job_id=job.pk, stage=STAGE, assessment__isnull=False)
        for record in specified.select_related("assessment").order_by("-revision"):
            if (finding := _finding(record.assessment.answer, job.alert)) is not None:
                job.alert = {"kind": "finding", **finding}
                job.save(update_fields=["alert"])
                break


def _finding(answer, alert):
    """Return the finding that a sentence was made of."""
    for row, params in zip(answer["findings"], answer.get("finding_params", ()), strict=False):
        if (row["code"], row["ref"], row["message"]) == (alert["code"], alert["ref"], alert.get("text")):
            kept = {name: row[name] for name in ("code", "severity", "ref", "value", "limit", "unit", "source")}
            return {**kept, "refs": list(row.get("refs", ())), "params": params}
    return None


def in_sentences(apps, schema_editor):
    """Write beside each warning its sentence in SI, as the version before reads it. The figures stay."""
    # Only on the way back, where no stored words are: the sentences of the version that is left.
    from repairs.work_orders.warning_words import alert_text, difference_text

    with translation.override("en"):
        for job in apps.get_model("work_orders", "Job")._base_manager.filter(alert__isnull=False):
            job.alert = {**job.alert, "text": alert_text(job.alert, "si")}
            job.save(update_fields=["alert"])
        with opened(schema_editor.connection):
            records = apps.get_model("work_orders", "StackRecord")._base_manager
            for record in records.filter(differences__isnull=False).exclude(differences=[]):
                rows = [{**row, "text": difference_text(row, "si")} for row in record.differences]
                records.filter(pk=record.pk).update(differences=rows)


class Migration(migrations.Migration):

    dependencies = [("work_orders", "0012_tell_customer"), ("bearings", "0001_initial"), ("ledger", "0003_append_only")]

    operations = [migrations.RunPython(in_figures, in_sentences)]
