"""What lay dry beside the mount before anything was heated."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('work_orders', '0005_looked_for'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='LayOut',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('person_name', models.CharField(max_length=150)),
                ('at', models.DateTimeField(auto_now_add=True)),
                ('lines', models.JSONField(default=list)),
                ('differences', models.JSONField(blank=True, default=list)),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='lay_outs', to='work_orders.job')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('specified', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='lay_outs', to='work_orders.stackrecord')),
            ],
            options={
                'ordering': ['id'],
            },
        ),
    ]
