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
            "Rotor weight alone (%(force)s) compresses the springs of bearing %(ref)s solid (at %(limit)s); "
            "normally only thrust does. Check free height and rate for the right springs."
        )
    else:
        text = _(
            "Springs of bearing %(ref)s go solid at %(limit)s, after %(travel)s travel; the washer then sits "
            "on its seat. Normal at %(force)s (%(case)s)."
        )
    return text % values


def _spring_too_weak(finding: Finding, figures: Figures) -> str:
    least = number_of(finding, "least_n")
    values = {
        "ref": finding.ref,
        "force": figures.force(finding.value, finding.limit),
        "limit": figures.force(finding.limit),
        "lift": figures.force(number_of(finding, "lift_n")),
        "least": _("an unknown minimum load") if least is None else figures.force(least),
        "guides": refs_of(finding),
    }
    if finding.severity == "stop":
        text = _(
            "Springs of bearing %(ref)s push %(force)s; net upthrust of %(lift)s separates its washers, and no "
            "guide without end play holds the shaft. Install stronger springs, or a guide that carries "
            "upthrust."
        )
    elif finding.severity == "note":
        text = _(
            "Springs of bearing %(ref)s push %(force)s; minimum load plus %(lift)s net upthrust is %(limit)s. "
            "Only guide %(guides)s keeps its washers together. Check the guide's locking and end play."
        )
    elif not number_of(finding, "lift_n"):
        text = _(
            "Springs of bearing %(ref)s push %(force)s; its rollers need %(limit)s. Washers may skid and "
            "separate. Install stronger springs."
        )
    else:
        text = _(
            "Springs of bearing %(ref)s push %(force)s; its rollers need %(least)s plus %(lift)s net upthrust, "
            "%(limit)s in all. Washers may skid and separate. Install stronger springs."
        )
    return text % values


SENTENCES: Final[dict[str, Sentence]] = {
    "spring-solid": _spring_solid,
    "spring-too-weak": _spring_too_weak,
}
