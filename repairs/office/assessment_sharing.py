"""Load sharing on the page of an assessment: two models, end play, mismatch, growth, duty, springs.

A part that was not asked of the stack is not shown at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import MODELS_DIFFER, Figures, Stack, case_label, grouped
from repairs.office.assessment_charts import bearing_names
from repairs.office.assessment_tables import figure_text

RELATIONS: Final[dict[str, Promise]] = {
    "DB": gettext_lazy("back to back"),
    "DF": gettext_lazy("face to face"),
}
Rows = list[dict[str, object]]


def sharing_tables(answer: Mapping[str, Any], stack: Stack, figures: Figures) -> dict[str, object]:
    """Return what is shown of load sharing; nothing for an answer that was kept before there was any."""
    sharing = answer.get("sharing")
    if sharing is None:
        return {}
    names = bearing_names(stack)
    shown: dict[str, object] = {
        "models": _models(sharing, names, figures),
        "agree": _agree(sharing, figures),
        "facts": _facts(sharing, answer, figures),
        "mismatch": [_mismatch(row, figures) for row in sharing["mismatch"]],
        "growth": [_growth(row, figures) for row in sharing["growth"]],
        "growth_words": _growth_words(sharing["growth"], stack, figures),
    }
    return shown if any(shown.values()) else {}


def micrometres(figures: Figures, value: float | None) -> str:
    """Return a small length to a tenth of a micrometre, or to a hundred-thousandth of an inch."""
    if value is not None and figures.units == "us":
        return f"{grouped(value / 25_400, 5)}\u00a0in"
    return figure_text(figures, None if value is None else round(value, 1), "um")


def _models(sharing: Mapping[str, Any], names: Mapping[str, str], figures: Figures) -> Rows:
    """Return the loads by both models where they differ."""
    return [
        {
            "ref": row["ref"],
            "name": names.get(row["ref"], ""),
            "cells": [
                figures.force(row["axial_n"]),
                figures.force(row["rising_angle_n"]),
                figures.percent(row["difference"], 0),
                f"{grouped(row['contact_angle_deg'], 1)}°",
            ],
            "case": case_label(row["case"]),
        }
        for row in sharing["loads"]
        if row["difference"] > MODELS_DIFFER
    ]


def _agree(sharing: Mapping[str, Any], figures: Figures) -> str:
    """Say what the second model is, and that it agrees where it does."""
    most = sharing["greatest_difference"]
    if most is None:
        return ""
    grooves = _("Groove radii are assumed (usual values).") if sharing["assumed_groove_ratios"] else ""
    if most > MODELS_DIFFER:
        text = _(
            "The two load-sharing models differ by more than 5%. All results use the constant contact angle."
        )
    else:
        text = _("A second model (rising contact angle) gives the same loads within {most}.").format(
            most=figures.percent(most)
        )
    return f"{text} {grooves}".strip()


def _facts(sharing: Mapping[str, Any], answer: Mapping[str, Any], figures: Figures) -> list[tuple[str, str]]:
    facts: list[tuple[str, str]] = []
    play, gauge = sharing["end_play_um"], sharing["gauge"]
    if play is not None:
        label = _("end play") if play >= 0 else _("preloaded, no end play; ring overlap")
        facts.append((label, micrometres(figures, abs(play))))
    if gauge is not None:
        label = _("indicator on the shaft, pulled and pushed with {force} beyond rotor weight")
        words = label.format(force=figures.force(gauge["force_n"]))
        facts.append((words, micrometres(figures, gauge["reading_um"])))
    if sharing["rising_unloading_thrust_n"] is not None and answer["unloading_thrust_n"] is not None:
        text = _("{first}; with rising contact angle {second}").format(
            first=figures.force(answer["unloading_thrust_n"]),
            second=figures.force(sharing["rising_unloading_thrust_n"]),
        )
        facts.append((_("downthrust that unloads the first upthrust bearing"), text))
    return facts


def _mismatch(row: Mapping[str, Any], figures: Figures) -> dict[str, object]:
    share, grown = row["heavier_share"], row["growth_difference_um"]
    return {
        "refs": _("{upper} and {lower}").format(upper=row["refs"][0], lower=row["refs"][1]),
        "case": case_label(row["case"]),
        "cells": [
            figures.force(row["load_n"]),
            _("not measured")
            if row["stand_out_difference_um"] is None
            else micrometres(figures, row["stand_out_difference_um"]),
            "–" if grown is None else micrometres(figures, grown),
            "–" if share is None else figures.percent(share, 0),
            micrometres(figures, row["carries_all_um"]),
            "–"
            if row["rising_carries_all_um"] is None
            else micrometres(figures, row["rising_carries_all_um"]),
        ],
    }


def _growth(row: Mapping[str, Any], figures: Figures) -> dict[str, object]:
    before, change = row["preload_n"], row["preload_change_n"]
    after = None if before is None or change is None else before + change
    return {
        "refs": _("{upper} and {lower}").format(upper=row["refs"][0], lower=row["refs"][1]),
        "relation": RELATIONS[row["relation"]],
        "cells": [
            figure_text(figures, row["distance_mm"], "mm"),
            _signed(figures, row["thermal_um"]),
            _signed(figures, row["fit_um"]),
            figure_text(figures, before, "N"),
            figure_text(figures, after, "N"),
            _signed(figures, row["end_play_um"]),
        ],
    }


def _signed(figures: Figures, value: float | None) -> str:
    text = micrometres(figures, value)
    return f"+{text}" if value is not None and round(value, 1) > 0 else text


def _growth_words(rows: list[Any], stack: Stack, figures: Figures) -> str:
    if not rows:
        return ""
    warmer = stack.motor.shaft_warmer_k
    if not warmer:
        return _("Preload change from ring fits (plus = more preload).")
    words = _("Preload change with the shaft {warmer} vs. housing (plus = more preload).")
    difference = f"{'+' if warmer > 0 else '−'}{figures.difference(abs(warmer))}"
    return words.format(warmer=difference)


def duty_table(answer: Mapping[str, Any], stack: Stack, figures: Figures) -> dict[str, object]:
    """Return the parts of the duty and the lives over all of it; nothing where no duty is given."""
    duty = (answer.get("sharing") or {}).get("duty")
    if duty is None:
        return {}
    names = bearing_names(stack)
    return {
        "rows": [
            [
                figures.percent(row["share"], 1),
                figures.speed(row["speed_rpm"]),
                figures.force(row["down_thrust_n"]),
                figure_text(figures, row["net_axial_n"], "N"),
                _("not carried") if row["carried"] is False else figure_text(figures, row["stack_l10h"], "h"),
                "–" if row["damage_share"] is None else figures.percent(row["damage_share"], 0),
            ]
            for row in duty["rows"]
        ],
        "bearings": [
            {
                "ref": row["ref"],
                "name": names.get(row["ref"], ""),
                "cells": [
                    figure_text(figures, row["equivalent_load_n"], "N"),
                    figure_text(figures, row["l10h"], "h"),
                    figure_text(figures, row["l10mh"], "h"),
                ],
            }
            for row in duty["bearings"]
        ],
        "mean": figures.speed(duty["mean_speed_rpm"]),
        "l10h": figure_text(figures, duty["stack_l10h"], "h"),
        "l10mh": figure_text(figures, duty["stack_l10mh"], "h"),
    }


def spring_tables(answer: Mapping[str, Any], stack: Stack, figures: Figures) -> Rows:
    """Return for each bearing on springs what they do in each case, and the guides that hold them."""
    names = bearing_names(stack)
    return [_spring(row, names, figures) for row in (answer.get("sharing") or {}).get("springs", [])]


def _spring(row: Mapping[str, Any], names: Mapping[str, str], figures: Figures) -> dict[str, object]:
    rate = row["rate_n_per_mm"]
    facts = [
        (_("installed force"), figure_text(figures, row["force_n"], "N")),
        (_("rate"), figure_text(figures, None, "") if rate is None else figures.rate(rate)),
        (_("travel until solid"), figure_text(figures, row["travel_mm"], "mm")),
        (_("solid at a thrust of"), figure_text(figures, row["solid_from_n"], "N")),
        (_("minimum load at full load"), figure_text(figures, row["minimum_load_n"], "N")),
    ]
    cases = [
        {
            "name": case_label(case["case"]),
            "cells": [
                figure_text(figures, case["axial_n"], "N"),
                figure_text(figures, case["guide_n"], "N") if row["guides"] else "–",
                figure_text(
                    figures,
                    None if case["compression_mm"] is None else round(case["compression_mm"], 3),
                    "mm",
                ),
                {True: _("solid"), False: _("not solid"), None: figure_text(figures, None, "")}[
                    case["solid"]
                ],
            ],
        }
        for case in row["cases"]
    ]
    held = [
        _(
            "Guide {ref} carries at most {force} ({case}); life at that load is {life}. Allowable speed {speed}."
        ).format(
            ref=guide["ref"],
            force=figures.force(guide["axial_n"]),
            case=case_label(guide["case"]),
            life=figure_text(figures, guide["l10h"], "h"),
            speed=figure_text(figures, guide["permissible_rpm"], "rpm"),
        )
        for guide in row["held"]
    ]
    if not row["guides"]:
        held.append(_("No guide without end play holds the shaft against these springs."))
    return {
        "ref": row["ref"],
        "name": names.get(row["ref"], ""),
        "facts": facts,
        "cases": cases,
        "held": held,
    }
