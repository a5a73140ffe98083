"""The sentences of what is found of speed."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, grouped
from bearings.wording.finding_parts import Sentence, number_of, part_of
from bearings.wording.labels import speed_label


def _speed_margin(finding: Finding, figures: Figures) -> str:
    if finding.params.get("non_reverse") is True:
        return _("Reverse speed not checked: the motor has a non-reverse ratchet. Inspect the ratchet.")
    values = {
        "part": part_of(finding),
        "allowed": figures.speed(number_of(finding, "permissible_rpm")),
        "speed": figures.speed(number_of(finding, "speed_rpm")),
        "name": speed_label(str(finding.params["speed"])),
        "margin": figures.percent(finding.value, against=finding.limit),
        "wanted": figures.percent(finding.limit, 0),
    }
    count = max(1, len(finding.refs))
    if finding.params["speed"] == "reverse":
        text = ngettext(
            "%(part)s is good for %(allowed)s; backspin reaches %(speed)s. Install a non-reverse ratchet, or use a "
            "bearing with a higher speed rating.",
            "%(part)s are good for %(allowed)s; backspin reaches %(speed)s. Install a non-reverse ratchet, or use "
            "bearings with a higher speed rating.",
            count,
        )
    elif finding.severity == "stop":
        text = ngettext(
            "%(part)s is good for %(allowed)s in this set; the motor turns %(speed)s (%(name)s). Do not run it. Use a "
            "bearing with a higher speed rating.",
            "%(part)s are good for %(allowed)s in this set; the motor turns %(speed)s (%(name)s). Do not run it. Use "
            "bearings with a higher speed rating.",
            count,
        )
    else:
        text = ngettext(
            "%(part)s is good for %(allowed)s in this set; the motor turns %(speed)s (%(name)s). Margin is %(margin)s, "
            "shop minimum %(wanted)s. Use a bearing with a higher speed rating.",
            "%(part)s are good for %(allowed)s in this set; the motor turns %(speed)s (%(name)s). Margin is "
            "%(margin)s, shop minimum %(wanted)s. Use bearings with a higher speed rating.",
            count,
        )
    return text % values


def _speed_not_rated(finding: Finding, figures: Figures) -> str:
    values = {"part": part_of(finding)}
    if finding.params.get("method") == "grease":
        return _("%(part)s: no grease speed in the book. Look it up before use.") % values
    return _("%(part)s: no speed rating in the book. Look up the limiting speed before use.") % values


def _duty_speed(finding: Finding, figures: Figures) -> str:
    return _(
        "Bearing %(ref)s is good for %(permissible)s in this set; duty part %(part)s turns %(speed)s. Margin is "
        "%(margin)s, shop minimum %(limit)s. Use a bearing with a higher speed rating, or correct the duty."
    ) % {
        "part": grouped(number_of(finding, "part") or 0),
        "speed": figures.speed(number_of(finding, "speed_rpm")),
        "margin": figures.percent(finding.value, against=finding.limit),
        "permissible": figures.speed(number_of(finding, "permissible_rpm")),
        "ref": finding.ref,
        "limit": figures.percent(finding.limit, 0),
    }


SENTENCES: Final[dict[str, Sentence]] = {
    "speed-margin": _speed_margin,
    "speed-not-rated": _speed_not_rated,
    "duty-speed": _duty_speed,
}
