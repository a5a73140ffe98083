import django.db.models.deletion
import django.utils.timezone
from django.db import migrations, models


def remove_unfinished(apps, schema_editor):
    """On the way back: what a broken import left would become part of the book."""
    apps.get_model("bearings", "Rating")._base_manager.filter(imported_with__in_force=False).delete()
    apps.get_model("bearings", "RatingImport")._base_manager.filter(in_force=False).delete()
    apps.get_model("bearings", "Source")._base_manager.filter(in_force=False).delete()
    if schema_editor.connection.vendor == "postgresql":
        # A table with checks that still wait cannot be altered.
        schema_editor.execute("SET CONSTRAINTS ALL IMMEDIATE")


class Migration(migrations.Migration):

    dependencies = [
        ('bearings', '0001_initial'),
    ]

    operations = [
        migrations.CreateModel(
            name='RatingImport',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('key', models.CharField(max_length=64)),
                ('token', models.CharField(max_length=32)),
                ('in_force', models.BooleanField(default=False)),
                ('begun_at', models.DateTimeField(auto_now_add=True)),
                ('heartbeat', models.DateTimeField(default=django.utils.timezone.now)),
            ],
        ),
        migrations.RemoveConstraint(
            model_name='source',
            name='source_edition_once',
        ),
        migrations.AddField(
            model_name='source',
            name='in_force',
            field=models.BooleanField(default=True),
        ),
        migrations.AddField(
            model_name='source',
            name='ratings_version',
            field=models.PositiveIntegerField(default=1),
        ),
        migrations.AddConstraint(
            model_name='source',
            constraint=models.UniqueConstraint(condition=models.Q(('in_force', True)), fields=('maker', 'title', 'edition'), name='source_edition_once'),
        ),
        migrations.AddField(
            model_name='ratingimport',
            name='source',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='imports', to='bearings.source'),
        ),
        migrations.AddField(
            model_name='rating',
            name='imported_with',
            field=models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='ratings', to='bearings.ratingimport'),
        ),
        migrations.AddConstraint(
            model_name='ratingimport',
            constraint=models.UniqueConstraint(condition=models.Q(('in_force', False)), fields=('source',), name='one_import_at_a_time'),
        ),
        migrations.RunPython(migrations.RunPython.noop, remove_unfinished),
    ]
