"""Shop tests, their settings, the sheets that ask for them, instruments; units of vibration by their full names."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


# What the two units of vibration mean in a shop: millimetres a second as rms, inches a second as peak.
UNITS = {"mm/s": "mm/s rms", "in/s": "in/s pk"}


def name_units(apps, _schema_editor):
    limits = apps.get_model("measurements", "StandingLimit")
    for old, new in UNITS.items():
        limits.objects.filter(unit=old).update(unit=new)


def name_units_as_before(apps, _schema_editor):
    limits = apps.get_model("measurements", "StandingLimit")
    for old, new in UNITS.items():
        limits.objects.filter(unit=new).update(unit=old)


class Migration(migrations.Migration):

    dependencies = [
        ('measurements', '0006_shop_words'),
        ('work_orders', '0014_shop_words'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Instrument',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('tag', models.CharField(max_length=40, unique=True, verbose_name='tag')),
                ('name', models.CharField(max_length=80, verbose_name='what it is')),
                ('calibration_due', models.DateField(blank=True, null=True, verbose_name='calibration due')),
                ('active', models.BooleanField(default=True)),
                ('version', models.PositiveIntegerField(default=1)),
            ],
            options={
                'ordering': ['tag'],
            },
        ),
        migrations.AddField(
            model_name='reading',
            name='limit_sureness',
            field=models.CharField(blank=True, max_length=16),
        ),
        migrations.CreateModel(
            name='TestRecord',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('made_at', models.DateTimeField(blank=True, null=True, verbose_name='made')),
                ('arrived_later', models.BooleanField(default=False, verbose_name='arrived later')),
                ('moment', models.CharField(choices=[('as_found', 'as found'), ('as_left', 'as left')], max_length=10)),
                ('test', models.CharField(max_length=24)),
                ('sheet_version', models.PositiveIntegerField(default=0)),
                ('typed', models.JSONField(default=dict)),
                ('entries', models.JSONField(default=dict)),
                ('machine', models.JSONField(default=dict)),
                ('answer', models.JSONField(default=dict)),
                ('confirmed', models.JSONField(default=list)),
                ('verdict', models.CharField(choices=[('pass', 'pass'), ('fail', 'fail'), ('not_checked', 'not checked'), ('noted', 'noted')], max_length=12)),
                ('instrument', models.CharField(blank=True, max_length=80, verbose_name='instrument')),
                ('calibration_due', models.DateField(blank=True, null=True)),
                ('note', models.CharField(blank=True, max_length=300, verbose_name='note')),
                ('at', models.DateTimeField(auto_now_add=True)),
                ('person_name', models.CharField(max_length=150)),
                ('reason', models.CharField(blank=True, max_length=300, verbose_name='reason for correction')),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='tests', to='work_orders.job')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('replaces', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='measurements.testrecord')),
                ('step', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='tests', to='work_orders.step')),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.AddField(
            model_name='reading',
            name='test',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='readings', to='measurements.testrecord'),
        ),
        migrations.CreateModel(
            name='TestSetting',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('key', models.CharField(max_length=60)),
                ('value', models.CharField(max_length=40)),
                ('entered_name', models.CharField(max_length=150)),
                ('entered_at', models.DateTimeField(auto_now_add=True)),
                ('replaced_at', models.DateTimeField(blank=True, null=True)),
                ('entered_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('job', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='test_settings', to='work_orders.job')),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.CreateModel(
            name='ReadingSheet',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('receive', 'receive and tag'), ('incoming_test', 'incoming test'), ('strip_record', 'tear down, record as found'), ('clean', 'clean and dry'), ('measure', 'measure'), ('observe', 'observations, proposed stack'), ('estimate', 'estimate'), ('approval', 'approval'), ('winding', 'winding'), ('machining', 'machining'), ('balance', 'balance'), ('specify', 'specify the stack'), ('lay_out', 'dry layout: order, faces, marks, photo'), ('mount', 'heat, mount, record as built'), ('second_person', 'second-person check, cap off'), ('end_play', 'set end play'), ('final_test', 'final test'), ('ship', 'finish and ship'), ('report', 'report'), ('other', 'other')], max_length=20)),
                ('build', models.CharField(blank=True, max_length=20)),
                ('version', models.PositiveIntegerField(default=1)),
                ('rows', models.JSONField(default=list)),
                ('entered_name', models.CharField(max_length=150)),
                ('entered_at', models.DateTimeField(auto_now_add=True)),
                ('replaced_at', models.DateTimeField(blank=True, null=True)),
                ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['kind', 'build', 'version'],
                'constraints': [models.UniqueConstraint(fields=('kind', 'build', 'version'), name='sheet_version_once'), models.UniqueConstraint(condition=models.Q(('replaced_at__isnull', True)), fields=('kind', 'build'), name='sheet_one_current')],
            },
        ),
        migrations.AddIndex(
            model_name='testrecord',
            index=models.Index(fields=['job', 'test'], name='test_of_job'),
        ),
        migrations.AddConstraint(
            model_name='testsetting',
            constraint=models.UniqueConstraint(condition=models.Q(('job__isnull', False), ('replaced_at__isnull', True)), fields=('job', 'key'), name='one_setting_a_job_and_key'),
        ),
        migrations.AddConstraint(
            model_name='testsetting',
            constraint=models.UniqueConstraint(condition=models.Q(('job__isnull', True), ('replaced_at__isnull', True)), fields=('key',), name='one_setting_a_shop_and_key'),
        ),
        migrations.RunPython(name_units, name_units_as_before),
    ]
