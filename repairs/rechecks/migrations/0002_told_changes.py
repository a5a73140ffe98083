"""Say of a change whether pages must tell of it, and find those quickly."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('rechecks', '0001_initial'),
    ]

    operations = [
        migrations.RemoveIndex(
            model_name='change',
            name='change_open_job',
        ),
        migrations.RemoveIndex(
            model_name='change',
            name='change_open_motor',
        ),
        migrations.AddField(
            model_name='change',
            name='told',
            field=models.BooleanField(default=False),
        ),
        migrations.AddIndex(
            model_name='change',
            index=models.Index(condition=models.Q(('replaced_by__isnull', True), ('seen_at__isnull', True), ('told', True)), fields=['job'], name='change_told_job'),
        ),
        migrations.AddIndex(
            model_name='change',
            index=models.Index(condition=models.Q(('replaced_by__isnull', True), ('seen_at__isnull', True), ('told', True)), fields=['motor'], name='change_told_motor'),
        ),
    ]
