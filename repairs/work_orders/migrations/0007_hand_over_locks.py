"""Whose lock it is, what comes next, and for whom a hand-over is meant."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('work_orders', '0006_lay_outs'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name='handover',
            name='lock_of',
            field=models.CharField(blank=True, max_length=150, verbose_name='whose lock'),
        ),
        migrations.AddField(
            model_name='handover',
            name='meant_for',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='handover',
            name='next_action',
            field=models.CharField(blank=True, max_length=300, verbose_name='what comes next'),
        ),
        migrations.AddField(
            model_name='handover',
            name='step_title',
            field=models.CharField(blank=True, max_length=120, verbose_name='step'),
        ),
    ]
