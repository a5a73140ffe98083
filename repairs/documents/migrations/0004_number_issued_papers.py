"""Give every content that was issued before its number; going back forgets the numbers with their table."""

from django.db import migrations


def number_issued(apps, schema_editor):
    IssuedDocument = apps.get_model("documents", "IssuedDocument")
    PaperRevision = apps.get_model("documents", "PaperRevision")
    rows = IssuedDocument.objects.order_by("id").values_list("job_id", "kind", "content_hash", "revision")
    seen = {}
    for job, kind, content_hash, revision in rows.iterator():
        seen.setdefault((job, kind, revision), content_hash)
    PaperRevision.objects.bulk_create(
        (
            PaperRevision(job_id=job, kind=kind, content_hash=content_hash, revision=revision)
            for (job, kind, revision), content_hash in seen.items()
        ),
        batch_size=500,
        ignore_conflicts=True,
    )


class Migration(migrations.Migration):
    dependencies = [("documents", "0003_revisions_and_faults")]
    operations = [migrations.RunPython(number_issued, migrations.RunPython.noop)]
