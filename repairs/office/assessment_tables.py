"""Tables of an assessment: what each bearing carries, how long it lasts, how fast it may turn."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, NotRequired, TypedDict

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Figures, Finding, Stack, case_label, grouped, percent_sign, plain, speed_label
from repairs.office.assessment_charts import bearing_names
from repairs.work_orders.headlines import entered_cases

NOT_CHECKED: Final = gettext_lazy("not checked")
BASES: Final[dict[str, str | Promise]] = {
    "limiting": gettext_lazy("limiting speed"),
    "oil": gettext_lazy("oil speed"),
    "grease": gettext_lazy("grease speed"),
    "reference": gettext_lazy("reference speed"),
}
LIFE_COLUMNS: Final = (
    ("equivalent_load_n", "N"),
    ("l10h", "h"),
    ("kappa", "1"),
    ("contamination_factor", "1"),
    ("a_iso", "1"),
    ("l10mh", "h"),
)
Rows = list[dict[str, object]]


def figure_text(figures: Figures, value: float | str | None, unit: str | None) -> str:
    """Return a figure of the answer in the reader's unit; what is not known was not checked."""
    if value is None:
        return str(NOT_CHECKED)
    if isinstance(value, str):
        return value
    return figures.of(value, unit or "1")


def load_table(answer: Mapping[str, Any], stack: Stack, figures: Figures) -> dict[str, object]:
    """Return every case as a row, cold and warm: speed, load of each bearing, lives, film, friction."""
    names = bearing_names(stack)
    rows = [_case_row(case, figures) for case in _states(entered_cases(answer))]
    refs = list(dict.fromkeys(ref for row in rows for ref in row["by_ref"]))
    for row in rows:
        row["loads"] = [row["by_ref"].get(ref, {"text": "–", "soft": True}) for ref in refs]
    heads = [{"ref": ref, "name": names.get(ref, ""), "way": _way(answer, ref)} for ref in refs]
    static = {row["ref"]: row for row in answer["static"]["bearings"]}
    return {
        "bearings": heads,
        "rows": rows,
        "judged": any(row["judged"] for row in rows),
        "static": [
            {**head, **_static(static[head["ref"]], figures)} for head in heads if head["ref"] in static
        ],
    }


def _states(cases: list[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Return each case cold and, where heat and fits change it, warm below it."""
    found: list[Mapping[str, Any]] = []
    for case in cases:
        found.append(case)
        if case.get("warm"):
            found.append({**case, **case["warm"], "is_warm": True})
    return found


class CaseRow(TypedDict):
    """One load case: what each bearing carries, for how long, and what comes of it."""

    name: str
    warm: bool
    lasts: str
    net: str
    carried: bool
    by_ref: dict[str, dict[str, object]]
    loads: NotRequired[list[dict[str, object]]]
    judged: bool
    speed: str
    l10h: str
    l10mh: str
    kappa: str
    friction: str


def _case_row(case: Mapping[str, Any], figures: Figures) -> CaseRow:
    net, warm = case["net_axial_n"], bool(case.get("is_warm"))
    text = (_("{force} up") if net < 0 else _("{force} down")).format(force=figures.force(abs(net)))
    judged = "continuous" in case
    name = case_label(case["name"])
    return {
        "name": _("{case}, warm").format(case=name) if warm else name,
        "warm": warm,
        "lasts": _lasts(case) if judged and not warm else "",
        "net": text,
        "carried": case["carried"],
        "by_ref": {row["ref"]: _load_cell(row, figures) for row in (*case["bearings"], *case["guides"])},
        "judged": judged,
        "speed": figure_text(figures, case.get("speed_rpm"), "rpm") if not warm else "",
        "l10h": figure_text(figures, case.get("stack_l10h"), "h"),
        "l10mh": figure_text(figures, case.get("stack_l10mh"), "h"),
        "kappa": figure_text(figures, case.get("kappa"), "1") if not warm else "",
        "friction": figure_text(figures, case.get("friction_w"), "W"),
    }


def _lasts(case: Mapping[str, Any]) -> str:
    if case["continuous"] is None:
        return _("duration not entered")
    return _("continuous") if case["continuous"] else _("momentary")


def _load_cell(row: Mapping[str, Any], figures: Figures) -> dict[str, object]:
    if row["axial_n"] is None:
        return {"text": str(NOT_CHECKED), "soft": True}
    if row.get("unloaded"):
        return {"text": _("unloaded"), "soft": True}
    return {"text": figures.force(row["axial_n"]), "soft": False}


def _way(answer: Mapping[str, Any], ref: str) -> str:
    if ref in answer["arrangement"]["carries_down"]:
        return "down"
    return "up" if ref in answer["arrangement"]["carries_up"] else ""


def _static(row: Mapping[str, Any] | None, figures: Figures) -> dict[str, str]:
    if row is None:
        return {"static_load": "–", "safety": "–", "worst": ""}
    return {
        "static_load": figure_text(figures, row["equivalent_static_load_n"], "N"),
        "safety": figure_text(figures, row["safety"], "1"),
        "worst": case_label(row["case"]),
    }


def life_table(answer: Mapping[str, Any], stack: Stack, figures: Figures) -> dict[str, object]:
    """Return the lives of the bearings that are loaded in the running case, and of the stack."""
    life, names = answer["life"], bearing_names(stack)
    return {
        "rows": [
            {
                "ref": row["ref"],
                "name": names.get(row["ref"], ""),
                "cells": [figure_text(figures, row[name], unit) for name, unit in LIFE_COLUMNS],
            }
            for row in life["bearings"]
        ],
        "l10h": figure_text(figures, life["stack_l10h"], "h"),
        "l10mh": figure_text(figures, life["stack_l10mh"], "h"),
        "more": _other_lives(life, figures),
    }


def _other_lives(life: Mapping[str, Any], figures: Figures) -> list[str]:
    """Say the life for a higher reliability and by the other way to the contamination factor, where asked for."""
    said = []
    if life.get("reliability_percent", 90.0) > 90:
        said.append(
            _("At {percent} reliability: adjusted stack life {life} (a₁ = {a1}).").format(
                percent=f"{plain(life['reliability_percent'])}{percent_sign()}",
                life=figure_text(figures, life["stack_lnmh"], "h"),
                a1=figures.ratio(life["a1"]),
            )
        )
    if life.get("other_stack_l10mh") is not None:
        said.append(
            _("Adjusted life with the ISO 281 Annex A contamination factor: {life}.").format(
                life=figures.hours(life["other_stack_l10mh"])
            )
        )
    return said


def speed_table(answer: Mapping[str, Any], stack: Stack, figures: Figures) -> Rows:
    """Return the permissible speed of each bearing, what it is made from, and its margin at rated speed."""
    names, rated = bearing_names(stack), stack.motor.rated_speed_rpm
    rows = []
    for row in answer["speed"]["bearings"]:
        allowed = row["permissible_rpm"]
        rows.append(
            {
                "ref": row["ref"],
                "name": names.get(row["ref"], ""),
                "rating": _("not entered") if row["rating_rpm"] is None else figures.speed(row["rating_rpm"]),
                "basis": BASES.get(row["basis"], "–"),
                "factor": grouped(row["set_factor"], 2),
                "permissible": figure_text(figures, allowed, "rpm"),
                "margin": str(NOT_CHECKED) if allowed is None else figures.percent(allowed / rated - 1),
                "governs": row["ref"] == answer["speed"]["governing"],
            }
        )
    return rows


def margin_table(answer: Mapping[str, Any], stack: Stack, findings: list[Finding], figures: Figures) -> Rows:
    """Return the margin at each speed of the motor, each judged by the shop's least margin."""
    ratchet = any(one.code == "speed-margin" and one.params.get("non_reverse") is True for one in findings)
    return [
        {
            "name": speed_label(row["speed"]),
            "speed": figures.speed(row["speed_rpm"]),
            "permissible": figures.speed(row["permissible_rpm"]),
            "margin": figures.percent(row["margin"]),
            "severity": _margin_severity(row, answer, stack, ratchet=ratchet),
        }
        for row in answer["speed"]["margins"]
    ]


def _margin_severity(
    row: Mapping[str, Any], answer: Mapping[str, Any], stack: Stack, *, ratchet: bool
) -> str:
    """Return how a margin is flagged; where a bearing is not rated, none of the others' is good enough."""
    if row["speed"] == "reverse":
        return "stop" if row["margin"] < 0 and not ratchet else "ok"
    if row["margin"] < 0:
        return "stop"
    if row["margin"] < stack.policy.minimum_speed_margin:
        return "warn"
    return "ok" if answer["speed"]["complete"] else "not_checked"
