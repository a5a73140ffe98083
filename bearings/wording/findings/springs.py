"""The sentences of what is found of springs."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, number_of, refs_of


def _spring_solid(finding: Finding, figures: Figures) -> str:
    values = {
        "ref": finding.ref,
        "force": figures.force(finding.value, finding.limit),
        "limit": figures.force(finding.limit),
        "travel": figures.length(number_of(finding, "travel_mm")),
        "case": case_of(finding),
    }
    if finding.severity == "warn":
        text = _(
            "The weight of the rotor alone, %(force)s, presses the springs of bearing %(ref)s solid (from %(limit)s "
            "on), which is usual under thrust only. Check that the right springs are fitted, by free height and rate."
        )
    else:
        text = _(
            "The springs of bearing %(ref)s are solid from %(limit)s on, after %(travel)s of travel; the washer then "
            "sits on its seat. That is usual at %(force)s (case: %(case)s)."
        )
    return text % values


def _spring_too_weak(finding: Finding, figures: Figures) -> str:
    least = number_of(finding, "least_n")
    values = {
        "ref": finding.ref,
        "force": figures.force(finding.value, finding.limit),
        "limit": figures.force(finding.limit),
        "lift": figures.force(number_of(finding, "lift_n")),
        "least": _("a least load that is not known") if least is None else figures.force(least),
        "guides": refs_of(finding),
    }
    if finding.severity == "stop":
        text = _(
            "The springs of bearing %(ref)s press with %(force)s; a net up thrust of %(lift)s parts its washers, and "
            "no guide without end play holds the shaft. Fit stronger springs, or a guide that carries up."
        )
    elif finding.severity == "note":
        text = _(
            "The springs of bearing %(ref)s press with %(force)s, below %(limit)s: its least load and the net up "
            "thrust of %(lift)s together. Its washers stay together only while guide %(guides)s holds the shaft "
            "without play: check the guide's locking and play."
        )
    else:
        text = _(
            "The springs of bearing %(ref)s press with %(force)s; its rollers need %(least)s and the net up thrust is "
            "%(lift)s, %(limit)s together. Fit stronger springs, or the washers skid and part."
        )
    return text % values


SENTENCES: Final[dict[str, Sentence]] = {
    "spring-solid": _spring_solid,
    "spring-too-weak": _spring_too_weak,
}
