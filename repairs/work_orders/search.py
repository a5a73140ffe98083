"""Keep what jobs, motors and customers can be found by.

Two tables hold it: ``SearchKey`` for whole beginnings, and ``work_orders_searchtext`` (trigrams: FTS5 on SQLite,
pg_trgm on PostgreSQL) for any fragment of three characters or more. ``finding`` reads both.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from django.db import connection, transaction

from repairs.customers.models import Customer, Site
from repairs.edge.names import normalized, squeezed
from repairs.motors.models import Motor
from repairs.work_orders.models import Job, SearchKey

Kind = SearchKey.Kind
CHUNK: Final = 2000
KIND_SHIFT: Final = 48


@dataclass(frozen=True, slots=True)
class Entry:
    """One subject: the beginnings it is found by, and its words for fragments."""

    subject_id: int
    keys: frozenset[str]
    words: str


def text_row(kind: int, subject_id: int) -> int:
    """Return the row of a subject in the table of fragments; the kinds lie one behind the other."""
    return (kind << KIND_SHIFT) + subject_id


def _entry(subject_id: int, numbers: Iterable[str | None], names: Iterable[str | None]) -> Entry:
    exact = [normalized(number) for number in numbers if number]
    words = [*exact, *(normalized(name) for name in names if name)]
    squeezes = {squeezed(number) for number in exact} - set(exact)
    keys = {key[: SearchKey.LONGEST] for key in {*exact, *squeezes} if key}
    return Entry(subject_id, frozenset(keys), "\n".join([*words, *sorted(squeezes)]))


def _job_entries(job_ids: Iterable[int]) -> Iterator[Entry]:
    columns = (
        "pk", "number", "purchase_order", "motor__serial", "motor__tag", "customer__name", "site__name",
        "motor__site__name",
    )  # fmt: skip
    for pk, number, order, serial, tag, *names in Job.objects.filter(pk__in=job_ids).values_list(*columns):
        yield _entry(pk, (number, order, serial, tag), dict.fromkeys(names))


def _motor_entries(motor_ids: Iterable[int]) -> Iterator[Entry]:
    columns = ("pk", "serial", "tag", "customer__name", "site__name")
    for pk, serial, tag, *names in Motor.objects.current().filter(pk__in=motor_ids).values_list(*columns):
        yield _entry(pk, (serial, tag), names)


def _customer_entries(customer_ids: Iterable[int]) -> Iterator[Entry]:
    sites: dict[int, list[str]] = {}
    for customer_id, site in Site.objects.filter(customer_id__in=customer_ids).values_list(
        "customer_id", "name"
    ):
        sites.setdefault(customer_id, []).append(site)
    for pk, name in Customer.objects.current().filter(pk__in=customer_ids).values_list("pk", "name"):
        words = normalized(name).split()
        beginnings = (" ".join(words[n:]) for n in range(len(words)))
        yield _entry(pk, [*beginnings, *sites.get(pk, [])], [name])


ENTRIES: Final = {
    Kind.JOB: (Job, _job_entries),
    Kind.MOTOR: (Motor, _motor_entries),
    Kind.CUSTOMER: (Customer, _customer_entries),
}


@transaction.atomic
def _write(kind: Kind, subject_ids: Iterable[int]) -> None:
    """Write the entries of some subjects anew."""
    ids = list(subject_ids)
    entries = list(ENTRIES[kind][1](ids))
    SearchKey.objects.filter(kind=kind, subject_id__in=ids).delete()
    SearchKey.objects.bulk_create(
        (
            SearchKey(kind=kind, subject_id=entry.subject_id, key=key)
            for entry in entries
            for key in sorted(entry.keys)
        ),
        batch_size=CHUNK,
    )
    with connection.cursor() as cursor:
        cursor.executemany(
            "DELETE FROM work_orders_searchtext WHERE rowid = %s", [(text_row(kind, pk),) for pk in ids]
        )
        cursor.executemany(
            "INSERT INTO work_orders_searchtext (rowid, words) VALUES (%s, %s)",
            [(text_row(kind, entry.subject_id), entry.words) for entry in entries],
        )


def _write_all(kind: Kind, subject_ids: Iterable[int]) -> None:
    ids = list(subject_ids)
    for start in range(0, len(ids), CHUNK):
        _write(kind, ids[start : start + CHUNK])


def index_job(job: Job) -> None:
    """Keep what a job can be found by; called by the services that change it."""
    _write(Kind.JOB, [job.pk])


def index_motor(motor: Motor) -> None:
    """Keep what a motor and its jobs can be found by."""
    _write(Kind.MOTOR, [motor.pk])
    _write_all(Kind.JOB, motor.jobs.values_list("pk", flat=True))


def index_customer(customer: Customer) -> None:
    """Keep what a customer can be found by; motors and jobs follow only when a name has changed."""
    entry = next(_customer_entries([customer.pk]), Entry(customer.pk, frozenset(), ""))
    held = set(
        SearchKey.objects.filter(kind=Kind.CUSTOMER, subject_id=customer.pk).values_list("key", flat=True)
    )
    if held == entry.keys:
        return
    _write(Kind.CUSTOMER, [customer.pk])
    _write_all(Kind.MOTOR, customer.motors.values_list("pk", flat=True))
    _write_all(Kind.JOB, customer.jobs.values_list("pk", flat=True))


def reindex_all() -> None:
    """Write the whole index anew, for data that came in by another way than the services."""
    with transaction.atomic():
        SearchKey.objects.all().delete()
        with connection.cursor() as cursor:
            cursor.execute("DELETE FROM work_orders_searchtext")
        for kind, (model, _entries) in ENTRIES.items():
            _write_all(kind, model._default_manager.order_by("pk").values_list("pk", flat=True))
