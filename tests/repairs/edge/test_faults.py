"""What passes by itself is answered 503 with patience asked for; what does not pass is not called passing."""

from __future__ import annotations

import errno
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import Any

import psycopg
import pytest
from django.db import DataError, IntegrityError, OperationalError, connection
from django.test import Client, RequestFactory
from django.urls import reverse

from repairs.edge.answers import server_error
from repairs.edge.faults import Fault, passing_fault
from repairs.edge.room import GIGABYTE, Room
from repairs.ledger.models import SubmittedForm
from repairs.measurements.models import Reading
from repairs.system_checks import check_room
from tests.repairs.factories import make_job, make_user

READING = {
    "quantity": "Run-out",
    "unit": "µm",
    "moment": "as_found",
    "form_key": "0123456789abcdef",
    "value": "1200",
}


def caused(outer: Exception, cause: BaseException) -> Exception:
    outer.__cause__ = cause
    return outer


def of_sqlite(name: str, text: str = "x") -> sqlite3.OperationalError:
    error = sqlite3.OperationalError(text)
    error.sqlite_errorname = name
    return error


def of_postgresql(code: str | None, text: str = "x") -> psycopg.OperationalError:
    error = psycopg.OperationalError(text)
    error.sqlstate = code
    return error


@pytest.mark.parametrize(
    ("error", "fault"),
    [
        (caused(OperationalError(), of_sqlite("SQLITE_BUSY")), Fault.BUSY),
        (caused(OperationalError(), of_sqlite("SQLITE_BUSY_SNAPSHOT")), Fault.BUSY),
        (caused(OperationalError(), of_sqlite("SQLITE_FULL")), Fault.FULL),
        (caused(OperationalError(), of_sqlite("SQLITE_CANTOPEN")), Fault.AWAY),
        (caused(OperationalError(), of_postgresql(None, "connection refused")), Fault.AWAY),
        (caused(OperationalError(), of_postgresql("57P01")), Fault.AWAY),
        (caused(OperationalError(), of_postgresql("08006")), Fault.AWAY),
        (caused(OperationalError(), of_postgresql("53100")), Fault.FULL),
        (caused(OperationalError(), of_postgresql("53300")), Fault.BUSY),
        (caused(OperationalError(), of_postgresql("40P01")), Fault.BUSY),
        (OSError(errno.ENOSPC, "full"), Fault.FULL),
        (caused(ValueError(), OSError(errno.EDQUOT, "full")), Fault.FULL),
        (caused(OperationalError(), of_sqlite("SQLITE_ERROR", "no such table: x")), None),
        (caused(OperationalError(), of_sqlite("SQLITE_CORRUPT")), None),
        (caused(OperationalError(), of_postgresql("42P01")), None),
        (
            caused(OperationalError(), of_postgresql(None, 'password authentication failed for user "x"')),
            None,
        ),
        (caused(OperationalError(), of_postgresql(None, 'database "x" does not exist')), None),
        (OperationalError("database is locked"), None),
        (IntegrityError(), None),
        (OSError(errno.EACCES, "no"), None),
        (PermissionError(errno.EPERM, "no"), None),
        (TimeoutError(), None),
        (KeyError("x"), None),
        (None, None),
    ],
)
def test_only_what_passes_is_passing(error, fault):
    assert passing_fault(error) == fault


def answer_to(error: Exception, **headers: str) -> Any:
    request = RequestFactory().post("/office/x/", {"name": "<x>", "form_key": "k"}, headers=headers)
    try:
        raise error
    except type(error):
        return server_error(request)


def test_the_page_of_a_fault_asks_nothing_of_the_database_and_holds_what_was_sent():
    # No database is allowed in this test: a query would fail it.
    full = answer_to(OSError(errno.ENOSPC, "full"))
    assert (full.status_code, full.headers["Retry-After"]) == (503, "10")
    page = full.content.decode()
    assert "Server disk full" in page
    assert '<input type="hidden" name="name" value="&lt;x&gt;">' in page
    assert 'action="/office/x/"' in page
    away = answer_to(caused(OperationalError(), of_postgresql(None, "connection refused")))
    assert "Database not responding" in away.content.decode()


def test_secrets_are_not_written_into_the_page():
    request = RequestFactory().post("/sign-in/", {"username": "x", "password": "right horse 42"})
    try:
        raise OSError(errno.ENOSPC, "full")
    except OSError:
        page = server_error(request).content.decode()
    assert "right horse" not in page
    assert "<form" not in page


def test_an_entry_of_a_tablet_is_asked_to_wait_and_never_refused_for_a_fault():
    answer = answer_to(OSError(errno.ENOSPC, "full"), **{"X-Outbox": "later"})
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "10")
    assert b'"state": "wait"' in answer.content
    answer = answer_to(KeyError("x"), **{"X-Outbox": "later"})
    assert (answer.status_code, answer.content) == (500, b'{"state": "failed"}')


def test_an_error_of_the_program_stays_500_and_a_value_the_database_refuses_is_400():
    assert answer_to(KeyError("x")).status_code == 500
    assert answer_to(DataError("value too long")).status_code == 400


@contextmanager
def held_lock() -> Iterator[None]:
    """Hold a lock in a second connection, and make this one's patience short."""
    settings = connection.settings_dict
    if connection.vendor == "sqlite":
        connection.cursor().execute("PRAGMA busy_timeout = 100")
        with closing(sqlite3.connect(settings["NAME"], isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            yield
            other.execute("ROLLBACK")
        connection.cursor().execute("PRAGMA busy_timeout = 20000")
        return
    connection.cursor().execute("SET lock_timeout = '100ms'")
    names = {
        "dbname": settings["NAME"],
        "host": settings["HOST"],
        "port": settings["PORT"],
        "user": settings["USER"],
    }
    with psycopg.connect(**names, password=settings["PASSWORD"] or None) as other:
        other.execute(f"LOCK TABLE {Reading._meta.db_table} IN ACCESS EXCLUSIVE MODE")
        yield
        other.rollback()
    connection.cursor().execute("SET lock_timeout = 0")


@pytest.mark.data
@pytest.mark.django_db(transaction=True)
def test_a_lock_held_too_long_is_answered_503_and_the_same_form_goes_once_afterwards():
    user, job = make_user(), make_job()
    client = Client(raise_request_exception=False)
    client.force_login(user)
    address = reverse("bench:reading", args=[job.number])
    with held_lock():
        answer = client.post(address, READING)
        assert (answer.status_code, answer.headers["Retry-After"]) == (503, "10")
        assert "Server busy" in answer.content.decode()
        entry = client.post(address, READING, headers={"X-Outbox": "later", "X-Outbox-Person": str(user.pk)})
        assert (entry.status_code, entry.json()["state"]) == (503, "wait")
    for _again in range(2):
        assert client.post(address, READING).status_code == 302
    assert (Reading.objects.count(), SubmittedForm.objects.filter(user=user).count()) == (1, 1)


@pytest.mark.django_db(transaction=True)
@pytest.mark.skipif(connection.vendor != "sqlite", reason="the limit of pages is SQLite's own")
def test_a_database_that_cannot_grow_is_answered_503_and_its_pages_stay_readable():
    user, job = make_user(), make_job()
    client = Client(raise_request_exception=False)
    client.force_login(user)
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")
        cursor.execute("PRAGMA page_count")
        cursor.execute(f"PRAGMA max_page_count = {cursor.fetchone()[0]}")
    try:
        address, statuses = reverse("bench:reading", args=[job.number]), set()
        for number in range(40):
            fields = {**READING, "form_key": f"{number:032x}", "note": "x" * 290}
            statuses.add(client.post(address, fields).status_code)
        assert statuses == {302, 503}
        stored = Reading.objects.count()
        assert client.get(address).status_code == 200
    finally:
        connection.cursor().execute("PRAGMA max_page_count = 4294967294")
    assert client.post(address, {**READING, "form_key": f"{39:032x}", "note": "x" * 290}).status_code == 302
    assert Reading.objects.count() == stored + 1


def test_a_disk_is_low_before_it_is_full_and_a_large_one_is_not_told_too_early():
    assert Room(1 * GIGABYTE, 10 * GIGABYTE).is_low
    assert not Room(3 * GIGABYTE, 10 * GIGABYTE).is_low
    assert Room(4 * GIGABYTE, 100 * GIGABYTE).is_low
    assert not Room(30 * GIGABYTE, 4000 * GIGABYTE).is_low


@pytest.mark.django_db
def test_an_administrator_reads_that_the_disk_is_nearly_full_and_so_does_the_check(monkeypatch):
    low = Room(int(1.4 * GIGABYTE), 500 * GIGABYTE)
    administrator, office = Client(), Client()
    administrator.force_login(make_user("administrator"))
    office.force_login(make_user("office"))
    words = "Server disk nearly full: 1.4 GB of 500 GB free"
    assert words not in administrator.get(reverse("office:board")).content.decode()
    for place in ("repairs.people.context.room_of", "repairs.system_checks.room_of"):
        monkeypatch.setattr(place, lambda _folder: low)
    assert words in administrator.get(reverse("office:board")).content.decode()
    assert words not in office.get(reverse("office:board")).content.decode()
    assert [one.id for one in check_room()] == ["mountside.W005"]


@pytest.mark.data
@pytest.mark.django_db(transaction=True)
def test_two_equal_names_of_customers_at_once_make_one_and_a_plain_refusal():
    office = make_user("office")
    clients = [Client(raise_request_exception=False) for _ in range(4)]
    for client in clients:
        client.force_login(office)
    fields = {"name": "Kestrel Paper", "report_language": "en", "report_units": "us", "paper": "letter"}
    statuses: list[int] = []

    def add(number: int) -> None:
        sent = {**fields, "form_key": f"{number:032x}"}
        statuses.append(clients[number].post(reverse("office:new_customer"), sent).status_code)
        connection.close()

    threads = [threading.Thread(target=add, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(statuses) == [302, 422, 422, 422]
