from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('work_orders', '0013_warnings_in_figures'),
    ]

    operations = [
        migrations.AlterField(
            model_name='handover',
            name='danger',
            field=models.CharField(blank=True, max_length=300, verbose_name='hazards: energized, hot, lifted, locked out'),
        ),
        migrations.AlterField(
            model_name='handover',
            name='done',
            field=models.TextField(max_length=2000, verbose_name='done / not done'),
        ),
        migrations.AlterField(
            model_name='handover',
            name='next_action',
            field=models.CharField(blank=True, max_length=300, verbose_name='next'),
        ),
        migrations.AlterField(
            model_name='handover',
            name='not_to_trust',
            field=models.CharField(blank=True, max_length=300, verbose_name='suspect readings'),
        ),
        migrations.AlterField(
            model_name='handover',
            name='parts_lie',
            field=models.CharField(blank=True, max_length=300, verbose_name='where the parts are'),
        ),
        migrations.AlterField(
            model_name='hold',
            name='waits_for',
            field=models.CharField(choices=[('customer', 'customer'), ('parts', 'parts'), ('outside', 'outside service'), ('shop', 'shop'), ('engineer', 'engineer')], max_length=10, verbose_name='waiting for'),
        ),
        migrations.AlterField(
            model_name='job',
            name='complaint',
            field=models.TextField(blank=True, max_length=4000, verbose_name="customer's complaint"),
        ),
        migrations.AlterField(
            model_name='job',
            name='priority',
            field=models.CharField(choices=[('normal', 'normal'), ('rush', 'rush'), ('breakdown', 'breakdown, overtime approved')], default='normal', max_length=10, verbose_name='priority'),
        ),
        migrations.AlterField(
            model_name='job',
            name='purchase_order',
            field=models.CharField(blank=True, max_length=60, verbose_name='PO no.'),
        ),
        migrations.AlterField(
            model_name='job',
            name='state',
            field=models.CharField(choices=[('open', 'open'), ('closed', 'closed'), ('cancelled', 'canceled')], default='open', max_length=10),
        ),
        migrations.AlterField(
            model_name='lateentry',
            name='outcome',
            field=models.CharField(blank=True, choices=[('', 'open'), ('seen', 'seen'), ('accepted', 'accepted'), ('set_aside', 'set aside')], default='', max_length=10),
        ),
        migrations.AlterField(
            model_name='outsideservice',
            name='back_on',
            field=models.DateField(blank=True, null=True, verbose_name='returned'),
        ),
        migrations.AlterField(
            model_name='outsideservice',
            name='reference',
            field=models.CharField(blank=True, max_length=60, verbose_name='vendor reference'),
        ),
        migrations.AlterField(
            model_name='outsideservice',
            name='result',
            field=models.CharField(blank=True, max_length=300, verbose_name='vendor report'),
        ),
        migrations.AlterField(
            model_name='override',
            name='act',
            field=models.CharField(choices=[('skip', 'step skipped'), ('pass', 'gate overridden')], max_length=4),
        ),
        migrations.AlterField(
            model_name='override',
            name='reason',
            field=models.CharField(max_length=300, verbose_name='reason'),
        ),
        migrations.AlterField(
            model_name='signoff',
            name='signed_as',
            field=models.CharField(choices=[('worker', 'did the work'), ('second', 'second person'), ('override', 'let the job proceed')], default='worker', max_length=10),
        ),
        migrations.AlterField(
            model_name='stackrecord',
            name='top_identified',
            field=models.BooleanField(default=False, verbose_name='top of mount marked'),
        ),
        migrations.AlterField(
            model_name='step',
            name='kind',
            field=models.CharField(choices=[('receive', 'receive and tag'), ('incoming_test', 'incoming test'), ('strip_record', 'tear down, record as found'), ('clean', 'clean and dry'), ('measure', 'measure'), ('observe', 'observations, proposed stack'), ('estimate', 'estimate'), ('approval', 'approval'), ('winding', 'winding'), ('machining', 'machining'), ('balance', 'balance'), ('specify', 'specify the stack'), ('lay_out', 'dry layout: order, faces, marks, photo'), ('mount', 'heat, mount, record as built'), ('second_person', 'second-person check, cap off'), ('end_play', 'set end play'), ('final_test', 'final test'), ('ship', 'finish and ship'), ('report', 'report'), ('other', 'other')], default='other', max_length=20),
        ),
        migrations.AlterField(
            model_name='strippedpart',
            name='disposition',
            field=models.CharField(choices=[('open', 'undecided'), ('reuse', 'reuse'), ('repair', 'repair'), ('replace', 'replace'), ('customer', 'customer supplies'), ('missing', 'missing'), ('scrap', 'scrap')], default='open', max_length=10, verbose_name='disposition'),
        ),
        migrations.AlterField(
            model_name='strippedpart',
            name='place',
            field=models.CharField(blank=True, max_length=120, verbose_name='location'),
        ),
        migrations.AlterField(
            model_name='strippedpart',
            name='tag',
            field=models.CharField(blank=True, max_length=40, verbose_name='part tag'),
        ),
        migrations.AlterField(
            model_name='templatestep',
            name='kind',
            field=models.CharField(choices=[('receive', 'receive and tag'), ('incoming_test', 'incoming test'), ('strip_record', 'tear down, record as found'), ('clean', 'clean and dry'), ('measure', 'measure'), ('observe', 'observations, proposed stack'), ('estimate', 'estimate'), ('approval', 'approval'), ('winding', 'winding'), ('machining', 'machining'), ('balance', 'balance'), ('specify', 'specify the stack'), ('lay_out', 'dry layout: order, faces, marks, photo'), ('mount', 'heat, mount, record as built'), ('second_person', 'second-person check, cap off'), ('end_play', 'set end play'), ('final_test', 'final test'), ('ship', 'finish and ship'), ('report', 'report'), ('other', 'other')], default='other', max_length=20),
        ),
    ]
