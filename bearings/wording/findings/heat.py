"""The sentences of what is found of heat."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, number_of, part_of
from bearings.wording.labels import speed_label


def _heat_balance(finding: Finding, figures: Figures) -> str:
    values = {
        "friction": figures.power(finding.value),
        "low": figures.power(number_of(finding, "low_w")),
        "high": figures.power(number_of(finding, "high_w")),
        "name": speed_label(str(finding.params["speed"])),
        "speed": figures.speed(number_of(finding, "speed_rpm")),
        "heat": figures.power(finding.limit),
    }
    given = finding.params.get("basis") == "given"
    if finding.severity == "note" and given:
        text = _(
            "Bearings lose about %(friction)s (%(low)s to %(high)s) at %(speed)s (%(name)s); entered cooling is "
            "%(heat)s, within that range. Watch oil temperature on the test run."
        )
    elif finding.severity == "note":
        text = _(
            "Bearings lose about %(friction)s (%(low)s to %(high)s) at %(speed)s (%(name)s); estimated cooling is "
            "%(heat)s, within that range. Watch oil temperature on the test run."
        )
    elif given:
        text = _(
            "Bearings lose about %(friction)s (%(low)s to %(high)s) at %(speed)s (%(name)s); entered cooling is "
            "%(heat)s. Oil will run hotter than entered. Add oil cooling, and watch oil temperature on the test run."
        )
    else:
        text = _(
            "Bearings lose about %(friction)s (%(low)s to %(high)s) at %(speed)s (%(name)s); estimated cooling is "
            "%(heat)s. Oil will run hotter than entered. Add oil cooling, and watch oil temperature on the test run."
        )
    text = text % values
    if finding.params.get("external_known") is False:
        text += " " + _("Heat from the rotor and outside is not included.")
    return text


def _reference_speed(finding: Finding, figures: Figures) -> str:
    values = {
        "part": part_of(finding),
        "reference": figures.speed(finding.value),
        "speed": figures.speed(finding.limit),
        "thermal": figures.speed(number_of(finding, "thermal_rpm")),
        "heat": figures.power(number_of(finding, "heat_removed_w")),
    }
    if finding.severity == "stop":
        return (
            _(
                "%(part)s: %(heat)s of cooling is enough for %(thermal)s; the motor turns %(speed)s. Add "
                "cooling, or use bearings with less friction."
            )
            % values
        )
    return (
        _(
            "%(part)s: reference speed in this set is %(reference)s; the motor turns %(speed)s. Enter the oil "
            "cooling, and watch oil temperature on the test run."
        )
        % values
    )


SENTENCES: Final[dict[str, Sentence]] = {
    "heat-balance": _heat_balance,
    "reference-speed": _reference_speed,
}
