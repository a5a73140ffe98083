"""Whose word a job's limit is: the customer's, as all were before, or the maker's."""

from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('measurements', '0008_observations'),
        ('work_orders', '0014_shop_words'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name='standinglimit',
            name='one_limit_a_job_and_reading',
        ),
        migrations.AddField(
            model_name='standinglimit',
            name='level',
            field=models.CharField(choices=[('customer', 'customer (PO, specification)'), ('maker', 'motor maker (drawing, manual)')], default='customer', max_length=10, verbose_name='whose limit'),
        ),
        migrations.AddConstraint(
            model_name='standinglimit',
            constraint=models.UniqueConstraint(condition=models.Q(('job__isnull', False), ('replaced_at__isnull', True)), fields=('job', 'asked', 'level'), name='one_limit_a_job_and_reading'),
        ),
    ]
