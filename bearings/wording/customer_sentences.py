"""What a customer reads of a finding: the fact and its figures, without the shop's limits and without advice to it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.engineering.results import Finding, NotChecked
from bearings.wording.figures import Figures, Units
from bearings.wording.finding_parts import Sentence, number_of, part_of, refs_of
from bearings.wording.labels import speed_label, subject_label


def _speed(finding: Finding, figures: Figures) -> str:
    if finding.params.get("non_reverse") is True:
        return _("Reverse speed was not checked: the motor has a non-reverse ratchet.")
    permissible = number_of(finding, "permissible_rpm")
    values = {
        "ref": finding.ref,
        "permissible": figures.speed(permissible),
        "speed": figures.speed(number_of(finding, "speed_rpm")),
        "name": speed_label(str(finding.params["speed"])) if "speed" in finding.params else _("duty"),
        "margin": figures.percent(finding.value, against=finding.limit),
    }
    return (
        _(
            "Bearing %(ref)s is good for %(permissible)s in this set; the motor turns %(speed)s (%(name)s). "
            "Margin %(margin)s."
        )
        % values
    )


def _life(finding: Finding, figures: Figures) -> str:
    values = {"life": figures.hours(finding.value, finding.limit)}
    if finding.params.get("warm"):
        return _("Calculated bearing life at running temperature is %(life)s.") % values
    if finding.params.get("modified"):
        return _("Adjusted bearing life is %(life)s (L10m).") % values
    return _("Calculated bearing life is %(life)s (L10).") % values


def _guide_life(finding: Finding, figures: Figures) -> str:
    values = {"ref": finding.ref, "life": figures.hours(finding.value, finding.limit)}
    return _("Calculated life of guide bearing %(ref)s is %(life)s (L10).") % values


def _static_safety(finding: Finding, figures: Figures) -> str:
    return _("Static safety of %(part)s is %(safety)s under %(load)s.") % {
        "part": part_of(finding, at_start=False),
        "safety": figures.ratio(finding.value),
        "load": figures.force(number_of(finding, "load_n")),
    }


def _unloaded(finding: Finding, figures: Figures) -> str:
    return _("Bearing %(ref)s runs unloaded above %(unloading)s of thrust and may skid.") % {
        "ref": finding.ref,
        "unloading": figures.force(number_of(finding, "unloading_thrust_n")),
    }


def _preload(finding: Finding, _figures: Figures) -> str:
    texts = {
        "lost": _("Bearings %(refs)s may lose their preload when the motor is warm."),
        "gained": _("Bearings %(refs)s may press against each other when the motor is warm."),
        "grown": _("The preload of bearings %(refs)s may grow when the motor is warm."),
    }
    return texts[str(finding.params["kind"])] % {"refs": refs_of(finding)}


_FIGURED: Final[dict[str, Sentence]] = {
    "speed-margin": _speed,
    "duty-speed": _speed,
    "life": _life,
    "life-modified": _life,
    "life-warm": _life,
    "guide-life": _guide_life,
    "duty-life": _life,
    "static-safety": _static_safety,
    "unloaded-in-running": _unloaded,
    "thermal-preload": _preload,
}
_PLAIN: Final[dict[str, Promise]] = {
    "down-thrust-not-carried": gettext_lazy("Nothing in the bearing stack carries downthrust."),
    "up-thrust-not-carried": gettext_lazy("The bearing stack is not shown to carry upthrust."),
    "duty-not-carried": gettext_lazy(
        "Nothing in the bearing stack carries the thrust of a part of the duty."
    ),
    "thrust-on-guide": gettext_lazy("A guide bearing takes the thrust that a thrust bearing should carry."),
    "not-for-pairing": gettext_lazy("Bearing %(ref)s is not made to be used in a set."),
    "load-high": gettext_lazy("The bearing load is high; the calculated life is a rough figure."),
    "cage-temperature": gettext_lazy("The oil may run too hot for the cage of bearing %(ref)s."),
    "opposed-oil-flow": gettext_lazy("Oil flow between opposed bearings is uneven."),
    "washers-part": gettext_lazy("Upthrust can separate the parts of bearing %(ref)s."),
    "reference-speed": gettext_lazy("The running temperature of bearing %(ref)s could not be confirmed."),
    "speed-not-rated": gettext_lazy(
        "No speed rating of bearing %(ref)s was available; its speed was not checked."
    ),
    "minimum-load": gettext_lazy("Bearing %(ref)s may carry less than its minimum load and skid."),
    "not-a-matched-arrangement": gettext_lazy(
        "The bearings of the stack are not mounted as one matched set."
    ),
    "mixed-set": gettext_lazy("Bearings %(refs)s share thrust but are not of one matched set."),
    "stand-out-mismatch": gettext_lazy("Bearings of the stack do not share the thrust equally."),
    "mismatch-sensitive": gettext_lazy("Bearings %(refs)s may not share the thrust equally."),
    "preload-not-proven": gettext_lazy("The preload of the bearings is not confirmed."),
    "spacer-pair": gettext_lazy("A spacer between bearings may change their preload."),
    "thrust-through-snap-ring": gettext_lazy("How downthrust reaches the bearings is not fully confirmed."),
    "radial-load-on-thrust-roller": gettext_lazy(
        "Bearing %(ref)s may carry more radial load than it should."
    ),
    "no-radial-guide": gettext_lazy("No guide bearing is recorded beside bearing %(refs)s."),
    "viscosity": gettext_lazy("The oil is thin for bearing %(ref)s at running temperature."),
    "envelope": gettext_lazy("Bearings %(refs)s share thrust but differ in size."),
    "heat-balance": gettext_lazy("The oil may run warmer than expected."),
    "reference-speed-differs": gettext_lazy("A printed speed of %(part)s could not be confirmed."),
    "rating-estimated": gettext_lazy("Ratings of bearing %(ref)s are estimated, not the manufacturer's."),
    "rating-geometry": gettext_lazy("A rating of bearing %(ref)s could not be confirmed."),
    "geometry-impossible": gettext_lazy("Measurements of bearing %(ref)s are not consistent."),
    "sharing-models-differ": gettext_lazy("The share of thrust that bearing %(ref)s carries is uncertain."),
    "spring-solid": gettext_lazy("The springs of bearing %(ref)s are fully compressed under load."),
    "spring-too-weak": gettext_lazy("The springs of bearing %(ref)s may be too weak for the upthrust."),
    "groove-thrust-limit": gettext_lazy("Bearing %(ref)s carries more thrust than is usual for its type."),
    "guide-shares-thrust": gettext_lazy("Guide bearing %(ref)s may share thrust with the bearing stack."),
    "guide-float": gettext_lazy("Guide bearing %(ref)s may be loaded as the shaft warms up."),
    "grease-life": gettext_lazy(
        "Greased bearings need fresh grease from time to time. Ask the shop how often."
    ),
    "guide-without-thrust": gettext_lazy(
        "The guide bearing is not confirmed to hold the shaft in both directions."
    ),
}
_UNNAMED: Final = gettext_lazy("A check of the bearing stack has a remark. Ask the shop about it.")


def customer_sentence(finding: Finding, units: Units = "si") -> str:
    """Return what a customer reads of a finding, in the reader's language and units."""
    if finding.code in _FIGURED:
        return _FIGURED[finding.code](finding, Figures(units))
    text = str(_PLAIN.get(finding.code, _UNNAMED))
    named = {
        "ref": finding.ref,
        "refs": refs_of(finding) or finding.ref,
        "part": part_of(finding, at_start=False),
    }
    return text % named


def customer_not_checked(reasons: Sequence[NotChecked | str]) -> list[str]:
    """Return the names of what is not proven, each once; an answer of before names its checks in its own words."""
    names = [one.partition(":")[0] if isinstance(one, str) else subject_label(one.check) for one in reasons]
    return list(dict.fromkeys(names))
