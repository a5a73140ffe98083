"""Put the board's rows into words; ``office/_board.html`` lays them out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Final, TypedDict

from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.office.addresses import job_address
from repairs.office.short_words import date_words, late_words, plate_words
from repairs.work_orders.board import BoardRow
from repairs.work_orders.models import Job, StepKind
from repairs.work_orders.warning_words import alert_text

HOURS_A_DAY: Final = 24
PRIORITIES: Final = dict(Job.Priority.choices)


class Line(TypedDict):
    """One row of the board in words."""

    number: str
    url: str
    what: str
    urgent: str
    second: str
    done: str
    total: str
    rail: str
    person: str
    since: str
    flags: list[tuple[str, str]]
    late: str
    today: bool
    promised: str


@dataclass(slots=True)
class Group:
    """The rows of one step on this page. ``begun`` and ``goes_on``: others of it stand before or after."""

    title: str
    begun: bool = False
    goes_on: bool = False
    rows: list[Line] = field(default_factory=list)


@dataclass(frozen=True, kw_only=True)
class Reader:
    """For whom and when the rows are worded.

    ``rechecked`` holds the jobs that a re-check has something to say of, True where a stack became stop.
    """

    units: Units
    today: date
    now: datetime
    rechecked: Mapping[int, bool] = field(default_factory=dict)


def grouped(rows: Iterable[BoardRow], reader: Reader) -> list[Group]:
    """Return the rows under the steps at which they stand."""
    groups: list[Group] = []
    place: int | None = None
    for row in rows:
        if row.board_place != place:
            place = row.board_place
            groups.append(Group(step_title(row.step_kind)))
        groups[-1].rows.append(row_words(row, reader))
    return groups


def step_title(kind: str) -> str:
    """Return a heading: what kind of step the jobs under it stand at."""
    return (
        str(capfirst(StepKind(kind).label))
        if kind in StepKind.values
        else _("All steps done, ready to close")
    )


def row_words(row: BoardRow, reader: Reader) -> Line:
    """Return what one row of the board says."""
    late = (reader.today - row.promised_on).days if row.promised_on else -1
    own_title = row.step_title if row.step_kind == StepKind.OTHER else ""
    plate = plate_words(row.power_w, row.speed_rpm, reader.units) or row.site or ""
    return {
        "number": row.number,
        "url": job_address(row.number),
        "what": f"{row.customer} · {row.tag or row.serial or _('no tag')}",
        "urgent": "" if row.priority == Job.Priority.NORMAL else str(PRIORITIES[row.priority]).upper(),
        "second": " · ".join(words for words in (plate, own_title) if words),
        # As text: a number would be written in the reader's language each time, and a drawing wants it plain.
        "done": str(row.step_position),
        "total": str(row.steps_total),
        "rail": _rail_words(row),
        "person": row.last_person,
        "since": since(row.last_at, reader) if row.last_at else "",
        "flags": _flags(row, reader),
        "late": late_words(late) if late > 0 else "",
        "today": late == 0,
        "promised": date_words(row.promised_on, reader.today) if row.promised_on else "",
    }


def _rail_words(row: BoardRow) -> str:
    if row.step_position < row.steps_total:
        words = _("step {number} of {total}: {title}")
        return words.format(number=row.step_position + 1, total=row.steps_total, title=row.step_title)
    return _("all {total} steps done").format(total=row.steps_total)


def since(moment: datetime, reader: Reader) -> str:
    """Say how long ago something was, in one short word or two."""
    hours = int((reader.now - moment).total_seconds() // 3600)
    if hours >= HOURS_A_DAY:
        return _("{days}\u00a0d").format(days=(reader.today - timezone.localtime(moment).date()).days)
    return _("{hours}\u00a0h").format(hours=hours) if hours >= 1 else _("just now")


def _flags(row: BoardRow, reader: Reader) -> list[tuple[str, str]]:
    """Return severity and words of what a job waits for or is warned of, the gravest first."""
    became_stop = reader.rechecked.get(row.pk)
    warned = alert_text(row.alert, reader.units) if row.alert else ""
    flags = []
    if row.alert_severity == "stop":
        flags.append(("stop", _("STOP"), warned))
    if row.override_words:
        flags.append(("stop", _("OVERRIDE"), row.override_words))
    if became_stop is not None:
        flags.append(
            ("stop", _("STOP"), _("found by re-check"))
            if became_stop
            else ("warn", _("WARN"), _("changed since approval"))
        )
    if row.on_hold:
        held = f" · {since(row.hold_since, reader)}" if row.hold_since else ""
        flags.append(("hold", _("HOLD"), row.hold_words + held))
    if row.hand_over_open:
        flags.append(("warn", "", _("handoff waiting")))
    if row.alert_severity == "warn":
        flags.append(("warn", _("WARN"), warned))
    return [(severity, f"{word} {text}".strip()) for severity, word, text in flags]
