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
    if finding.params.get("basis") == "given":
        known = _("%(heat)s is taken away as entered") % values
    else:
        known = _("seats and oil are estimated to take %(heat)s") % values
    values["known"] = known
    if finding.severity == "note":
        text = _(
            "The bearings lose about %(friction)s at %(speed)s, %(name)s (%(low)s to %(high)s); %(known)s, which is "
            "within that uncertainty. Watch the oil temperature at the test run."
        )
    else:
        text = _(
            "The bearings lose about %(friction)s at %(speed)s, %(name)s (%(low)s to %(high)s); %(known)s. The oil "
            "will run hotter than entered: add oil cooling, or a coil, and watch the temperature at the test run."
        )
    text = text % values
    if finding.params.get("external_known") is False:
        text += " " + _("Heat from the rotor and from outside is not known and not counted.")
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
                "%(part)s: %(heat)s of cooling is enough for %(thermal)s; the motor turns %(speed)s. Add cooling, or "
                "use a bearing with less friction."
            )
            % values
        )
    return (
        _(
            "%(part)s: reference speed in this set %(reference)s, the motor turns %(speed)s. Enter what cools the oil; "
            "watch oil temperature on the test run."
        )
        % values
    )


SENTENCES: Final[dict[str, Sentence]] = {
    "heat-balance": _heat_balance,
    "reference-speed": _reference_speed,
}
