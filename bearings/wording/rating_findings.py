"""Sentences of the findings about ratings and the inside of a bearing."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, number_of
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
        "printed": figures.force(finding.value),
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


RATING_SENTENCES: Final[dict[str, Sentence]] = {
    "rating-estimated": _rating_estimated,
    "rating-geometry": _rating_geometry,
    "geometry-impossible": _geometry_impossible,
}
