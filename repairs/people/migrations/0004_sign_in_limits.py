"""Count tries of passwords and codes in rows of our own; drop the tables of the package that counted them before."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


def drop_former_counts(apps, schema_editor):
    connection = schema_editor.connection
    with connection.cursor() as cursor:
        former = [name for name in connection.introspection.table_names(cursor) if name.startswith("axes_")]
        for name in sorted(former):
            cursor.execute(f"DROP TABLE {connection.ops.quote_name(name)}")
        cursor.execute("DELETE FROM django_migrations WHERE app = 'axes'")


def drop_tries_of_codes(apps, schema_editor):
    apps.get_model("people", "PinTry").objects.filter(models.Q(device=None) | models.Q(person=None)).delete()


class Migration(migrations.Migration):

    dependencies = [
        ('people', '0003_shared_tablets_and_pins'),
    ]

    operations = [
        migrations.CreateModel(
            name='TryCount',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=12)),
                ('key', models.CharField(max_length=64)),
                ('account', models.CharField(blank=True, db_index=True, max_length=64)),
                ('tries', models.PositiveIntegerField(default=0)),
                ('since', models.DateTimeField()),
                ('touched_at', models.DateTimeField(db_index=True)),
                ('held_until', models.DateTimeField(null=True)),
                ('next_at', models.DateTimeField(null=True)),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('kind', 'key'), name='try_count_once')],
            },
        ),
        migrations.RunPython(drop_tries_of_codes, migrations.RunPython.noop),
        migrations.AlterField(
            model_name='pintry',
            name='device',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to='people.device'),
        ),
        migrations.AlterField(
            model_name='pintry',
            name='person',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.RunPython(drop_former_counts, migrations.RunPython.noop),
    ]
