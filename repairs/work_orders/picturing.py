"""Draw a stack record with what its bearings carry."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from bearings.public import (
    PAPER,
    SCREEN,
    Assembly,
    Assessment,
    DrawingOptions,
    Figures,
    LoadLabel,
    arrangement_sentence,
    case_label,
    draw_stack,
    parse_stack,
)
from repairs.work_orders.models import StackRecord

Loads = Mapping[str, LoadLabel]
# Load labels, net thrust and name of the case that a drawing shows.
Shown = tuple[Loads | None, float | None, str | None]


def loads_of(assessment: Assessment | None) -> Shown:
    """Return load labels, net thrust and name of the case that a drawing shows: running, else the rotor alone."""
    if assessment is None:
        return None, None, None
    for name in ("running", "uncoupled"):
        case = next((one for one in assessment.cases if one.name == name), None)
        if case is not None and case.not_shared is None and case.carried:
            warm = _warm_loads(assessment, name)
            labels = {
                ref: LoadLabel(axial_n=load, unloaded=load < 1.0, warm_n=warm.get(ref))
                for ref, load in case.axial_loads()
                if load is not None
            }
            return labels, case.net_axial_n, case_label(name)
    return None, None, None


def _warm_loads(assessment: Assessment, name: str) -> dict[str, float | None]:
    """Return what each bearing and guide carries in a case as mounted and warm; nothing where that is not known."""
    case = next((one for one in assessment.judged_cases if one.name == name), None)
    if case is None or case.warm is None:
        return {}
    return {row.ref: row.axial_n for rows in (case.warm.bearings, case.warm.guides) for row in rows}


def stored_loads(answer: Mapping[str, Any]) -> Shown:
    """The same from a stored answer."""
    for name in ("running", "uncoupled"):
        case = next((one for one in answer["cases"] if one["name"] == name), None)
        if case is None or not case["carried"]:
            continue
        rows = [*case["bearings"], *case["guides"]]
        if any(row["axial_n"] is None for row in rows):
            continue
        states = case.get("warm") or {"bearings": (), "guides": ()}
        warm = {row["ref"]: row["axial_n"] for row in (*states["bearings"], *states["guides"])}
        labels = {
            row["ref"]: LoadLabel(
                axial_n=row["axial_n"], unloaded=row["axial_n"] < 1.0, warm_n=warm.get(row["ref"])
            )
            for row in rows
        }
        return labels, case["net_axial_n"], case_label(name)
    return None, None, None


def picture(
    stack: Assembly,
    *,
    loads: tuple[Loads | None, float | None, str | None] = (None, None, None),
    units: str = "us",
    prefix: str = "stack",
    size: Any = "full",
    paper: bool = False,
    selected: str | None = None,
    marks: Mapping[str, str] | None = None,
    link: Callable[[str], Mapping[str, str]] | None = None,
    summary: str | None = None,
) -> str:
    """Return the drawing of a stack for page, tablet or paper."""
    labels, net, case = loads
    figures = Figures("us" if units == "us" else "si")
    return draw_stack(
        stack,
        loads=labels,
        net_axial_n=net,
        options=DrawingOptions(
            size=size,
            id_prefix=prefix,
            palette=PAPER if paper else SCREEN,
            link=link,
            selected=selected,
            marks=marks or {},
            summary=summary,
            load_case=case,
            force_text=figures.force,
            length_text=figures.length,
        ),
    )


def kept_picture(record: StackRecord, *, units: str, prefix: str, size: Any = "full") -> SafeString:
    """Return the drawing of a signed record with the loads of the answer that was kept with it."""
    stored = record.assessment
    if stored is None:
        return SafeString()
    drawn = picture(
        parse_stack(stored.stack),
        loads=stored_loads(stored.answer),
        units=units,
        prefix=prefix,
        size=size,
        summary=stored.answer["arrangement"]["words"] or None,
    )
    return mark_safe(drawn)  # made by bearings.drawing, which escapes every text


def arrangement_words(assessment: Assessment | None) -> str:
    """Return the arrangement in one sentence."""
    return arrangement_sentence(assessment.arrangement) if assessment else ""


def difference_marks(rows: Iterable[Mapping[str, Any]] | None) -> dict[str, str]:
    """Return the words that a drawing of the later stack puts on each part that differs."""
    words = {
        "turned-over": _("flipped"),
        "moved": _("moved"),
        "replaced": _("replaced"),
        "added": _("added"),
        "rating-changed": _("data differs"),
    }
    return {
        row["ref_after"]: words[row["code"]]
        for row in rows or []
        if row["ref_after"] and row["code"] in words
    }
