from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('measurements', '0005_time_of_making'),
    ]

    operations = [
        migrations.AlterField(
            model_name='reading',
            name='limit_source',
            field=models.CharField(blank=True, max_length=160, verbose_name='limit source'),
        ),
        migrations.AlterField(
            model_name='reading',
            name='quantity',
            field=models.CharField(max_length=120, verbose_name='reading'),
        ),
        migrations.AlterField(
            model_name='runconcession',
            name='reason',
            field=models.CharField(max_length=300, verbose_name='reason not run'),
        ),
        migrations.AlterField(
            model_name='seatrecord',
            name='gauge',
            field=models.CharField(choices=[('same', 'same temperature and material'), ('at_20', 'gauge at 20\xa0°C, part measured'), ('unknown', 'not known')], default='unknown', max_length=8),
        ),
        migrations.AlterField(
            model_name='seatrecord',
            name='limits_from',
            field=models.CharField(choices=[('drawing', 'drawing'), ('order', 'customer or PO'), ('rule', 'common rule'), ('none', 'none')], max_length=8),
        ),
        migrations.AlterField(
            model_name='seatrecord',
            name='name',
            field=models.CharField(blank=True, max_length=60, verbose_name='which one'),
        ),
        migrations.AlterField(
            model_name='seatrecord',
            name='place',
            field=models.CharField(choices=[('mount', 'thrust bearing seat on the mount'), ('shaft_upper', 'upper guide bearing seat on the shaft'), ('shaft_lower', 'lower guide bearing seat on the shaft'), ('shaft_other', 'other shaft seat'), ('housing_thrust', 'thrust bearing housing'), ('housing_upper', 'upper guide bearing housing'), ('housing_lower', 'lower guide bearing housing'), ('housing_other', 'other housing seat')], max_length=16, verbose_name='seat'),
        ),
        migrations.AlterField(
            model_name='seatrecord',
            name='reason',
            field=models.CharField(blank=True, max_length=300, verbose_name='reason for correction'),
        ),
        migrations.AlterField(
            model_name='standinglimit',
            name='source',
            field=models.CharField(max_length=160, verbose_name='limit source'),
        ),
    ]
