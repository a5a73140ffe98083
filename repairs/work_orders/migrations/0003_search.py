"""Tables of the search: keys for prefixes, and every fragment of three characters."""

from django.db import migrations, models

SQLITE = ["CREATE VIRTUAL TABLE work_orders_searchtext USING fts5(words, tokenize = 'trigram')"]
POSTGRESQL = [
    "CREATE EXTENSION IF NOT EXISTS pg_trgm",
    # By bytes, as SQLite does it: one range finds a prefix whatever the database's own collation is.
    'ALTER TABLE work_orders_searchkey ALTER COLUMN key TYPE varchar(130) COLLATE "C"',
    "CREATE TABLE work_orders_searchtext (rowid bigint PRIMARY KEY, words text NOT NULL)",
    "CREATE INDEX search_text_trigrams ON work_orders_searchtext USING gin (words gin_trgm_ops)",
]


def make_text_table(apps, schema_editor):
    for statement in POSTGRESQL if schema_editor.connection.vendor == "postgresql" else SQLITE:
        schema_editor.execute(statement)


def drop_text_table(apps, schema_editor):
    # The extension stays: other schemas of the same database may use it.
    schema_editor.execute("DROP TABLE work_orders_searchtext")


class Migration(migrations.Migration):

    dependencies = [
        ('work_orders', '0002_board_order'),
    ]

    operations = [
        migrations.CreateModel(
            name='SearchKey',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.PositiveSmallIntegerField(choices=[(0, 'Job'), (1, 'Motor'), (2, 'Customer')])),
                ('subject_id', models.BigIntegerField()),
                ('key', models.CharField(max_length=130)),
            ],
            options={
                'indexes': [models.Index(fields=['kind', 'key', '-subject_id'], name='search_key_prefix'), models.Index(fields=['kind', 'subject_id'], name='search_key_subject')],
            },
        ),
        migrations.RunPython(make_text_table, drop_text_table),
    ]
