"""Limits that stand before a reading, a judged value, a conceded run."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('measurements', '0003_seat_records'),
        ('work_orders', '0009_two_people'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name='reading',
            name='asked',
            field=models.CharField(blank=True, max_length=20),
        ),
        migrations.AddField(
            model_name='reading',
            name='limit_by',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.CreateModel(
            name='ReadingJudgment',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('reason', models.CharField(max_length=300, verbose_name='reason')),
                ('person_name', models.CharField(max_length=150)),
                ('at', models.DateTimeField(auto_now_add=True)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('reading', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='judgment', to='measurements.reading')),
            ],
        ),
        migrations.CreateModel(
            name='RunConcession',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('reason', models.CharField(max_length=300, verbose_name='why the shop cannot run it')),
                ('agreed_by', models.CharField(max_length=120, verbose_name="customer's consent: who")),
                ('agreed_on', models.DateField(verbose_name="customer's consent: when")),
                ('agreed_how', models.CharField(max_length=120, verbose_name="customer's consent: how")),
                ('person_name', models.CharField(max_length=150)),
                ('at', models.DateTimeField(auto_now_add=True)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('step', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='concession', to='work_orders.step')),
            ],
        ),
        migrations.CreateModel(
            name='StandingLimit',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('asked', models.CharField(max_length=20, verbose_name='reading')),
                ('unit', models.CharField(max_length=20, verbose_name='unit')),
                ('low', models.DecimalField(blank=True, decimal_places=6, max_digits=18, null=True, verbose_name='at least')),
                ('high', models.DecimalField(blank=True, decimal_places=6, max_digits=18, null=True, verbose_name='at most')),
                ('source', models.CharField(max_length=160, verbose_name='source of the limit')),
                ('entered_name', models.CharField(max_length=150)),
                ('entered_at', models.DateTimeField(auto_now_add=True)),
                ('replaced_at', models.DateTimeField(blank=True, null=True)),
                ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('job', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='limits', to='work_orders.job')),
            ],
            options={
                'ordering': ['id'],
                'constraints': [models.UniqueConstraint(condition=models.Q(('job__isnull', False), ('replaced_at__isnull', True)), fields=('job', 'asked'), name='one_limit_a_job_and_reading'), models.UniqueConstraint(condition=models.Q(('job__isnull', True), ('replaced_at__isnull', True)), fields=('asked',), name='one_limit_a_shop_and_reading'), models.CheckConstraint(condition=models.Q(('low__isnull', False), ('high__isnull', False), _connector='OR'), name='limit_says_something')],
            },
        ),
    ]
