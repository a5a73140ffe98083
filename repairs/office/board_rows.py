"""Put the board's rows into words: every cell is formatted once, in Python.

Fifty rows of template lookups cost more than the whole rest of the page. So the markup stands here, the words
are looked up once a page, and what people typed goes through ``escape`` one by one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property, lru_cache
from html import escape
from typing import Any, Final

from django.template.loader import render_to_string
from django.utils import dateformat, timezone, translation
from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bearings.public import Units
from repairs.motors.units import Unit, preferred_unit
from repairs.office.addresses import job_address
from repairs.work_orders.board import BoardRow
from repairs.work_orders.models import Job, StepKind
from repairs.work_orders.warning_words import alert_text

FLAG_LENGTH: Final = 90
HOURS_A_DAY: Final = 24


@dataclass(slots=True)
class Group:
    """The rows of one step on this page. ``begun`` and ``goes_on``: others of it stand before or after."""

    title: str
    begun: bool = False
    goes_on: bool = False
    rows: list[str] = field(default_factory=list)

    @property
    def markup(self) -> SafeString:
        return mark_safe("".join(self.rows))


@dataclass(frozen=True, kw_only=True)
class Reader:
    """For whom and when the rows are worded, with the words that every row may need.

    ``rechecked`` holds the jobs that a re-check has something to say of, True where a stack became stop.
    """

    units: Units
    today: date
    now: datetime
    rechecked: Mapping[int, bool] = field(default_factory=dict)

    @cached_property
    def language(self) -> str:
        return translation.get_language() or ""

    @cached_property
    def power(self) -> Unit:
        return preferred_unit("power", self.units)

    @cached_property
    def zone(self) -> Any:
        return timezone.get_current_timezone()

    @cached_property
    def words(self) -> dict[str, str]:
        return {
            "no tag": _("no tag"),
            "STOP": _("STOP"),
            "OVERRIDE": _("OVERRIDE"),
            "HOLD": _("HOLD"),
            "WARN": _("WARN"),
            "hand-over": _("hand-over not accepted"),
            "became stop": _("by the re-check"),
            "changed since": _("changed since approval"),
            "no promise": _("no promise"),
            "today": _("today"),
            "just now": _("just now"),
            "hours": _("{hours}\u00a0h"),
            "days": _("{days}\u00a0d"),
            **{priority: str(label).upper() for priority, label in Job.Priority.choices},
        }


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


def table_row(row: BoardRow, reader: Reader) -> str:
    """Return one job as a row of the board."""
    motor = row.tag or row.serial or reader.words["no tag"]
    return (
        f'<tr><td class="board__no"><a href="{escape(job_address(row.number))}">{escape(row.number)}</a></td>'
        f'<td class="board__what">{escape(f"{row.customer} · {motor}")}'
        f"<small>{_urgent(row, reader)}{escape(_second_line(row, reader))}</small></td>"
        f'<td class="board__rail">{rail(row.step_position, row.steps_total, row.step_title, reader.language)}</td>'
        f'<td class="board__who">{_who(row, reader)}</td><td class="board__flag">{_flags(row, reader)}</td>'
        f'<td class="board__due num">{_due(row.promised_on, reader)}</td></tr>'
    )


@lru_cache(maxsize=4096)
def rail(done: int, total: int, title: str, _language: str) -> SafeString:
    """Return the rail of ticks. Many jobs stand at the same step, so each rail is drawn once."""
    if done < total:
        label = _("step {number} of {total}: {title}").format(number=done + 1, total=total, title=title)
    else:
        label = _("all {total} steps done").format(total=total)
    context = {"done": done, "total": total, "label": label}
    drawn = render_to_string("parts/_route_rail.html", context)
    return mark_safe("".join(line.strip() for line in drawn.splitlines()))


def _urgent(row: BoardRow, reader: Reader) -> str:
    """Return in capitals what must be done before other jobs, or nothing."""
    if row.priority == Job.Priority.NORMAL:
        return ""
    return f'<b class="urgent">{escape(reader.words[row.priority])}</b> '


def _second_line(row: BoardRow, reader: Reader) -> str:
    words = _plate_words(row, reader.power)
    if row.step_kind == StepKind.OTHER:
        words = f"{words} · {row.step_title}" if words else row.step_title
    return words


def _plate_words(row: BoardRow, unit: Unit) -> str:
    """Return power and speed as far as the plate gave them; else the site, which also tells motors apart."""
    words = []
    if row.power_w is not None:
        words.append(f"{unit.from_si(row.power_w):,.4g}\u00a0{unit.name}")
    if row.speed_rpm is not None:
        words.append(f"{row.speed_rpm:,.0f}\u00a0rpm".replace(",", "\u00a0"))
    return " · ".join(words).replace(",", "\u202f") or (row.site or "")


def _who(row: BoardRow, reader: Reader) -> str:
    when = since(row.last_at, reader) if row.last_at else ""
    return f"{escape(row.last_person)}<small>{when}</small>"


def since(moment: datetime, reader: Reader) -> str:
    """Say how long ago something was, in one short word or two."""
    hours = int((reader.now - moment).total_seconds() // 3600)
    if hours >= HOURS_A_DAY:
        return reader.words["days"].format(days=(reader.today - moment.astimezone(reader.zone).date()).days)
    return reader.words["hours"].format(hours=hours) if hours >= 1 else reader.words["just now"]


def _flags(row: BoardRow, reader: Reader) -> str:
    """Return what a job waits for or is warned of, the gravest first."""
    words, flags = reader.words, ""
    if row.alert_severity == "stop":
        flags += _flag("stop", words["STOP"], _warned(row, reader))
    if row.override_words:
        flags += _flag("stop", words["OVERRIDE"], row.override_words)
    if row.pk in reader.rechecked:
        stop = reader.rechecked[row.pk]
        flags += _flag("stop", words["STOP"], words["became stop"]) if stop else ""
        flags += "" if stop else _flag("warn", words["WARN"], words["changed since"])
    if row.on_hold:
        waits = f"{row.hold_words} · {since(row.hold_since, reader)}" if row.hold_since else row.hold_words
        flags += _flag("hold", words["HOLD"], waits)
    if row.hand_over_open:
        flags += _flag("warn", "", words["hand-over"])
    if row.alert_severity == "warn":
        flags += _flag("warn", words["WARN"], _warned(row, reader))
    return flags


def _warned(row: BoardRow, reader: Reader) -> str:
    return alert_text(row.alert, reader.units) if row.alert else ""


def _flag(severity: str, word: str, text: str) -> str:
    shown = text if len(text) <= FLAG_LENGTH else text[: FLAG_LENGTH - 1].rstrip() + "…"
    return f'<span class="flag flag--{severity}">{word} {escape(shown)}</span>'


def _due(promised: date | None, reader: Reader) -> str:
    if promised is None:
        return f"<small>{reader.words['no promise']}</small>"
    day = date_words(promised, promised.year == reader.today.year, reader.language)
    late = (reader.today - promised).days
    if late > 0:
        return f'<span class="is-late">{late_words(late, reader.language)}</span><small>{day}</small>'
    return f"{day}<small>{reader.words['today']}</small>" if late == 0 else day


@lru_cache(maxsize=512)
def late_words(days: int, _language: str) -> str:
    """Say by how much a promise is past."""
    return ngettext("late %(days)d\u00a0d", "late %(days)d\u00a0d", days) % {"days": days}


@lru_cache(maxsize=2048)
def date_words(day: date, this_year: bool, _language: str) -> str:
    """Write a date short: 27 Nov, with its year when it is another one."""
    return dateformat.format(day, "j M" if this_year else "j M Y").replace(" ", "\u00a0")
