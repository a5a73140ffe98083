"""The sentences of what is found of directions."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, number_of, part_of, refs_of
from bearings.wording.labels import enumeration


def _down_thrust_not_carried(finding: Finding, figures: Figures) -> str:
    if finding.value is None:
        return _(
            "Nothing carries down thrust, so the rotor would drop. Turn a bearing so that its wide face looks "
            "down, or add a bearing or guide that carries down."
        )
    return _(
        "Nothing carries the down thrust of %(force)s (case: %(case)s). Turn a bearing so that its wide face "
        "looks down, or add a bearing or guide that carries down."
    ) % {"force": figures.force(finding.value, finding.limit), "case": case_of(finding)}


def _up_thrust_not_carried(finding: Finding, figures: Figures) -> str:
    values = {"force": figures.force(finding.value, finding.limit), "case": case_of(finding)}
    if finding.severity == "warn":
        return (
            _(
                "Up thrust of %(force)s may lift the rotor: its weight is unknown and nothing carries up. Enter the "
                "rotor weight, or add a bearing or guide that carries up."
            )
            % values
        )
    return (
        _(
            "Nothing carries the net up thrust of %(force)s (case: %(case)s). Turn a bearing so that its wide face "
            "looks up, or add a bearing or guide that carries up."
        )
        % values
    )


def _thrust_on_guide(finding: Finding, figures: Figures) -> str:
    values = {"part": part_of(finding), "force": figures.force(finding.value, finding.limit)}
    if finding.value is None:
        return (
            _(
                "%(part)s would take the running thrust; no thrust bearing faces the right way. Check for a thrust "
                "bearing upside down."
            )
            % values
        )
    return (
        _(
            "%(part)s takes the running thrust of %(force)s; no thrust bearing faces the right way. Check for a thrust "
            "bearing upside down."
        )
        % values
    )


def _washers_part(finding: Finding, figures: Figures) -> str:
    return _(
        "Net up thrust of %(force)s (case: %(case)s) lifts the washers of bearing %(ref)s apart. Put its housing "
        "washer on springs, or add a guide without end play that carries up."
    ) % {"force": figures.force(finding.value, finding.limit), "case": case_of(finding), "ref": finding.ref}


def _duty_not_carried(finding: Finding, figures: Figures) -> str:
    if finding.params.get("way") == "up":
        text = _(
            "Nothing carries the net up thrust of %(force)s in part %(part)s of the duty. Turn a bearing so that its "
            "wide face looks up, add a bearing or guide that carries up, or correct the duty."
        )
    else:
        text = _(
            "Nothing carries the net down thrust of %(force)s in part %(part)s of the duty. Turn a bearing so that its "
            "wide face looks down, add a bearing or guide that carries down, or correct the duty."
        )
    return text % {
        "force": figures.force(finding.value, finding.limit),
        "part": f"{number_of(finding, 'part') or 0:.0f}",
    }


def _guide_without_thrust(finding: Finding, figures: Figures) -> str:
    if finding.severity == "note":
        return _(
            "Guide %(refs)s is a cylindrical roller bearing: it guides the shaft, but cannot hold up thrust. Nothing "
            "else keeps bearing %(bearing)s together when the thrust turns up."
        ) % {"refs": refs_of(finding), "bearing": finding.params.get("bearing")}
    names = {"down": _("down"), "up": _("up")}
    ways = finding.params.get("ways")
    words = enumeration([names[str(way)] for way in ways]) if isinstance(ways, tuple) else ""
    if finding.params.get("type") == "cylindrical_roller":
        return _(
            "Guide %(ref)s is entered as carrying %(ways)s, but a cylindrical roller bearing carries no thrust. Enter "
            "that it carries none, or fit a guide that does."
        ) % {"ref": finding.ref, "ways": words}
    return _(
        "Guide %(ref)s is entered as carrying %(ways)s, but its wide face looks the other way. Turn it, or enter the "
        "way that it carries."
    ) % {"ref": finding.ref, "ways": words}


SENTENCES: Final[dict[str, Sentence]] = {
    "down-thrust-not-carried": _down_thrust_not_carried,
    "up-thrust-not-carried": _up_thrust_not_carried,
    "thrust-on-guide": _thrust_on_guide,
    "washers-part": _washers_part,
    "duty-not-carried": _duty_not_carried,
    "guide-without-thrust": _guide_without_thrust,
}
