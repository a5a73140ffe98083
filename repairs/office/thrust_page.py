"""What the pages of a thrust sheet show, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypedDict

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.functional import Promise
from django.utils.translation import gettext as _

from bearings.public import Figures, ThrustResult, Units, thrust_from_values, thrust_value
from repairs.motors.models import Motor, ThrustSheet
from repairs.motors.nameplate import plate_entry, shown
from repairs.motors.plate_fields import BY_KEY as PLATE
from repairs.motors.thrust_fields import BY_KEY, FIELDS, GROUPS, differing_from_plate
from repairs.motors.thrust_services import USED, figures_to_use
from repairs.motors.thrust_words import CAUTIONS, meaning_words, topics_of, verdict_rows
from repairs.office.thrust_form import ThrustForm

CHOSEN = ("plate", "sheet")


def result_context(
    result: ThrustResult, summary: Mapping[str, Any], units: Units, questions: list[dict[str, object]]
) -> dict[str, object]:
    """Return what ``_thrust_result.html`` shows."""
    return {
        "verdicts": verdict_rows(result.verdicts, units),
        "topics": topics_of(result, units),
        "meaning": meaning_words(summary),
        "questions": questions,
    }


def form_context(form: ThrustForm, confirmed: frozenset[str], motor: Motor) -> dict[str, object]:
    """Return the form with what follows from its figures, as far as they can be read."""
    meaning = (form.entries.get("plate_meaning") or {}).get("si") or ""
    return {
        "groups": form.groups(),
        "refused": form.refused(),
        "differing": differing_rows(motor, form.entries, form.units),
        **result_context(form.result(), {"meaning": meaning}, form.units, form.asked(confirmed)),
    }


def differing_rows(motor: Motor, entries: Mapping[str, Any], units: Units) -> list[dict[str, str]]:
    """Return where the sheet says something else than the motor's plate, with both."""
    return [
        {
            "label": str(field.label),
            "sheet": shown(field, entries[field.key], units),
            "plate": shown(PLATE[plate_key], plate_entry(motor.nameplate.get(plate_key)), units),
        }
        for field, plate_key in differing_from_plate(motor, entries)
    ]


def sheet_context(sheet: ThrustSheet, motor: Motor, units: Units) -> dict[str, object]:
    """Return one stored revision: what went in, what came out."""
    return {
        "sheet": sheet,
        "entered": entered_groups(sheet.entries, units),
        "saved": _moment(sheet.saved_at),
        "signed": _moment(sheet.signed_at),
        "used": _moment(sheet.used_at),
        "differing": differing_rows(motor, sheet.entries, units),
        "cautions": [{"signal": signal, "text": text} for signal, text in CAUTIONS],
        "confirmed_count": len(sheet.confirmed),
        **result_context(thrust_from_values(sheet.summary), sheet.summary, units, []),
    }


def entered_groups(entries: Mapping[str, Any], units: Units) -> list[dict[str, object]]:
    """Return every field that was asked for, group by group; an empty value is an unknown one."""
    return [
        {
            "title": title,
            "rows": [
                (field.label, shown(field, entries.get(field.key), units))
                for field in FIELDS
                if field.group == name
            ],
        }
        for name, title in GROUPS
    ]


def stored_rows(form: ThrustForm, stored: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Return label and stored value of every field that somebody else saved differently meanwhile."""
    keys = [key for key in BY_KEY if form.entries.get(key) != stored.get(key)]
    return [
        (str(BY_KEY[key].label), shown(BY_KEY[key], stored.get(key), form.units) or _("empty"))
        for key in keys
    ]


def revision_rows(sheets: Iterable[ThrustSheet]) -> list[dict[str, object]]:
    """Return the revisions, newest first."""
    return [
        {
            "number": one.revision,
            "at": _moment(one.signed_at or one.saved_at),
            "by": one.signed_name or one.saved_by,
            "state": _("signed") if one.is_signed else _("draft"),
            "used": _moment(one.used_at),
            "reason": one.reason,
        }
        for one in sheets
    ]


class UseRow(TypedDict):
    """One figure of a thrust sheet beside what the plate says, and which of the two is chosen."""

    key: str
    label: str | Promise
    plate: str
    now: str
    sheet: str
    fallback: bool
    conflict: bool
    chosen: str


def use_rows(sheet: ThrustSheet, motor: Motor, typed: Mapping[str, str] | None, units: Units) -> list[UseRow]:
    """Return each figure that can be used, beside what the motor's plate says.

    Where the plate says nothing the sheet's figure is offered; where both do, a person chooses.
    """
    known, result = figures_to_use(sheet), thrust_from_values(sheet.summary)
    rows: list[UseRow] = []
    for key in USED:
        own = plate_entry(motor.nameplate.get(key))
        value = known.get(key)
        has_own = own is not None and own.get("si") is not None
        same = (
            has_own and value is not None and abs(float((own or {})["si"]) - value) <= 1e-6 * max(1.0, value)
        )
        chosen = (typed or {}).get(key, "")
        if typed is None:
            chosen = "plate" if same else "" if has_own else "sheet"
        rows.append(
            {
                "key": key,
                "label": PLATE[key].label,
                "plate": shown(PLATE[key], own, units),
                "now": shown(PLATE[key], motor.nameplate.get(key), units),
                "sheet": thrust_value(key, value, Figures(units, exact=True)) if value is not None else "",
                "fallback": bool(USED[key]) and result.figure(USED[key]).fallback,
                "conflict": has_own and value is not None and not same,
                "chosen": chosen if chosen in CHOSEN else "",
            }
        )
    return rows


def _moment(at: Any) -> str:
    return date_format(timezone.localtime(at), "DATETIME_FORMAT") if at else ""
