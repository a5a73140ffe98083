"""Read the board: open jobs in the order of the route, fifty at a time, at the same price in a large shop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Final, NamedTuple

from django.db import connection
from django.db.models import Q
from django.utils.dateparse import parse_date

from repairs.edge.numbers import row_key, whole_number
from repairs.people.models import User
from repairs.work_orders.models import Job, StepKind
from repairs.work_orders.models.jobs import JobQuerySet
from repairs.work_orders.warning_words import Alert

PAGE: Final = 50
COUNTED_UP_TO: Final = 1000


class BoardRow(NamedTuple):
    """What one row of the board needs; the fields stand in the order of ``COLUMNS``."""

    pk: int
    board_place: int
    number: str
    customer: str
    site: str | None
    tag: str
    serial: str
    power_w: float | None
    speed_rpm: float | None
    step_kind: str
    step_title: str
    step_position: int
    steps_total: int
    last_person: str
    last_at: datetime | None
    promised_on: date | None
    priority: str
    on_hold: bool
    hold_words: str
    hold_since: datetime | None
    hand_over_open: bool
    alert_severity: str
    alert: Alert | None
    override_words: str


COLUMNS: Final = (
    "pk", "board_place", "number", "customer__name", "site__name", "motor__tag", "motor__serial",
    "motor__nameplate__power_w__si", "motor__nameplate__rated_speed_rpm__si", "step_kind", "step_title",
    "step_position", "steps_total", "last_person", "last_at", "promised_on", "priority", "on_hold",
    "hold_words", "hold_since", "hand_over_open", "alert_severity", "alert",
    "override_words",
)  # fmt: skip


class Place(NamedTuple):
    """Where a page of the board ended: the sort key of its last row."""

    board_place: int
    due_on: date
    pk: int

    @classmethod
    def of(cls, row: BoardRow) -> Place:
        return cls(row.board_place, row.promised_on or date.max, row.pk)

    def as_text(self) -> str:
        return f"{self.board_place}.{self.due_on:%Y%m%d}.{self.pk}"

    @classmethod
    def from_text(cls, text: str) -> Place | None:
        """Read a place from an address; None when it is none."""
        parts = text.split(".")
        if len(parts) != 3:
            return None
        place, due, pk = whole_number(parts[0], most=999), parts[1], row_key(parts[2])
        try:
            due_on = parse_date(f"{due[:4]}-{due[4:6]}-{due[6:]}")
        except ValueError:
            return None
        if place is None or due_on is None or not pk:
            return None
        return cls(place, due_on, pk)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardFilter:
    """What an address asks of the board; what it does not understand it leaves out."""

    step: str = ""
    priority: str = ""
    customer: str = ""
    late: bool = False
    hold: bool = False
    hand_over: bool = False
    mine: bool = False
    after: Place | None = None

    FLAGS = ("late", "hold", "hand_over", "mine")
    WORDS = ("step", "priority", "customer")

    @classmethod
    def from_query(cls, query: Mapping[str, str]) -> BoardFilter:
        """Read the filters from an address."""
        step, priority = query.get("step", ""), query.get("priority", "")
        return cls(
            step=step if step in StepKind.values else "",
            priority=priority if priority in Job.Priority.values else "",
            customer=query.get("customer", "").replace("\x00", "").strip()[:120],
            after=Place.from_text(query.get("after", "")),
            **{flag: query.get(flag) == "1" for flag in cls.FLAGS},
        )

    def as_query(self) -> dict[str, str]:
        """Return the filters as an address carries them, without the place in the list."""
        words = {name: str(getattr(self, name)) for name in self.WORDS if getattr(self, name)}
        return {**words, **{name: "1" for name in self.FLAGS if getattr(self, name)}}

    @property
    def is_empty(self) -> bool:
        return replace(self, after=None) == BoardFilter()

    def jobs(self, *, reader: User, today: date) -> JobQuerySet:
        """Return the open jobs that pass, without an order."""
        jobs = Job.objects.open()
        if self.late:
            # The column that the board is sorted by, so that one index serves the filter and the order.
            jobs = jobs.filter(due_on__lt=today)
        if self.step:
            jobs = jobs.filter(board_place=StepKind.values.index(self.step))
        if self.priority:
            jobs = jobs.filter(priority=self.priority)
        if self.customer:
            jobs = jobs.filter(customer__name__icontains=self.customer)
        if self.hold:
            jobs = jobs.filter(on_hold=True)
        if self.hand_over:
            jobs = jobs.filter(hand_over_open=True)
        if self.mine:
            jobs = jobs.filter(Q(last_person=str(reader)) | Q(opened_by=reader))
        return jobs


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPage:
    """Up to fifty rows; ``after`` is where the next page begins, None on the last one."""

    rows: list[BoardRow]
    after: Place | None


def board_page(chosen: BoardFilter, *, reader: User, today: date) -> BoardPage:
    """Return one page in the order of the route, then of the promise; one query, no count, no offset."""
    jobs = chosen.jobs(reader=reader, today=today)
    if (last := chosen.after) is not None:
        behind = Q(due_on__gt=last.due_on) | Q(due_on=last.due_on, pk__gt=last.pk)
        behind = Q(board_place__gt=last.board_place) | (Q(board_place=last.board_place) & behind)
        # The plain bound lets the index begin at the step; the rest is compared within it.
        jobs = jobs.filter(board_place__gte=last.board_place).filter(behind)
    found = jobs.order_by("board_place", "due_on", "pk").values_list(*COLUMNS)[: PAGE + 1]
    rows = [BoardRow(*values) for values in found]
    more = len(rows) > PAGE
    rows = rows[:PAGE]
    after = Place.of(rows[-1]) if more else None
    return BoardPage(rows=rows, after=after)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What stands over the board. Counts end above ``COUNTED_UP_TO``: nobody acts on the difference."""

    open: int
    late: int
    on_hold: int
    hand_over: int
    held_since: datetime | None


def figures(today: date) -> Figures:
    """Count the open jobs and find the oldest hold, in one query.

    Written in SQL: each count reads its index no further than ``COUNTED_UP_TO`` and one more, and to build this
    from four query sets costs more than to answer it.
    """
    with connection.cursor() as cursor:
        cursor.execute(FIGURES_SQL, [today.isoformat(), True, True, True])
        opened, late, on_hold, hand_over, held_since = cursor.fetchone()
    if held_since is not None and held_since.tzinfo is None:
        # SQLite keeps moments in universal time without saying so.
        held_since = held_since.replace(tzinfo=UTC)
    return Figures(
        open=opened,
        late=late,
        on_hold=on_hold,
        hand_over=hand_over,
        held_since=held_since if on_hold else None,
    )


def _counted(condition: str) -> str:
    return (
        f"(SELECT COUNT(*) FROM (SELECT 1 FROM {Job._meta.db_table} WHERE state = 'open'{condition}"
        f" LIMIT {COUNTED_UP_TO + 1}) AS counted)"
    )


FIGURES_SQL: Final = (
    f"SELECT {_counted('')}, {_counted(' AND promised_on < %s')}, {_counted(' AND on_hold = %s')},"
    f" {_counted(' AND hand_over_open = %s')}, (SELECT hold_since FROM {Job._meta.db_table}"
    " WHERE state = 'open' AND on_hold = %s AND hold_since IS NOT NULL ORDER BY hold_since LIMIT 1)"
)
