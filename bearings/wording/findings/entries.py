"""The sentences of what is found of entries."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, number_of
from bearings.wording.labels import field_label


def _rating_estimated(finding: Finding, figures: Figures) -> str:
    return _(
        "The ratings of bearing %(ref)s are an estimate from counted and measured balls, not printed ones: life and "
        "static safety rest on it. Ask the maker for the ratings."
    ) % {"ref": finding.ref}


def _rating_geometry(finding: Finding, figures: Figures) -> str:
    values = {
        "ref": finding.ref,
        "field": field_label(str(finding.params["field"])),
        "printed": figures.force(finding.value, finding.limit),
        "geometry": figures.force(finding.limit),
        "ratio": figures.ratio(number_of(finding, "ratio")),
    }
    text = (
        _(
            "The %(field)s of bearing %(ref)s is entered as %(printed)s; its balls give about %(geometry)s "
            "(%(ratio)s times). Check the figure, its unit, and the count and diameter of the balls."
        )
        % values
    )
    unit = finding.params.get("suspected")
    return f"{text} {_('Was it read in %(unit)s?') % {'unit': unit}}" if unit else text


def _geometry_impossible(finding: Finding, figures: Figures) -> str:
    if finding.params.get("reason") == "overlap":
        return _(
            "The balls of bearing %(ref)s would overlap: together they need %(needed)s around the pitch circle, which "
            "has %(there)s. Count and measure them again."
        ) % {
            "ref": finding.ref,
            "needed": figures.length(finding.value),
            "there": figures.length(finding.limit),
        }
    return _(
        "A ball of %(ball)s cannot stand in bearing %(ref)s: between bore and outside diameter there are %(space)s. "
        "Measure both again."
    ) % {"ref": finding.ref, "ball": figures.length(finding.value), "space": figures.length(finding.limit)}


def _reference_speed_differs(finding: Finding, figures: Figures) -> str:
    return _(
        "The reference speed of bearing %(ref)s is printed as %(printed)s; the heat balance of ISO 15312 gives "
        "%(computed)s, %(share)s away. Either may be right: the standard's factors are means of a series. Check the "
        "printed figure, its meaning and its edition."
    ) % {
        "ref": finding.ref,
        "printed": figures.speed(finding.limit),
        "computed": figures.speed(finding.value),
        "share": figures.percent(number_of(finding, "difference"), 0),
    }


def _sharing_models_differ(finding: Finding, figures: Figures) -> str:
    angle = number_of(finding, "angle_deg")
    text = _(
        "The two models of load sharing differ: bearing %(ref)s carries %(first)s with a constant contact angle and "
        "%(second)s with one that rises with load (%(angle)s°), %(share)s apart (case: %(case)s). Lives, static safety "
        "and the other checks use the first."
    ) % {
        "ref": finding.ref,
        "first": figures.force(finding.limit),
        "second": figures.force(finding.value, finding.limit),
        "angle": "-" if angle is None else f"{angle:.1f}",
        "share": figures.percent(number_of(finding, "difference"), 0),
        "case": case_of(finding),
    }
    if finding.params.get("assumed") is True:
        text += " " + _("Groove radii are assumed.")
    return text


SENTENCES: Final[dict[str, Sentence]] = {
    "rating-estimated": _rating_estimated,
    "rating-geometry": _rating_geometry,
    "geometry-impossible": _geometry_impossible,
    "reference-speed-differs": _reference_speed_differs,
    "sharing-models-differ": _sharing_models_differ,
}
