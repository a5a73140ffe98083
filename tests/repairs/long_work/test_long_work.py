"""Work that runs apart from the pages: once, with progress, and again after an interruption."""

from __future__ import annotations

import subprocess
import sys
import time
from contextlib import ExitStack
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from repairs.ledger.models import Event
from repairs.long_work import kinds, launching
from repairs.long_work.kinds import Result, UnknownKindError, register
from repairs.long_work.life_signs import forget, turn
from repairs.long_work.models import LongWork
from repairs.long_work.services import (
    LongWorkError,
    Progress,
    TakenOverError,
    run_long_work,
    start_again,
    start_long_work,
)
from repairs.people.permissions import Permission
from tests.repairs.factories import actor_for, make_user

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture(autouse=True)
def _kinds(monkeypatch):
    """Let a test register kinds of its own."""
    monkeypatch.setattr(kinds, "_KINDS", dict(kinds._KINDS))


def counting(work, report):
    for number in range(1, work.parameters["count"] + 1):
        report(number, work.parameters["count"])
    return {"counted": work.parameters["count"]}


def told(work):
    return Result(f"Counted to {work.outcome['counted']}.", "/somewhere/")


def asked(count: int = 3, key: str = "", **fields) -> LongWork:
    register("count", "Count", counting, permission=Permission.EDIT_BOOK, result=told)
    work = start_long_work(
        kind="count", asked_by=actor_for(make_user("engineer")), parameters={"count": count}, key=key
    )
    if fields:
        LongWork.objects.filter(pk=work.pk).update(**fields)
        work.refresh_from_db()
    return work


def long_ago():
    return timezone.now() - timedelta(minutes=2)


def test_work_is_started_after_the_commit_and_its_outcome_is_kept(django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        work = asked(3)
        assert work.state == "waiting"
    work.refresh_from_db()
    assert (work.state, work.done, work.total, work.outcome) == ("done", 3, 3, {"counted": 3})
    assert work.started_at <= work.finished_at
    assert Event.objects.filter(verb="long_work.asked", subject_id=str(work.pk)).count() == 1


def test_the_same_key_asks_for_the_same_work():
    assert asked(key="abc").pk == asked(key="abc").pk
    assert asked().pk != asked().pk


def test_a_kind_that_nobody_registered_is_refused():
    with pytest.raises(UnknownKindError):
        start_long_work(kind="unheard", asked_by=actor_for(make_user("lead")), parameters={})
    assert not LongWork.objects.exists()


def test_progress_is_written_at_most_every_half_second(monkeypatch, django_assert_num_queries):
    clock = [100.0]
    monkeypatch.setattr("repairs.long_work.services.monotonic", lambda: clock[0])
    work = asked(state="running", attempt=1)
    progress = Progress(work)
    with django_assert_num_queries(1):
        for number in range(1, 11):
            clock[0] += 0.09
            progress(number, 10)
    work.refresh_from_db()
    assert (work.done, work.total) == (6, 10)


def test_a_row_is_run_by_one_process_only():
    work = asked()
    seen = []

    def function(row, _report):
        seen.append(run_long_work(row.pk))
        return {}

    register("count", "Count", function)
    assert run_long_work(work.pk).state == "done"
    assert seen == [None]
    assert run_long_work(work.pk) is None


def test_a_refusal_is_told_in_words_and_an_unforeseen_error_without_a_traceback(caplog):
    def refuses(_work, _report):
        raise LongWorkError("The file has no first line.")

    def breaks(_work, _report):
        raise ZeroDivisionError("secret of the house")

    work = asked()
    register("count", "Count", refuses)
    assert run_long_work(work.pk).error == "The file has no first line."
    other = asked()
    register("count", "Count", breaks)
    ended = run_long_work(other.pk)
    assert ended.state == "failed"
    assert "secret" not in ended.error
    assert "Traceback" not in ended.error
    assert "secret of the house" in caplog.text


def test_work_whose_process_fell_silent_is_interrupted_and_may_be_started_again():
    work = asked(state="running", attempt=1, heartbeat=long_ago())
    assert work.is_interrupted
    assert not work.is_going
    start_again(actor=actor_for(make_user("lead")), work=work)
    work.refresh_from_db()
    assert (work.state, work.is_interrupted) == ("waiting", False)
    assert run_long_work(work.pk).state == "done"


def test_a_process_that_wakes_up_late_stops_when_another_one_took_its_work_over():
    work = asked(state="running", attempt=1, heartbeat=long_ago())
    late = Progress(work)
    assert run_long_work(work.pk).state == "done"
    with pytest.raises(TakenOverError):
        late.tell()
    work.refresh_from_db()
    assert work.outcome == {"counted": 3}


def test_work_that_goes_on_or_is_done_is_not_started_again():
    actor = actor_for(make_user("lead"))
    for fields in ({"state": "running"}, {"state": "done"}):
        with pytest.raises(LongWorkError):
            start_again(actor=actor, work=asked(**fields))


def test_the_part_asks_again_while_the_work_goes_on_and_tells_its_result_once_done(client):
    client.force_login(make_user("engineer"))
    work = asked(state="running", attempt=1, done=1, total=3)
    url = reverse("long_work", args=[work.pk])
    going = client.get(url, headers={"hx-request": "true"})
    assert "every 1s" in going.text
    assert "1 of 3" in going.text
    assert "HX-Trigger" not in going.headers
    LongWork.objects.filter(pk=work.pk).update(state="done", outcome={"counted": 3})
    ended = client.get(url, headers={"hx-request": "true"})
    assert "every 1s" not in ended.text
    assert "Counted to 3." in ended.text
    assert "/somewhere/" in ended.text
    assert "long-work-ended" in ended.headers["HX-Trigger"]
    assert "<html" in client.get(url).text


def test_only_those_who_may_see_what_it_is_about_watch_it_or_start_it_again(client):
    work = asked(state="failed", error="The file is gone.")
    client.force_login(make_user("technician"))
    assert client.get(reverse("long_work", args=[work.pk])).status_code == 403
    assert client.post(reverse("long_work_again", args=[work.pk])).status_code == 403
    client.force_login(make_user("lead"))
    assert "The file is gone." in client.get(reverse("long_work", args=[work.pk])).text
    answer = client.post(reverse("long_work_again", args=[work.pk]), follow=True)
    work.refresh_from_db()
    assert work.state == "waiting"
    assert "waiting" in answer.text


def test_watching_asks_the_database_a_fixed_small_number_of_questions(client, django_assert_num_queries):
    work = asked()
    client.force_login(make_user("lead"))
    with django_assert_num_queries(3):
        client.get(reverse("long_work", args=[work.pk]), headers={"hx-request": "true"})


def test_the_command_runs_a_row_and_says_when_there_is_nothing_to_do(capsys):
    work = asked()
    call_command("long_work", str(work.pk))
    call_command("long_work", str(work.pk))
    assert capsys.readouterr().out.splitlines() == [
        "count: done",
        "Nothing to do: another process works on it, or it is finished.",
    ]


@pytest.mark.django_db(transaction=True)
@pytest.mark.skipif(
    "connection.vendor != 'sqlite'", reason="the process finds the test's database by its file"
)
def test_a_process_of_its_own_runs_the_work_and_says_when_it_does_not_know_the_kind(settings, monkeypatch):
    monkeypatch.setenv("DATABASE_URL", f"sqlite:///{connection.settings_dict['NAME']}")
    settings.LONG_WORK_RUNS = "apart"
    work = LongWork.objects.create(kind="of an older version", asked_by_name="somebody")
    launching.launch(work.pk)
    child = launching._children[-1]
    assert child.wait(timeout=30) == 0
    work.refresh_from_db()
    assert (work.state, work.attempt) == ("failed", 1)
    assert "unexpected error" in work.error
    before = time.monotonic()
    launching.launch(work.pk)
    assert time.monotonic() - before < 2
    assert child not in launching._children
    assert launching._children[-1].wait(timeout=30) == 0


HOLDER = """
import sys, time
from django.conf import settings
settings.configure(SHOP_FOLDER=sys.argv[1])
from repairs.long_work.life_signs import life_sign
with life_sign(sys.argv[2]):
    print("holding", flush=True)
    time.sleep(60)
"""


def test_a_killed_process_is_known_at_once_and_a_living_one_is_left_alone(settings):
    work = asked(state="running", attempt=1, mark="a" * 32)
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(settings.SHOP_FOLDER), work.mark],
        stdout=subprocess.PIPE, cwd=settings.ROOT,
    )  # fmt: skip
    try:
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"holding\n"
        LongWork.objects.filter(pk=work.pk).update(heartbeat=long_ago())
        work.refresh_from_db()
        assert not work.is_interrupted
    finally:
        holder.kill()
        holder.communicate(timeout=10)
    LongWork.objects.filter(pk=work.pk).update(heartbeat=timezone.now())
    work.refresh_from_db()
    assert work.is_interrupted
    start_again(actor=actor_for(make_user("lead")), work=work)
    forget(work.mark)
    assert not (Path(settings.SHOP_FOLDER) / "running" / work.mark).exists()
    assert run_long_work(work.pk).state == "done"


def test_no_more_than_a_few_take_their_turn_at_once_and_the_next_one_waits_and_says_so():
    said = []

    def waiting():
        said.append("waiting")
        second.close()

    with turn("a test", 2, said.clear), ExitStack() as second:
        second.enter_context(turn("a test", 2, said.clear))
        with turn("a test", 2, waiting):
            assert said == ["waiting"]


def test_a_process_that_never_took_its_row_over_is_told_soon():
    seconds = timedelta(seconds=1)
    assert not asked(heartbeat=timezone.now() - 10 * seconds).is_interrupted
    assert asked(heartbeat=timezone.now() - 30 * seconds).is_interrupted


def test_a_finished_work_leaves_no_file_behind(settings):
    assert run_long_work(asked().pk).state == "done"
    left = [path.name for path in (Path(settings.SHOP_FOLDER) / "running").glob("*")]
    assert [name for name in left if not name.endswith(".turn")] == []
