"""The command: the same re-check from a shell, with the list on standard output and the progress beside it."""

from __future__ import annotations

import json
import tracemalloc

import pytest
from django.core.management import CommandError, call_command

from bearings.public import StoredAssessment
from repairs.ledger.services import SYSTEM
from repairs.rechecks import running
from repairs.rechecks.models import Change, Recheck
from repairs.rechecks.running import chunk_pace, chunks, run_recheck
from repairs.rechecks.services import begin_recheck
from repairs.rechecks.standing import Scope
from repairs.work_orders.models import Stage
from tests.repairs.factories import make_job
from tests.repairs.rechecks.stacks import edition, in_service, printed, signed

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def recheck(*arguments: str) -> int:
    """Run the command and return its exit status."""
    try:
        call_command("recheck", *arguments)
    except SystemExit as end:
        return int(end.code or 0)
    return 0


@pytest.fixture
def slowed():
    """A job and a motor in service whose bearing the newest edition slows down."""
    rating = printed(edition(2019))
    records = signed(make_job(), Stage.SPECIFIED, rating), in_service(rating=rating)
    printed(edition(2024), 2300.0)
    return records


def test_it_lists_whose_outcome_changed_and_ends_with_1_when_something_became_stop(slowed, capsys):
    assert recheck() == 1
    told = capsys.readouterr()
    first, second, last = told.out.splitlines()
    assert first.startswith(f"BECAME STOP: {slowed[0].job.number}")
    assert "margin at synchronous speed +5.0% → −10.6%" in first
    assert "1, 2, 3: limiting speed 2,700 → 2,300" in first
    assert "in service" in second
    assert last == "2 checked, 2 changed, 2 became STOP"
    assert told.err.splitlines()[-1] == "2 of 2"


def test_it_ends_with_0_when_nothing_became_stop(capsys):
    signed(make_job())
    assert recheck() == 0
    assert capsys.readouterr().out.splitlines() == ["1 checked, 0 changed, 0 became STOP"]


def test_without_store_nothing_is_written(slowed):
    before = StoredAssessment.objects.count()
    recheck()
    assert (StoredAssessment.objects.count(), Change.objects.count(), Recheck.objects.count()) == (
        before,
        0,
        0,
    )


def test_with_store_the_run_stands_where_the_pages_show_it(slowed):
    assert recheck("--store") == 1
    run = Recheck.objects.get()
    assert (run.asked_by_name, run.checked, run.became_stop, run.about) == (
        "system",
        2,
        2,
        "manage.py recheck",
    )
    assert run.finished_at
    assert Change.objects.unseen().count() == 2


@pytest.mark.parametrize(
    ("arguments", "services"),
    [
        (["--jobs"], [False]),
        (["--motors"], [True]),
        (["--jobs", "--motors"], [False, True]),
        ([], [False, True]),
    ],
)
def test_jobs_or_motors_alone(slowed, capsys, arguments, services):
    assert recheck("--format", "json", *arguments) == 1
    answer = json.loads(capsys.readouterr().out)
    assert [change["in_service"] for change in answer["changes"]] == services
    assert answer["checked"] == len(services)


def test_json_is_one_document_with_the_figures_before_and_after(slowed, capsys):
    recheck("--format=json", "--jobs")
    (change,) = json.loads(capsys.readouterr().out)["changes"]
    assert change["before"]["margin"] == pytest.approx(0.70 * 2700 / 1800 - 1)
    assert change["after"]["margin"] == pytest.approx(0.70 * 2300 / 1800 - 1)
    assert (change["after"]["worst"], change["became_stop"]) == ("stop", True)
    assert change["new_stops"][0]["code"] == "speed-margin"
    assert {(row["ref"], row["before"], row["after"]) for row in change["figures"]} == {
        (ref, 2700, 2300) for ref in "123"
    }


def test_json_of_nothing_is_a_document_too(capsys):
    assert recheck("--format", "json") == 0
    assert json.loads(capsys.readouterr().out) == {
        "changes": [],
        "checked": 0,
        "changed": 0,
        "became_stop": 0,
    }


def test_a_run_whose_place_is_taken_meanwhile_says_so(slowed, monkeypatch):
    def overtaken(scope, pace, *, after=0):
        for chunk in chunks(scope, pace, after=after):
            begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND)
            yield chunk

    monkeypatch.setattr("repairs.rechecks.management.commands.recheck.chunks", overtaken)
    with pytest.raises(CommandError, match="newer re-check"):
        recheck("--store")


def test_memory_stays_flat_however_many_stacks_there_are(monkeypatch):
    monkeypatch.setattr(running, "CHUNK", 10)
    rating = printed(edition(2019))
    printed(edition(2024), 2300.0)
    peaks = []
    for more in (20, 80):
        for _number in range(more):
            signed(make_job(), Stage.SPECIFIED, rating)
        tracemalloc.start()
        run = run_recheck(begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND))
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
        assert run.changed == run.checked
    few, many = peaks
    # What a check leaves is circular and goes when the collector comes by, now or a chunk later; kept in full, five
    # times as many stacks would take several times as much.
    assert many < 1.6 * few


def test_a_scope_with_nothing_in_it_yields_nothing():
    assert list(chunks(Scope(jobs=False, motors=False), chunk_pace())) == []
