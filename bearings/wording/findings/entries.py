"""The sentences of what is found of entries."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, grouped
from bearings.wording.finding_parts import Sentence, case_of, number_of, part_of
from bearings.wording.labels import field_label


def _rating_estimated(finding: Finding, figures: Figures) -> str:
    return _(
        "Ratings of bearing %(ref)s are estimated from ball count and size, not published. Life and static "
        "safety depend on them. Get the maker's ratings."
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
            "The %(field)s of bearing %(ref)s is entered as %(printed)s; its balls suggest %(geometry)s (ratio "
            "%(ratio)s). Check the figure, its unit, and the ball count and diameter."
        )
        % values
    )
    unit = finding.params.get("suspected")
    question = _("Was it in %(unit)s?") % {"unit": unit}
    return f"{text} {question}" if unit else text


def _geometry_impossible(finding: Finding, figures: Figures) -> str:
    if finding.params.get("reason") == "overlap":
        return _(
            "The balls of bearing %(ref)s would overlap: they need %(needed)s around the pitch circle; it has "
            "%(there)s. Count and measure them again."
        ) % {
            "ref": finding.ref,
            "needed": figures.length(finding.value),
            "there": figures.length(finding.limit),
        }
    return _(
        "A %(ball)s ball does not fit in bearing %(ref)s: there is %(space)s between bore and outside "
        "diameter. Measure both again."
    ) % {"ref": finding.ref, "ball": figures.length(finding.value), "space": figures.length(finding.limit)}


def _reference_speed_differs(finding: Finding, figures: Figures) -> str:
    return _(
        "%(part)s: printed reference speed is %(printed)s; ISO 15312 estimate is %(computed)s, "
        "%(share)s apart. Confirm with the maker before relying on either."
    ) % {
        "part": part_of(finding),
        "printed": figures.speed(finding.limit),
        "computed": figures.speed(finding.value),
        "share": figures.percent(number_of(finding, "difference"), 0),
    }


def _sharing_models_differ(finding: Finding, figures: Figures) -> str:
    angle = number_of(finding, "angle_deg")
    text = _(
        "Bearing %(ref)s carries %(first)s by constant contact angle, %(second)s by rising angle (%(angle)s°), "
        "%(share)s apart (%(case)s). Load sharing is uncertain. All checks use the first."
    ) % {
        "ref": finding.ref,
        "first": figures.force(finding.limit),
        "second": figures.force(finding.value, finding.limit),
        "angle": "-" if angle is None else grouped(angle, 1),
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
