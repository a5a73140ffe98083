"""Drawings of stack records for pages that show many at once, kept until their content changes.

A drawing costs far more than the page around it, and a signed record never changes. So what was drawn is kept in this
process under everything that it depends on: the record's version, the motor's, the reader's units and language.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from threading import Lock
from typing import Any, Final

from django.utils import translation
from django.utils.safestring import SafeString, mark_safe

from bearings.public import Assembly, Units, arrangement_sentence, parse_stack
from repairs.work_orders.headlines import HeadlineView, headline_of, headline_view
from repairs.work_orders.judging import judge, limits_of, refs_of, stored_findings
from repairs.work_orders.models import StackRecord
from repairs.work_orders.picturing import loads_of, picture, stored_loads

KEPT: Final = 512


@dataclass(frozen=True, slots=True)
class StackView:
    """What a page shows of one record: drawing, arrangement in words, and the refs of its items for photo marks."""

    drawing: SafeString
    words: str
    refs: dict[str, str]
    headline: HeadlineView | None


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


def stack_views(records: Sequence[StackRecord], *, motor_version: int, units: Units) -> dict[int, StackView]:
    """Return the views of some records; those that are not kept are drawn, with one query for all of them."""
    limits = next((limits_of(record) for record in records if not record.assessment_id), {})
    wanted = {record.pk: _key(record, motor_version, units, limits) for record in records}
    views = {pk: view for pk, key in wanted.items() if (view := _SHELF.get(key)) is not None}
    missing = [pk for pk in wanted if pk not in views]
    if missing:
        whole = StackRecord.objects.filter(pk__in=missing).select_related("assessment", "job__motor")
        for record in whole:
            views[record.pk] = _drawn(record, units, limits)
            _SHELF.put(wanted[record.pk], views[record.pk])
    return views


def _key(record: StackRecord, motor_version: int, units: Units, limits: dict[str, object]) -> tuple[Any, ...]:
    """Return what a drawing depends on: a stored answer on nothing but itself, an open record on motor and policy."""
    # The moment of signing tells a database apart that was built anew under the same keys.
    own = (record.pk, record.version, record.state, record.signed_at, units, translation.get_language())
    return own if record.assessment_id else (*own, motor_version, repr(limits))


def _drawn(record: StackRecord, units: Units, limits: dict[str, object]) -> StackView:
    refs = {entry["uid"]: ref for ref, entry in refs_of(record.items)}
    if record.assessment is not None:
        stored = record.assessment
        stack: Assembly = parse_stack(stored.stack)
        loads = stored_loads(stored.answer)
        words = str(stored.answer["arrangement"]["words"])
        headline: HeadlineView | None = headline_view(stored.answer, stored_findings(stored), units)
    else:
        judgement = judge(record, record.job.motor, limits)
        shown, loads = judgement.stack, loads_of(judgement.assessment)
        words = arrangement_sentence(judgement.arrangement) if judgement.arrangement else ""
        if shown is None or not shown.items:
            return StackView(mark_safe(""), words, refs, None)
        stack, headline = shown, headline_of(judgement, units)
    drawing = picture(
        stack, loads=loads, units=units, prefix=f"stack-{record.pk}", size="compact", summary=words or None
    )
    return StackView(mark_safe(drawing), words, refs, headline)  # the drawing escapes every text
