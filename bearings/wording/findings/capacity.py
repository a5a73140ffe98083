"""The sentences of what is found of capacity."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, number_of, part_of


def _static_safety(finding: Finding, figures: Figures) -> str:
    return _(
        "Static safety of %(part)s is %(safety)s at %(load)s (%(case)s); minimum is %(limit)s. Use a "
        "bearing with a higher static rating."
    ) % {
        "safety": figures.ratio(finding.value),
        "part": part_of(finding, at_start=False),
        "load": figures.force(number_of(finding, "load_n")),
        "case": case_of(finding),
        "limit": figures.ratio(finding.limit),
    }


def _radial_load_on_thrust_roller(finding: Finding, figures: Figures) -> str:
    return _(
        "Bearing %(ref)s carries %(radial)s radial load (%(case)s); at %(axial)s thrust it may carry "
        "%(limit)s. Let a guide bearing carry the radial load."
    ) % {
        "ref": finding.ref,
        "radial": figures.force(finding.value, finding.limit),
        "case": case_of(finding),
        "axial": figures.force(number_of(finding, "axial_n")),
        "limit": figures.force(finding.limit),
    }


def _groove_thrust_limit(finding: Finding, figures: Figures) -> str:
    return _(
        "Deep groove bearing %(ref)s carries %(load)s thrust (%(case)s); the rule of thumb allows %(limit)s. "
        "Use a larger bearing, or angular contact bearings."
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
