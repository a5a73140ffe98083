"""The sentences of what is found of capacity."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, number_of


def _static_safety(finding: Finding, figures: Figures) -> str:
    return _(
        "Static safety %(safety)s of bearing %(ref)s under %(load)s (case: %(case)s); at least %(limit)s is asked "
        "for. Take a bearing with a higher static rating."
    ) % {
        "safety": figures.ratio(finding.value),
        "ref": finding.ref,
        "load": figures.force(number_of(finding, "load_n")),
        "case": case_of(finding),
        "limit": figures.ratio(finding.limit),
    }


def _radial_load_on_thrust_roller(finding: Finding, figures: Figures) -> str:
    return _(
        "Bearing %(ref)s takes %(radial)s of radial load (case: %(case)s); its thrust of %(axial)s allows "
        "%(limit)s. Let a radial bearing take the radial load."
    ) % {
        "ref": finding.ref,
        "radial": figures.force(finding.value, finding.limit),
        "case": case_of(finding),
        "axial": figures.force(number_of(finding, "axial_n")),
        "limit": figures.force(finding.limit),
    }


def _groove_thrust_limit(finding: Finding, figures: Figures) -> str:
    return _(
        "Deep groove bearing %(ref)s carries %(load)s of thrust (case: %(case)s); it bears about %(limit)s, half of "
        "its static rating, light and small ones half of that. Take a larger one, or angular contact bearings."
    ) % {
        "ref": finding.ref,
        "load": figures.force(finding.value, finding.limit),
        "case": case_of(finding),
        "limit": figures.force(finding.limit),
    }


SENTENCES: Final[dict[str, Sentence]] = {
    "static-safety": _static_safety,
    "radial-load-on-thrust-roller": _radial_load_on_thrust_roller,
    "groove-thrust-limit": _groove_thrust_limit,
}
