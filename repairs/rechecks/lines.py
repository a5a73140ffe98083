"""Say in one line, or as JSON values, how a stack's outcome changed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django.utils.translation import gettext as _

from bearings.public import Figures, field_label, plain, speed_label
from repairs.rechecks.judging import Rejudged
from repairs.rechecks.outcome import NOT_PROVEN, UNCHECKED, Outcome
from repairs.work_orders.models import Stage


def severity_words(worst: str) -> str:
    """Return a verdict, or a finding's severity, as the pages say it."""
    words = {
        "stop": _("STOP"),
        "warn": _("WARN"),
        "note": _("NOTE"),
        NOT_PROVEN: _("NOT PROVEN"),
        UNCHECKED: _("NOT CHECKED"),
        "": _("OK"),
    }
    return words[worst]


def margin_words(margin: float | None, figures: Figures) -> str:
    """Return a margin with its sign, in per cent; one that is not known says so."""
    if margin is None:
        return _("not known")
    text = figures.percent(margin)
    return text if margin < 0 else f"+{text}"


def stage_words(stage: str, revision: int, *, in_service: bool) -> str:
    """Return which record of a job it is."""
    name = str(Stage(stage).label)
    words = _("{stage}, revision {number}").format(stage=name, number=revision)
    return _("{record}, in service").format(record=words) if in_service else words


def finding_words(findings: Iterable[Sequence[str]]) -> list[str]:
    """Return findings in few words, those of like bearings in one: WARN reference speed (1, 2, 3)."""
    groups: dict[tuple[str, str], list[str]] = {}
    for severity, code, ref in findings:
        groups.setdefault((severity, code), []).append(ref)
    words = []
    for (severity, code), refs in groups.items():
        where = ", ".join(ref for ref in refs if ref)
        named = f"{severity_words(severity)} {code.replace('-', ' ')}"
        words.append(f"{named} ({where})" if where else named)
    return words


def as_line(one: Rejudged) -> str:
    """Return a changed stack as a line of text."""
    figures, job = Figures("si"), one.record.job
    where = stage_words(one.record.stage, one.record.revision, in_service=one.in_service)
    parts = [
        f"{severity_words(one.before.worst)} → {severity_words(one.after.worst)}",
        _("margin at {speed} {before} → {after}").format(
            speed=speed_label(one.after.speed or one.before.speed or "rated"),
            before=margin_words(one.before.margin, figures),
            after=margin_words(one.after.margin, figures),
        ),
        _("life {before} → {after}").format(
            before=figures.hours(one.before.l10h), after=figures.hours(one.after.l10h)
        ),
    ]
    parts += _figure_lines(one)
    parts += [_("new: {finding}").format(finding=words) for words in finding_words(one.verdict.appeared)]
    parts += one.hindrances
    head = _("BECAME STOP") if one.verdict.became_stop else _("worse") if one.verdict.worse else _("changed")
    return f"{head}: {job.number} {job.motor} ({where}): {'; '.join(parts)}"


def _figure_lines(one: Rejudged) -> list[str]:
    """Return the figures that the book changed, those of like bearings in one."""
    groups: dict[tuple[str, Any, Any], list[str]] = {}
    for ref, renewal in one.renewals:
        for name, (old, new) in renewal.changes.items():
            groups.setdefault((name, old, new), []).append(ref)
    return [
        f"{', '.join(refs)}: {field_label(name).partition(',')[0]} {_plain(old)} → {_plain(new)}"
        for (name, old, new), refs in groups.items()
    ]


def _plain(value: Any) -> str:
    return _("not printed") if value is None else plain(value) if isinstance(value, float) else str(value)


def as_values(one: Rejudged) -> dict[str, object]:
    """Return a changed stack as JSON values, SI with the unit in the name."""
    record = one.record
    return {
        "job": record.job.number,
        "motor": str(record.job.motor),
        "in_service": one.in_service,
        "stage": record.stage,
        "revision": record.revision,
        "became_stop": one.verdict.became_stop,
        "worse": one.verdict.worse,
        "new_stops": [{"code": code, "ref": ref or None} for code, ref in one.verdict.new_stops],
        "before": _outcome_values(one.before),
        "after": _outcome_values(one.after),
        "figures": [
            {"ref": ref, "source": str(renewal.rating.source), "field": name, "before": old, "after": new}
            for ref, renewal in one.renewals
            for name, (old, new) in renewal.changes.items()
        ],
        "hindrances": list(one.hindrances),
    }


def _outcome_values(outcome: Outcome) -> dict[str, object]:
    return {
        "worst": outcome.worst,
        "margin": outcome.margin,
        "speed": outcome.speed or None,
        "l10h": outcome.l10h,
        "l10mh": outcome.l10mh,
    }
