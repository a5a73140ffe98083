"""Sentences of the findings about speed and reference speed."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, number_of, part_of
from bearings.wording.labels import speed_label


def _speed_margin(finding: Finding, figures: Figures) -> str:
    if finding.params.get("non_reverse") is True:
        return _("The non-reverse ratchet prevents backspin. Inspect the ratchet.")
    speed = number_of(finding, "speed_rpm")
    values = {
        "part": part_of(finding),
        "allowed": figures.speed(number_of(finding, "permissible_rpm")),
        "speed": figures.speed(speed),
        "name": speed_label(str(finding.params["speed"])),
        "margin": figures.percent(finding.value),
        "wanted": figures.percent(finding.limit, 0),
    }
    if finding.params["speed"] == "reverse":
        return (
            _(
                "%(part)s: good for %(allowed)s; backspin reaches %(speed)s. Fit a non-reverse ratchet, or use a "
                "bearing with a higher speed rating."
            )
            % values
        )
    if finding.severity == "stop":
        return (
            _(
                "%(part)s: good for %(allowed)s in this set; the motor turns %(speed)s (%(name)s). Do not run it. Use "
                "bearings with a higher speed rating."
            )
            % values
        )
    return (
        _(
            "%(part)s: good for %(allowed)s in this set; the motor turns %(speed)s (%(name)s). Margin is %(margin)s, "
            "shop minimum %(wanted)s. Use a bearing with a higher speed rating."
        )
        % values
    )


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


def _speed_not_rated(finding: Finding, figures: Figures) -> str:
    values = {"part": part_of(finding)}
    if finding.params.get("method") == "grease":
        return _("%(part)s: no speed for grease in the book. Look it up before you use it.") % values
    return _("%(part)s: no speed rating in the book. Look up the limiting speed before you use it.") % values


SPEED_SENTENCES: Final[dict[str, Sentence]] = {
    "speed-margin": _speed_margin,
    "reference-speed": _reference_speed,
    "speed-not-rated": _speed_not_rated,
}
