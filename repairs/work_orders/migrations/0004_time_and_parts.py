"""Tables of time worked, parts, outside services and cautions read."""

import django.core.validators
import django.db.models.deletion
from decimal import Decimal
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('work_orders', '0003_search'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='StrippedPart',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=120, verbose_name='part')),
                ('tag', models.CharField(blank=True, max_length=40, verbose_name='tag on the part')),
                ('place', models.CharField(blank=True, max_length=120, verbose_name='where it lies')),
                ('disposition', models.CharField(choices=[('open', 'not decided'), ('reuse', 'reuse'), ('repair', 'repair'), ('replace', 'replace'), ('customer', 'the customer supplies it'), ('missing', 'missing'), ('scrap', 'scrap')], default='open', max_length=10, verbose_name='what becomes of it')),
                ('note', models.CharField(blank=True, max_length=300, verbose_name='note')),
                ('version', models.PositiveIntegerField(default=1)),
                ('at', models.DateTimeField(auto_now_add=True)),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='stripped_parts', to='work_orders.job')),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.CreateModel(
            name='UsedPart',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=120, verbose_name='part or material')),
                ('designation', models.CharField(blank=True, max_length=120, verbose_name='designation, size, lot')),
                ('quantity', models.DecimalField(decimal_places=3, max_digits=10, validators=[django.core.validators.MinValueValidator(Decimal('0.001'))], verbose_name='quantity')),
                ('unit', models.CharField(default='pc', max_length=20, verbose_name='unit')),
                ('person_name', models.CharField(max_length=150)),
                ('at', models.DateTimeField(auto_now_add=True)),
                ('withdrawn_at', models.DateTimeField(blank=True, null=True)),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='used_parts', to='work_orders.job')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('step', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='used_parts', to='work_orders.step')),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.CreateModel(
            name='CautionRead',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('step_kind', models.CharField(max_length=20)),
                ('wording', models.CharField(max_length=16)),
                ('at', models.DateTimeField(auto_now_add=True)),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='cautions_read', to='work_orders.job')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('job', 'person', 'step_kind', 'wording'), name='caution_read_once')],
            },
        ),
        migrations.CreateModel(
            name='OutsideService',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('what', models.CharField(max_length=200, verbose_name='work')),
                ('sent_to', models.CharField(max_length=120, verbose_name='sent to')),
                ('reference', models.CharField(blank=True, max_length=60, verbose_name='their reference')),
                ('sent_on', models.DateField(verbose_name='sent')),
                ('due_on', models.DateField(blank=True, null=True, verbose_name='due back')),
                ('back_on', models.DateField(blank=True, null=True, verbose_name='came back')),
                ('result', models.CharField(blank=True, max_length=300, verbose_name='what they report')),
                ('version', models.PositiveIntegerField(default=1)),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='outside_services', to='work_orders.job')),
            ],
            options={
                'ordering': ['id'],
                'constraints': [models.CheckConstraint(condition=models.Q(('back_on__isnull', True), ('back_on__gte', models.F('sent_on')), _connector='OR'), name='service_back_after_sent')],
            },
        ),
        migrations.CreateModel(
            name='WorkPeriod',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('person_name', models.CharField(max_length=150)),
                ('started_at', models.DateTimeField()),
                ('ended_at', models.DateTimeField(blank=True, null=True)),
                ('note', models.CharField(blank=True, max_length=200, verbose_name='note')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('step', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='work_periods', to='work_orders.step')),
            ],
            options={
                'ordering': ['id'],
                'constraints': [models.UniqueConstraint(condition=models.Q(('ended_at__isnull', True)), fields=('person',), name='one_running_work_per_person'), models.CheckConstraint(condition=models.Q(('ended_at__isnull', True), ('ended_at__gte', models.F('started_at')), _connector='OR'), name='work_ends_after_start')],
            },
        ),
    ]
