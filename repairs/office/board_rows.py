"""Put the board's rows into words: every cell is formatted once, in Python.

Fifty rows of template lookups cost more than the whole rest of the page, hence the markup here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import lru_cache
from typing import Any, Final

from django.template.loader import render_to_string
from django.utils import dateformat, timezone, translation
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from repairs.motors.units import preferred_unit
from repairs.office.addresses import job_address
from repairs.work_orders.board import BoardRow
from repairs.work_orders.models import Job, StepKind

FLAG_LENGTH: Final = 90
HOURS_A_DAY: Final = 24


@dataclass(slots=True)
class Group:
    """The rows of one step on this page. ``begun`` and ``goes_on``: others of it stand before or after."""

    title: str
    begun: bool = False
    goes_on: bool = False
    rows: list[SafeString] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """For whom and when the rows are worded."""

    units: str
    today: date
    now: datetime


def grouped(rows: Iterable[BoardRow], reader: Reader) -> list[Group]:
    """Return the rows under the steps at which they stand."""
    groups: list[Group] = []
    place: int | None = None
    for row in rows:
        if row.board_place != place:
            place = row.board_place
            groups.append(Group(step_title(row.step_kind)))
        groups[-1].rows.append(table_row(row, reader))
    return groups


def step_title(kind: str) -> str:
    """Return a heading: what kind of step the jobs under it stand at."""
    return str(capfirst(StepKind(kind).label)) if kind in StepKind.values else _("All steps done, to close")


def table_row(row: BoardRow, reader: Reader) -> SafeString:
    """Return one job as a row of the board."""
    return format_html(
        '<tr><td class="board__no"><a href="{}">{}</a></td><td class="board__what">{} · {}<small>{}</small></td>'
        '<td class="board__rail">{}</td><td class="board__who">{}</td><td class="board__flag">{}</td>'
        '<td class="board__due num">{}</td></tr>',
        job_address(row.number),
        row.number,
        row.customer,
        row.tag or row.serial or _("no tag"),
        _second_line(row, reader.units),
        rail(row.step_position, row.steps_total, row.step_title, translation.get_language()),
        _who(row, reader),
        _flags(row, reader),
        _due(row.promised_on, reader.today),
    )


@lru_cache(maxsize=4096)
def rail(done: int, total: int, title: str, _language: str) -> SafeString:
    """Return the rail of ticks. Many jobs stand at the same step, so each rail is drawn once."""
    if done < total:
        label = _("step {number} of {total}: {title}").format(number=done + 1, total=total, title=title)
    else:
        label = _("all {total} steps done").format(total=total)
    context = {"done": done, "total": total, "label": label}
    return render_to_string("parts/_route_rail.html", context)


def _second_line(row: BoardRow, units: str) -> str:
    words = [_plate_words(row, units)]
    if row.priority != Job.Priority.NORMAL:
        words.append(str(Job.Priority(row.priority).label))
    if row.step_kind == StepKind.OTHER:
        words.append(row.step_title)
    return " · ".join(word for word in words if word)


def _plate_words(row: BoardRow, units: str) -> str:
    """Return power and speed as far as the plate gave them; else the site, which also tells motors apart."""
    power, speed = _plate_number(row.power), _plate_number(row.speed)
    parts = []
    if power is not None:
        unit = preferred_unit("power", units)
        parts.append(f"{unit.from_si(power):,.4g}".replace(",", "\u202f") + f"\u00a0{unit.name}")
    if speed is not None:
        parts.append(f"{speed:,.0f}".replace(",", "\u202f") + "\u00a0r/min")
    return ", ".join(parts) or (row.site or "")


def _plate_number(entry: dict[str, Any] | None) -> float | None:
    known = entry is not None and entry.get("state") in {"read", "inferred"}
    value = entry.get("si") if known and entry is not None else None
    return float(value) if isinstance(value, int | float) else None


def _who(row: BoardRow, reader: Reader) -> SafeString:
    when = since(row.last_at, reader) if row.last_at else ""
    return format_html("{}<small>{}</small>", row.last_person, when)


def since(moment: datetime, reader: Reader) -> str:
    """Say how long ago something was, in one short word or two."""
    hours = int((reader.now - moment).total_seconds() // 3600)
    days = (reader.today - timezone.localtime(moment).date()).days
    if days <= 0 and hours < 1:
        return _("just now")
    if hours < HOURS_A_DAY:
        return _("{hours}\u00a0h").format(hours=hours)
    return _("{days}\u00a0d").format(days=days)


def _flags(row: BoardRow, reader: Reader) -> SafeString:
    """Return what a job waits for or is warned of, the gravest first."""
    flags = mark_safe("")
    text = str(row.alert.get("text", "")) if row.alert else ""
    if row.alert_severity == "stop":
        flags += _flag("stop", _("STOP"), text)
    if row.on_hold:
        waits = f"{row.hold_words} · {since(row.hold_since, reader)}" if row.hold_since else row.hold_words
        flags += _flag("hold", _("HOLD"), waits)
    if row.hand_over_open:
        flags += _flag("warn", "", _("hand-over not accepted"))
    if row.alert_severity == "warn":
        flags += _flag("warn", _("WARN"), text)
    return flags


def _flag(severity: str, word: str, text: str) -> SafeString:
    shown = text if len(text) <= FLAG_LENGTH else text[: FLAG_LENGTH - 1].rstrip() + "…"
    return format_html('<span class="flag flag--{}">{} {}</span>', severity, word, shown)


def _due(promised: date | None, today: date) -> SafeString | str:
    if promised is None:
        return format_html("<small>{}</small>", _("no promise"))
    day = date_words(promised, promised.year == today.year, translation.get_language())
    late = (today - promised).days
    if late > 0:
        return format_html('<span class="is-late">{}</span><small>{}</small>', late_words(late), day)
    return format_html("{}<small>{}</small>", day, _("today")) if late == 0 else day


def late_words(days: int) -> str:
    """Say by how much a promise is past."""
    return ngettext("late %(days)d\u00a0d", "late %(days)d\u00a0d", days) % {"days": days}


@lru_cache(maxsize=2048)
def date_words(day: date, this_year: bool, _language: str) -> str:
    """Write a date short: 27 Nov, with its year when it is another one."""
    return dateformat.format(day, "j M" if this_year else "j M Y").replace(" ", "\u00a0")
