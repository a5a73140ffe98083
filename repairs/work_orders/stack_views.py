"""Drawings of stack records for pages that show many at once, kept until their content changes.

A drawing costs far more than the page around it, and a signed record never changes. So what was drawn is kept in this
process under everything that it depends on: the record's version, the motor's, the reader's units and language.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from threading import Lock
from typing import Any, Final, NamedTuple

from django.db.models import QuerySet, Subquery
from django.utils import translation
from django.utils.safestring import SafeString, mark_safe

from bearings.public import arrangement_sentence, parse_stack
from repairs.work_orders.judging import judge, refs_of
from repairs.work_orders.models import ShopPolicy, StackRecord
from repairs.work_orders.picturing import loads_of, picture, stored_loads
from repairs.work_orders.prepared import PreparedRows

KEPT: Final = 512


class RecordLine(NamedTuple):
    """A stack record without its parts: enough to know whether its drawing is kept."""

    pk: int
    stage: str
    revision: int
    state: str
    version: int
    is_proposal: bool
    started_by_id: int
    signer_first: str | None
    signer_last: str | None
    signed_at: datetime | None
    assessment_id: int | None
    shop_limits: dict[str, object] | None

    @property
    def signer(self) -> str:
        return f"{self.signer_first or ''} {self.signer_last or ''}".strip()


RECORD_COLUMNS: Final = (
    "pk", "stage", "revision", "state", "version", "is_proposal", "started_by_id", "signed_by__first_name",
    "signed_by__last_name", "signed_at", "assessment_id", "shop_limits",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class StackView:
    """What a page shows of one record: drawing, arrangement in words, and the refs of its items for photo marks."""

    drawing: SafeString
    words: str
    refs: dict[str, str]


class _Shelf:
    """The views drawn last, shared by the threads of this process."""

    def __init__(self) -> None:
        self.views: OrderedDict[tuple[Any, ...], StackView] = OrderedDict()
        self.lock = Lock()

    def get(self, key: tuple[Any, ...]) -> StackView | None:
        with self.lock:
            view = self.views.get(key)
            if view is not None:
                self.views.move_to_end(key)
            return view

    def put(self, key: tuple[Any, ...], view: StackView) -> None:
        with self.lock:
            self.views[key] = view
            while len(self.views) > KEPT:
                self.views.popitem(last=False)


_SHELF: Final = _Shelf()


def lines_of(job_id: int) -> list[RecordLine]:
    """Return every stack record of a job without its parts, oldest first, in one query."""
    return [RecordLine(*row) for row in _LINES.rows(job_id)]


def _lines(job_id: int) -> QuerySet[StackRecord, Any]:
    limits = Subquery(ShopPolicy.objects.filter(pk=1).values("limits")[:1])
    records = StackRecord.objects.filter(job_id=job_id).annotate(shop_limits=limits)
    return records.order_by("pk").values_list(*RECORD_COLUMNS)


_LINES: Final = PreparedRows(_lines)


def stack_views(lines: Sequence[RecordLine], *, motor_version: int, units: str) -> dict[int, StackView]:
    """Return the views of some records; those that are not kept are drawn, with one query for all of them."""
    wanted = {line.pk: _key(line, motor_version, units) for line in lines}
    limits = next((line.shop_limits for line in lines if line.shop_limits), None) or {}
    views = {pk: view for pk, key in wanted.items() if (view := _SHELF.get(key)) is not None}
    missing = [pk for pk in wanted if pk not in views]
    if missing:
        records = StackRecord.objects.filter(pk__in=missing).select_related("assessment", "job__motor")
        for record in records:
            views[record.pk] = _drawn(record, units, limits)
            _SHELF.put(wanted[record.pk], views[record.pk])
    return views


def _key(line: RecordLine, motor_version: int, units: str) -> tuple[Any, ...]:
    """Return what a drawing depends on: a stored answer on nothing but itself, an open record on motor and policy."""
    # The moment of signing tells a database apart that was built anew under the same keys.
    own = (line.pk, line.version, line.state, line.signed_at, units, translation.get_language())
    return own if line.assessment_id else (*own, motor_version, repr(line.shop_limits))


def _drawn(record: StackRecord, units: str, limits: dict[str, object]) -> StackView:
    refs = {entry["uid"]: ref for ref, entry in refs_of(record.items)}
    if record.assessment is not None:
        stored = record.assessment
        stack, loads = parse_stack(stored.stack), stored_loads(stored.answer)
        words = str(stored.answer["arrangement"]["words"])
    else:
        judgement = judge(record, record.job.motor, limits)
        shown, loads = judgement.stack, loads_of(judgement.assessment)
        words = arrangement_sentence(judgement.arrangement) if judgement.arrangement else ""
        if shown is None or not shown.items:
            return StackView(mark_safe(""), words, refs)
        stack = shown
    drawing = picture(
        stack, loads=loads, units=units, prefix=f"stack-{record.pk}", size="compact", summary=words or None
    )
    return StackView(mark_safe(drawing), words, refs)  # the drawing escapes every text
