"""The commands that take a rating file in and write one."""

from __future__ import annotations

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from bearings.book import rating_figures
from bearings.models import Rating, Source
from repairs.ledger.models import Event
from tests.bearings.book_file.writing import file_of, line, raw

pytestmark = pytest.mark.django_db


def test_the_commands_take_in_and_write_out_the_same(tmp_path, capsys):
    path = tmp_path / "in.csv"
    path.write_bytes(file_of(line(), line(designation="T22")).getvalue())
    where = ["--maker", "Maker C (invented)", "--title", "T", "--edition", "1"]
    call_command("import_ratings", str(path), *where, "--dry-run")
    assert not Rating.objects.exists()
    assert not Source.objects.exists()
    call_command("import_ratings", str(path), *where)
    assert Rating.objects.count() == 2
    assert Event.objects.get(verb="ratings.imported").actor_name == "system"
    out = tmp_path / "out.csv"
    call_command("export_ratings", str(out), *where)
    call_command(
        "import_ratings", str(out), "--maker", "Maker D (invented)", "--title", "T", "--edition", "1"
    )
    assert Rating.objects.count() == 4
    first, second = Rating.objects.filter(designation="T22").order_by("pk")
    assert rating_figures(first) == rating_figures(second)


@pytest.mark.parametrize(
    ("file", "said"),
    [
        (file_of(line(bore="-1")), "line 3, bore: -1: Number is out of range."),
        (file_of(line(dynamic_rating="48559", static_rating="46760")), "Is it in lbf?"),
        (raw("x"), "No known column name"),
    ],
)
def test_the_command_refuses_with_the_lines_and_writes_nothing(tmp_path, file, said):
    path = tmp_path / "in.csv"
    path.write_bytes(file.getvalue())
    where = ["--maker", "Maker C (invented)", "--title", "T", "--edition", "1"]
    with pytest.raises(CommandError) as caught:
        call_command("import_ratings", str(path), *where)
    assert said in str(caught.value)
    assert not Source.objects.exists()


def test_the_command_takes_doubtful_figures_once_they_are_said_to_be_read(tmp_path):
    path = tmp_path / "in.csv"
    path.write_bytes(file_of(line(dynamic_rating="48559", static_rating="46760")).getvalue())
    where = ["--maker", "Maker C (invented)", "--title", "T", "--edition", "1"]
    call_command("import_ratings", str(path), *where, "--as-printed")
    assert Rating.objects.count() == 1
