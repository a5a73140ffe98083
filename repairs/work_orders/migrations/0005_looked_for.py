"""What somebody looked for in a stack and did not find."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('work_orders', '0004_time_and_parts'),
    ]

    operations = [
        migrations.AddField(
            model_name='stackrecord',
            name='absent',
            field=models.JSONField(blank=True, default=list),
        ),
    ]
