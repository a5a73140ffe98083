import django.db.models.deletion
from django.db import migrations, models

from repairs.edge.names import number_key


CHUNK = 500


def fill_keys(apps, schema_editor):
    """Write the key of every serial number that is there already."""
    motors = apps.get_model("motors", "Motor")._base_manager
    last = 0
    while rows := list(motors.filter(pk__gt=last).exclude(serial="").order_by("pk").only("pk", "serial")[:CHUNK]):
        for row in rows:
            row.serial_key = number_key(row.serial)
        motors.bulk_update(rows, ["serial_key"])
        last = rows[-1].pk


class Migration(migrations.Migration):

    dependencies = [
        ('customers', '0002_merged_records'),
        ('motors', '0003_thrust_sheet'),
        ('photos', '0001_initial'),
    ]

    operations = [
        migrations.AddField(
            model_name='motor',
            name='merged_into',
            field=models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='merged', to='motors.motor'),
        ),
        migrations.AddField(
            model_name='motor',
            name='serial_key',
            field=models.CharField(blank=True, editable=False, max_length=160),
        ),
        migrations.AddIndex(
            model_name='motor',
            index=models.Index(fields=['serial_key'], name='motor_serial_key'),
        ),
        migrations.RunPython(fill_keys, migrations.RunPython.noop),
    ]
