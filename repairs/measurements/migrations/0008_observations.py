"""Damage found on parts, with its suspected cause apart from it."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('measurements', '0007_shop_tests'),
        ('work_orders', '0014_shop_words'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Observation',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('made_at', models.DateTimeField(blank=True, null=True, verbose_name='made')),
                ('arrived_later', models.BooleanField(default=False, verbose_name='arrived later')),
                ('item_uid', models.CharField(blank=True, max_length=12)),
                ('item', models.JSONField(blank=True, default=dict)),
                ('part_name', models.CharField(blank=True, max_length=120, verbose_name='part')),
                ('designation', models.CharField(blank=True, max_length=80)),
                ('edition', models.CharField(blank=True, max_length=200)),
                ('mode', models.CharField(max_length=12, verbose_name='damage')),
                ('element', models.CharField(blank=True, choices=[('inner', 'inner ring'), ('outer', 'outer ring'), ('rolling', 'rolling elements'), ('cage', 'cage'), ('face', 'ring face'), ('whole', 'whole part')], max_length=8, verbose_name='on which part of it')),
                ('load_zone_deg', models.DecimalField(blank=True, decimal_places=1, max_digits=4, null=True)),
                ('location', models.CharField(blank=True, max_length=120, verbose_name='location')),
                ('extent', models.CharField(blank=True, max_length=120, verbose_name='extent')),
                ('confidence', models.CharField(choices=[('certain', 'certain'), ('likely', 'likely'), ('possible', 'possible')], max_length=8)),
                ('note', models.CharField(blank=True, max_length=300, verbose_name='note')),
                ('cause', models.CharField(blank=True, max_length=300, verbose_name='suspected cause')),
                ('cause_evidence', models.CharField(blank=True, max_length=300, verbose_name='evidence')),
                ('cause_confidence', models.CharField(blank=True, choices=[('certain', 'certain'), ('likely', 'likely'), ('possible', 'possible')], max_length=8)),
                ('mounted_by_us', models.CharField(blank=True, choices=[('yes', 'yes'), ('no', 'no'), ('unknown', 'not known')], max_length=8)),
                ('at', models.DateTimeField(auto_now_add=True)),
                ('person_name', models.CharField(max_length=150)),
                ('reason', models.CharField(blank=True, max_length=300, verbose_name='reason for correction')),
                ('withdrawn', models.BooleanField(default=False)),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='observations', to='work_orders.job')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('photo', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='work_orders.jobphoto')),
                ('replaces', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='measurements.observation')),
                ('stack_record', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='work_orders.stackrecord')),
                ('step', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='observations', to='work_orders.step')),
            ],
            options={
                'ordering': ['id'],
                'indexes': [models.Index(fields=['designation', 'edition'], name='observed_bearing')],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('item_uid', ''), _negated=True), models.Q(('part_name', ''), _negated=True), _connector='OR'), name='observation_names_a_part'), models.CheckConstraint(condition=models.Q(('cause', ''), models.Q(('cause_evidence', ''), _negated=True), _connector='OR'), name='cause_has_evidence')],
            },
        ),
    ]
