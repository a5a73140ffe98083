"""Keep the stops and warnings that appeared and those that are gone, where only new stops were kept before."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('rechecks', '0002_told_changes'),
    ]

    operations = [
        migrations.RemoveField(
            model_name='change',
            name='stops',
        ),
        migrations.AddField(
            model_name='change',
            name='appeared',
            field=models.JSONField(default=list),
        ),
        migrations.AddField(
            model_name='change',
            name='gone',
            field=models.JSONField(default=list),
        ),
    ]
