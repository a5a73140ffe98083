"""Put what a re-check found into words: margins, lives, figures of the book, other inputs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypedDict, cast

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bearings.public import Figures, Units, field_label, grouped, speed_label
from repairs.office.addresses import job_address, motor_address
from repairs.office.assessment_working import input_text
from repairs.office.policy_forms import LIMITS, SET_FACTORS
from repairs.rechecks.lines import finding_words, margin_words, severity_words, stage_words
from repairs.rechecks.models import Change, Recheck
from repairs.rechecks.outcome import UNCHECKED

Pair = tuple[str, str]


class ChangeRow(TypedDict):
    """What a re-check changed about one stack: each pair says it before and after."""

    change: Change
    flag: str
    flag_words: str
    stage: str
    speed: str
    margin: Pair
    life: Pair
    modified: Pair
    worst: tuple[Pair, Pair]
    appeared: list[str]
    gone: list[str]
    causes: list[str]


class ListedChange(ChangeRow):
    """The same in the list of a run, with its job and motor."""

    number: str
    job_url: str
    motor: str
    motor_url: str
    customer: str


class ToldChange(ChangeRow):
    """The same on the pages of job and motor, as a finding."""

    severity: str
    title: str
    words: str
    why: str


SHOWN_SEVERITY = {UNCHECKED: "not_checked", "": "ok"}


def change_rows(changes: Iterable[Change], units: str) -> list[ListedChange]:
    """Return changes as the list of a run shows them."""
    figures = Figures(cast("Units", units))
    return [
        {
            **change_figures(change, figures),
            "number": change.job.number,
            "job_url": job_address(change.job.number),
            "motor": str(change.motor),
            "motor_url": motor_address(change.motor_id),
            "customer": change.motor.customer.name,
        }
        for change in changes
    ]


def change_figures(change: Change, figures: Figures) -> ChangeRow:
    """Return what one change comes to, from what to what."""
    return {
        "change": change,
        "flag": "stop" if change.became_stop else "warn" if change.is_worse else "ok",
        "flag_words": turn_words(change),
        "stage": stage_words(change.record.stage, change.record.revision, in_service=change.in_service),
        "speed": _speed_words(change),
        "margin": (
            margin_words(change.margin_before, figures),
            margin_words(change.margin_after, figures),
        ),
        "life": _pair(change.l10h_before, change.l10h_after, figures),
        "modified": _pair(change.l10mh_before, change.l10mh_after, figures),
        "worst": (_severity(change.worst_before), _severity(change.worst_after)),
        "appeared": finding_words(change.appeared),
        "gone": finding_words(change.gone),
        "causes": causes(change, figures),
    }


def turn_words(change: Change) -> str:
    """Return in a word or two how a stack's outcome turned."""
    if change.became_stop:
        return _("became STOP")
    return _("worse") if change.is_worse else _("not worse")


def _severity(worst: str) -> Pair:
    return SHOWN_SEVERITY.get(worst, worst), severity_words(worst)


def _speed_words(change: Change) -> str:
    speed = change.speed_after or change.speed_before
    return speed_label(speed) if speed else ""


def _pair(before: float | None, after: float | None, figures: Figures) -> Pair:
    return _hours(before, figures), _hours(after, figures)


def _hours(hours: float | None, figures: Figures) -> str:
    return _("not known") if hours is None else figures.hours(hours)


def causes(change: Change, figures: Figures) -> list[str]:
    """Return what went in differently: figures of the book, motor, oil, policy; and what hinders the check."""
    lines = [*book_causes(change, figures), *(input_words(row, figures) for row in change.inputs)]
    return [*lines, *change.hindrances]


def book_causes(change: Change, figures: Figures) -> list[str]:
    """Return the figures that the book changed, like bearings in one line."""
    groups: dict[tuple[Any, ...], list[str]] = {}
    for row in change.renewals:
        changed = tuple((name, old, new) for name, (old, new) in row["changes"].items())
        groups.setdefault((row["source"], changed), []).append(row["ref"])
    lines = []
    for (source, changed), refs in groups.items():
        what = "; ".join(
            _("{field} {before} → {after}").format(
                field=field_label(name).partition(",")[0],
                before=_figure(name, old, figures),
                after=_figure(name, new, figures),
            )
            for name, old, new in changed
        )
        words = ngettext("bearing {refs}: {what} ({source})", "bearings {refs}: {what} ({source})", len(refs))
        lines.append(words.format(refs=", ".join(refs), what=what, source=source))
    return lines


def _figure(name: str, value: Any, figures: Figures) -> str:
    return _("not printed") if value is None else input_text("bearing", name, value, figures)


def input_words(row: Mapping[str, Any], figures: Figures) -> str:
    """Return one other input that differs: rated speed 1 780 rpm → 1 770 rpm."""
    room, name, before, after = row["room"], row["field"], row["before"], row["after"]
    if name in SET_FACTORS:
        label = _("speed factor, {set}").format(set=SET_FACTORS[name].label)
        return f"{label} {grouped(before, 2)} → {grouped(after, 2)}"
    label = str(LIMITS[name].label).partition(",")[0] if room == "policy" else field_label(name)
    if isinstance(before, list) or isinstance(after, list):
        return _("{field}: changed").format(field=label)
    shown = (input_text(room, name, value, figures) for value in (before, after))
    return f"{label} {' → '.join(shown)}"


def told_rows(changes: Iterable[Change], units: str) -> list[ToldChange]:
    """Return what the pages of jobs and motors say of changes that nobody has seen yet."""
    figures = Figures(cast("Units", units))
    rows: list[ToldChange] = []
    for change in changes:
        row = change_figures(change, figures)
        by_plate = change.recheck.why == Recheck.Why.PLATE
        title = _("Changed since approval") if by_plate else _("Changed by the re-check")
        severity = row["flag"] if row["flag"] != "ok" else "note"
        rows.append(
            {
                **row,
                "severity": severity,
                "title": title,
                "words": ", ".join(_turned(row)),
                "why": _why(change.recheck),
            }
        )
    return rows


def _turned(row: ChangeRow) -> list[str]:
    """Return what of a stack's outcome is another one now."""
    pairs = (
        (_("margin {before} → {after}"), row["margin"]),
        (_("life {before} → {after}"), row["life"]),
        (_("adjusted life {before} → {after}"), row["modified"]),
    )
    moved = [words.format(before=old, after=new) for words, (old, new) in pairs if old != new]
    appeared = [_("new: {finding}").format(finding=words) for words in row["appeared"]]
    return [*moved, *appeared, *(_("gone: {finding}").format(finding=words) for words in row["gone"])]


def _why(recheck: Recheck) -> str:
    why = str(recheck.get_why_display())
    return capfirst(f"{why}: {recheck.about}" if recheck.about and recheck.why != Recheck.Why.PLATE else why)
