from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('rechecks', '0003_findings_that_differ'),
    ]

    operations = [
        migrations.AlterField(
            model_name='change',
            name='note',
            field=models.CharField(blank=True, max_length=300, verbose_name='action taken'),
        ),
        migrations.AlterField(
            model_name='recheck',
            name='why',
            field=models.CharField(choices=[('policy', 'shop policy changed'), ('edition', 'source has a new edition'), ('rating', 'rating changed'), ('plate', 'nameplate changed'), ('hand', 'started by hand')], max_length=10),
        ),
    ]
