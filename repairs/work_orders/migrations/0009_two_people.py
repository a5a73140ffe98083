"""Overrides by two people, what a second person saw of each bearing, and under which gates a signature was given."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('work_orders', '0008_ended_jobs'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='BearingLook',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('uid', models.CharField(max_length=20)),
                ('face', models.CharField(choices=[('up', 'up'), ('down', 'down'), ('cannot_see', 'cannot see it')], max_length=10)),
                ('person_name', models.CharField(max_length=150)),
                ('at', models.DateTimeField(auto_now_add=True)),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.CreateModel(
            name='Override',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('act', models.CharField(choices=[('skip', 'step left out'), ('pass', 'gate opened')], max_length=4)),
                ('reasons', models.JSONField(default=list)),
                ('reason', models.CharField(max_length=300, verbose_name="reason in the lead's own words")),
                ('differs', models.BooleanField(default=False)),
                ('consent_by', models.CharField(blank=True, max_length=120, verbose_name="customer's consent: who")),
                ('consent_on', models.DateField(blank=True, null=True, verbose_name="customer's consent: when")),
                ('consent_how', models.CharField(blank=True, max_length=120, verbose_name="customer's consent: how")),
                ('tell_customer', models.CharField(blank=True, max_length=500, verbose_name='tell the customer')),
                ('lead_name', models.CharField(max_length=150)),
                ('lead_session', models.CharField(max_length=64)),
                ('lead_by_pin', models.BooleanField(default=False)),
                ('asked_at', models.DateTimeField(auto_now_add=True)),
                ('second_name', models.CharField(blank=True, max_length=150)),
                ('confirmed_at', models.DateTimeField(blank=True, null=True)),
                ('withdrawn_at', models.DateTimeField(blank=True, null=True)),
                ('withdrawn_name', models.CharField(blank=True, max_length=150)),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.AddField(
            model_name='acceptedfinding',
            name='by_pin',
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name='acceptedfinding',
            name='needs_second',
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name='acceptedfinding',
            name='second',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='acceptedfinding',
            name='second_at',
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name='acceptedfinding',
            name='second_name',
            field=models.CharField(blank=True, max_length=150),
        ),
        migrations.AddField(
            model_name='acceptedfinding',
            name='session',
            field=models.CharField(blank=True, max_length=64),
        ),
        migrations.AddField(
            model_name='job',
            name='override_words',
            field=models.CharField(blank=True, max_length=200),
        ),
        # Every signature given so far was given under the first gates, and stays as it is.
        migrations.AddField(
            model_name='signoff',
            name='rules',
            field=models.PositiveSmallIntegerField(default=1),
        ),
        migrations.AlterField(
            model_name='signoff',
            name='rules',
            field=models.PositiveSmallIntegerField(default=2),
        ),
        migrations.AddConstraint(
            model_name='acceptedfinding',
            constraint=models.CheckConstraint(condition=models.Q(('second__isnull', True), models.Q(('second', models.F('person')), _negated=True), _connector='OR'), name='finding_accepted_by_two_people'),
        ),
        migrations.AddField(
            model_name='bearinglook',
            name='person',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='bearinglook',
            name='photo',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='work_orders.jobphoto'),
        ),
        migrations.AddField(
            model_name='bearinglook',
            name='record',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='looks', to='work_orders.stackrecord'),
        ),
        migrations.AddField(
            model_name='override',
            name='job',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='overrides', to='work_orders.job'),
        ),
        migrations.AddField(
            model_name='override',
            name='lead',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='override',
            name='second',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='override',
            name='step',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='overrides', to='work_orders.step'),
        ),
        migrations.AddIndex(
            model_name='bearinglook',
            index=models.Index(fields=['record', 'person'], name='look_of_person'),
        ),
        migrations.AddConstraint(
            model_name='override',
            constraint=models.UniqueConstraint(condition=models.Q(('confirmed_at__isnull', True), ('withdrawn_at__isnull', True)), fields=('step',), name='override_asked_once_a_step'),
        ),
        migrations.AddConstraint(
            model_name='override',
            constraint=models.CheckConstraint(condition=models.Q(('second__isnull', True), models.Q(('second', models.F('lead')), _negated=True), _connector='OR'), name='override_by_two_people'),
        ),
        migrations.AddConstraint(
            model_name='override',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('confirmed_at__isnull', True), ('second__isnull', True)), models.Q(('confirmed_at__isnull', False), ('second__isnull', False), ('withdrawn_at__isnull', True)), _connector='OR'), name='override_confirmed_by_somebody'),
        ),
    ]
