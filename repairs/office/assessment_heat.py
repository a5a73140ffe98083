"""Heat on the page of an assessment: what is lost, what takes it away, and how sure that is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from bearings.public import Bearing, Figures, Stack, speed_label
from repairs.office.assessment_charts import bearing_names
from repairs.office.assessment_tables import figure_text

COLUMNS = (
    ("drag_nmm", "N mm"),
    ("load_nmm", "N mm"),
    ("friction_w", "W"),
    ("seat_w", "W"),
    ("own_permissible_rpm", "rpm"),
    ("reference_speed_rpm", "rpm"),
)


def heat_table(answer: Mapping[str, Any], stack: Stack, figures: Figures) -> dict[str, object]:
    """Return the heat of each bearing and of the stack; nothing for an answer that was kept before there was any."""
    thermal = answer["thermal"]
    if "cooling" not in thermal:
        return {}
    names = bearing_names(stack)
    rows = [
        {
            "ref": row["ref"],
            "name": names.get(row["ref"], ""),
            "cells": [figure_text(figures, row[name], unit) for name, unit in COLUMNS],
            "printed": _printed(stack, row["ref"], figures),
            "hottest": row["ref"] == thermal["hottest"],
        }
        for row in thermal["bearings"]
    ]
    return {"rows": rows, "facts": _facts(thermal, figures), "speed": _speed(thermal, stack, figures)}


def _printed(stack: Stack, ref: str, figures: Figures) -> str:
    bearings = [item for item in stack.items if isinstance(item, Bearing)]
    speed = bearings[int(ref) - 1].reference_speed_rpm
    return _("not entered") if speed is None else figures.speed(speed)


def _facts(thermal: Mapping[str, Any], figures: Figures) -> list[tuple[str, str]]:
    """Return the balance in the order in which one reads it."""
    cooling, need = thermal["cooling"], thermal["need"]
    facts: list[tuple[str, str]] = []
    if need is not None:
        name = _("bearing losses at {speed} ({name})").format(
            speed=figures.speed(need["speed_rpm"]), name=speed_label(need["speed"])
        )
        spread = _("{friction} ({low} to {high})").format(
            friction=figures.power(need["friction_w"]),
            low=figures.power(need["low_w"]),
            high=figures.power(need["high_w"]),
        )
        facts.append((name, spread))
    for label, value in (
        (_("carried away by seats (estimate)"), cooling["seats_w"]),
        (_("carried away by oil"), cooling["oil_w"]),
        (_("heat from outside"), cooling["external_w"]),
    ):
        if value is not None:
            facts.append((label, figures.power(value)))
    if cooling["available_w"] is not None:
        given = cooling["basis"] == "given"
        label = _("total cooling (entered)") if given else _("total cooling (estimate)")
        facts.append((label, figures.power(cooling["available_w"])))
    if need is not None and need["beyond_seats_w"] is not None:
        facts.append((_("left for oil or coil"), figures.power(need["beyond_seats_w"])))
    if need is not None and need["oil_flow_l_min"] is not None:
        facts.append((_("oil flow needed at the entered rise"), figures.flow(need["oil_flow_l_min"])))
    return facts


def _speed(thermal: Mapping[str, Any], stack: Stack, figures: Figures) -> str:
    """Return in one sentence the speed at which heat is in balance, and what it is worth."""
    given, estimated = thermal["permissible_rpm"], thermal["estimated_permissible_rpm"]
    if given is not None:
        return _("Heat balances at {speed} with the cooling entered.").format(speed=figures.speed(given))
    if estimated is not None:
        return _("Heat balances at about {speed}; the cooling is an estimate.").format(
            speed=figures.speed(estimated)
        )
    return _("Heat balance not checked: cooling not entered.")
