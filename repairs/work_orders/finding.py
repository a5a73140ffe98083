"""Find jobs, motors and customers by any fragment of what people call them by."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final, NamedTuple

from django.db import connection

from repairs.customers.models import Customer
from repairs.edge.names import normalized, squeezed
from repairs.motors.models import Motor
from repairs.work_orders.models import Job, SearchKey
from repairs.work_orders.search import Kind, text_row

LONGEST_QUERY: Final = 120
SHORTEST_FRAGMENT: Final = 3
JOBS_SHOWN: Final = 20
OTHERS_SHOWN: Final = 8
# PostgreSQL sorts what it found; where more than this match, any of them may stand for the rest.
SORTED_AT_MOST: Final = 1000


class FoundJob(NamedTuple):
    pk: int
    number: str
    purchase_order: str
    state: str
    step_title: str
    promised_on: date | None
    customer: str
    site: str | None
    tag: str
    serial: str


class FoundMotor(NamedTuple):
    pk: int
    tag: str
    serial: str
    customer: str
    site: str | None


class FoundCustomer(NamedTuple):
    pk: int
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """An answer, the best first; ``more`` names the kinds of which more match than are shown."""

    asked: str = ""
    jobs: list[FoundJob] = field(default_factory=list)
    motors: list[FoundMotor] = field(default_factory=list)
    customers: list[FoundCustomer] = field(default_factory=list)
    more: frozenset[Kind] = frozenset()

    @property
    def is_empty(self) -> bool:
        return not (self.jobs or self.motors or self.customers)


JOB_COLUMNS: Final = (
    "pk", "number", "purchase_order", "state", "step_title", "promised_on", "customer__name", "site__name",
    "motor__tag", "motor__serial",
)  # fmt: skip
MOTOR_COLUMNS: Final = ("pk", "tag", "serial", "customer__name", "site__name")


def find(typed: str) -> Found:
    """Answer what was typed. One or two characters are a beginning, three or more any fragment."""
    asked = normalized(typed[: 4 * LONGEST_QUERY])[:LONGEST_QUERY].strip()
    if not asked:
        return Found()
    ids = _ids(asked)
    jobs = sorted(_jobs(ids[Kind.JOB]), key=lambda job: _job_rank(job, asked))
    motors = sorted(_motors(ids[Kind.MOTOR]), key=lambda motor: _rank(asked, motor.serial, motor.tag))
    customers = sorted(_customers(ids[Kind.CUSTOMER]), key=lambda one: (_rank(asked, one.name), one.name))
    return Found(
        asked=asked,
        jobs=jobs[:JOBS_SHOWN],
        motors=motors[:OTHERS_SHOWN],
        customers=customers[:OTHERS_SHOWN],
        more=frozenset(kind for kind, found in ids.items() if len(found) > _shown(kind)),
    )


def _ids(asked: str) -> dict[Kind, dict[int, None]]:
    """Return what answers, kind by kind, the best first; a kind that is full is not asked for again.

    What begins with it comes before what holds it, and that before what holds its words apart.
    """
    ids: dict[Kind, dict[int, None]] = {kind: {} for kind in Kind}
    for look_up in (_by_beginning, _by_fragment, _by_words):
        wanted = [kind for kind, found in ids.items() if len(found) <= _shown(kind)]
        for kind, subject_id in look_up(asked, wanted) if wanted else ():
            ids[Kind(kind)][subject_id] = None
    return ids


def _shown(kind: Kind) -> int:
    return JOBS_SHOWN if kind == Kind.JOB else OTHERS_SHOWN


def _jobs(ids: Iterable[int]) -> list[FoundJob]:
    wanted = list(ids)
    return (
        [FoundJob(*v) for v in Job.objects.filter(pk__in=wanted).values_list(*JOB_COLUMNS)] if wanted else []
    )


def _motors(ids: Iterable[int]) -> list[FoundMotor]:
    wanted = list(ids)
    if not wanted:
        return []
    return [FoundMotor(*v) for v in Motor.objects.filter(pk__in=wanted).values_list(*MOTOR_COLUMNS)]


def _customers(ids: Iterable[int]) -> list[FoundCustomer]:
    wanted = list(ids)
    if not wanted:
        return []
    return [FoundCustomer(*v) for v in Customer.objects.filter(pk__in=wanted).values_list("pk", "name")]


def _rank(asked: str, *names: str) -> int:
    """Say how well one of the names answers: 0 is it, 1 begins with it, 2 holds it."""
    known = [normalized(name) for name in names if name]
    known += [squeezed(name) for name in known]
    if asked in known or (_is_number(asked) and squeezed(asked) in known):
        return 0
    return 1 if any(name.startswith(asked) for name in known) else 2


def _job_rank(job: FoundJob, asked: str) -> tuple[int, int, bool, int]:
    """Rank the job's own number before the names of its motor; then open jobs, then the newest."""
    by_number = _rank(asked, job.number)
    by_names = _rank(asked, job.serial, job.tag, job.purchase_order)
    return min(by_number, by_names), by_number, job.state != Job.State.OPEN, -job.pk


def _is_number(asked: str) -> bool:
    """Whether it may be a number that people write with or without dashes and spaces."""
    return any(c.isdigit() for c in asked)


def _by_beginning(asked: str, kinds: list[Kind]) -> list[tuple[int, int]]:
    """Return (kind, subject) of the first keys that begin with what was asked, an exact one first."""
    one = (
        f"SELECT kind, subject_id FROM (SELECT kind, subject_id FROM {SearchKey._meta.db_table}"
        " WHERE kind = %s AND key >= %s AND key < %s ORDER BY key, subject_id DESC LIMIT %s) AS begins"
    )
    ways = dict.fromkeys([asked, squeezed(asked)] if _is_number(asked) else [asked])
    bounds = [
        (kind.value, way, way + chr(0x10FFFF), _shown(kind) + 1) for kind in kinds for way in ways if way
    ]
    return _rows([(one, list(bound)) for bound in bounds])


def _by_fragment(asked: str, kinds: list[Kind]) -> list[tuple[int, int]]:
    """Return (kind, subject) of what holds it as it was typed, the newest first."""
    if len(asked) < SHORTEST_FRAGMENT:
        return []
    return _rows([_holding(kind, [asked], []) for kind in kinds])


def _by_words(asked: str, kinds: list[Kind]) -> list[tuple[int, int]]:
    """Return (kind, subject) of what holds each of its words somewhere, the newest first."""
    words = asked.split()
    long = [word for word in words if len(word) >= SHORTEST_FRAGMENT]
    if not long or len(words) == 1:
        return []
    short = [word for word in words if len(word) < SHORTEST_FRAGMENT]
    return _rows([_holding(kind, long, short) for kind in kinds])


def _holding(kind: Kind, fragments: list[str], short: list[str]) -> tuple[str, list[Any]]:
    """Return the query for the subjects of one kind that hold all fragments; short ones are read for, not looked up."""
    first, behind, limit = text_row(kind, 0), text_row(kind + 1, 0), _shown(kind) + 1
    like = [f"%{_escaped(word)}%" for word in ([*fragments, *short])]
    if connection.vendor == "postgresql":
        holds = " AND ".join(["words LIKE %s"] * len(like))
        return (
            "SELECT kind, subject_id FROM (WITH found AS MATERIALIZED (SELECT rowid FROM work_orders_searchtext"
            f" WHERE rowid >= %s AND rowid < %s AND {holds} LIMIT {SORTED_AT_MOST})"
            f" SELECT {int(kind)} AS kind, rowid - {first} AS subject_id FROM found"
            " ORDER BY rowid DESC LIMIT %s) AS holds",
            [first, behind, *like, limit],
        )
    read = "".join([" AND words LIKE %s ESCAPE '\\'"] * len(short))
    return (
        f"SELECT kind, subject_id FROM (SELECT {int(kind)} AS kind, rowid - {first} AS subject_id"
        " FROM work_orders_searchtext WHERE work_orders_searchtext MATCH %s AND rowid >= %s AND rowid < %s"
        f"{read} ORDER BY rowid DESC LIMIT %s) AS holds",
        [" AND ".join(_quoted(word) for word in fragments), first, behind, *like[len(fragments) :], limit],
    )


def _quoted(fragment: str) -> str:
    """Return a fragment as an FTS5 string: inside one nothing but a quotation mark means anything."""
    return '"' + fragment.replace('"', '""') + '"'


def _escaped(fragment: str) -> str:
    return fragment.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")


def _rows(parts: list[tuple[str, list[Any]]]) -> list[tuple[int, int]]:
    """Ask several things at once."""
    with connection.cursor() as cursor:
        cursor.execute(
            " UNION ALL ".join(sql for sql, _values in parts),
            [value for _sql, values in parts for value in values],
        )
        return list(cursor.fetchall())
