"""The sentences of what is found of directions."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, grouped
from bearings.wording.finding_parts import Sentence, case_of, number_of, part_of, refs_of
from bearings.wording.labels import enumeration


def _down_thrust_not_carried(finding: Finding, figures: Figures) -> str:
    if finding.value is None:
        return _(
            "Nothing carries downthrust; the rotor would drop. Turn a bearing wide face down, or add a bearing "
            "or guide that carries downthrust."
        )
    return _(
        "Nothing carries the %(force)s downthrust (%(case)s). Turn a bearing wide face down, or add a bearing "
        "or guide that carries downthrust."
    ) % {"force": figures.force(finding.value, finding.limit), "case": case_of(finding)}


def _up_thrust_not_carried(finding: Finding, figures: Figures) -> str:
    values = {"force": figures.force(finding.value, finding.limit), "case": case_of(finding)}
    if finding.severity == "warn":
        return (
            _(
                "Upthrust of %(force)s may lift the rotor: rotor weight is unknown and nothing carries "
                "upthrust. Enter the rotor weight, or add a bearing or guide that carries upthrust."
            )
            % values
        )
    return (
        _(
            "Nothing carries the %(force)s net upthrust (%(case)s). Turn a bearing wide face up, or add a "
            "bearing or guide that carries upthrust."
        )
        % values
    )


def _thrust_on_guide(finding: Finding, figures: Figures) -> str:
    values = {"part": part_of(finding), "force": figures.force(finding.value, finding.limit)}
    if finding.value is None:
        return (
            _(
                "%(part)s would carry the running thrust; no thrust bearing faces the right way. Check for a "
                "thrust bearing upside down."
            )
            % values
        )
    return (
        _(
            "%(part)s carries the running thrust of %(force)s; no thrust bearing faces the right way. Check "
            "for a thrust bearing upside down."
        )
        % values
    )


def _washers_part(finding: Finding, figures: Figures) -> str:
    return _(
        "Net upthrust of %(force)s (%(case)s) separates the washers of bearing %(ref)s. Put springs under its "
        "housing washer, or add a guide without end play that carries upthrust."
    ) % {"force": figures.force(finding.value, finding.limit), "case": case_of(finding), "ref": finding.ref}


def _duty_not_carried(finding: Finding, figures: Figures) -> str:
    if finding.params.get("way") == "up":
        text = _(
            "Nothing carries the %(force)s net upthrust in duty part %(part)s. Turn a bearing wide face up, "
            "add a bearing or guide that carries upthrust, or correct the duty."
        )
    else:
        text = _(
            "Nothing carries the %(force)s net downthrust in duty part %(part)s. Turn a bearing wide face "
            "down, add a bearing or guide that carries downthrust, or correct the duty."
        )
    return text % {
        "force": figures.force(finding.value, finding.limit),
        "part": grouped(number_of(finding, "part") or 0),
    }


def _guide_without_thrust(finding: Finding, figures: Figures) -> str:
    if finding.severity == "note":
        return _(
            "Guide %(refs)s is a cylindrical roller bearing and holds no upthrust. Nothing else keeps bearing "
            "%(bearing)s together if thrust reverses. Use a guide that carries upthrust."
        ) % {"refs": refs_of(finding), "bearing": finding.params.get("bearing")}
    names = {"down": _("down"), "up": _("up")}
    ways = finding.params.get("ways")
    words = enumeration([names[str(way)] for way in ways]) if isinstance(ways, tuple) else ""
    if finding.params.get("type") == "cylindrical_roller":
        return _(
            "Guide %(ref)s is entered as carrying thrust %(ways)s, but a cylindrical roller bearing carries "
            "none. Correct the entry, or install a guide that carries thrust."
        ) % {"ref": finding.ref, "ways": words}
    return _(
        "Guide %(ref)s is entered as carrying thrust %(ways)s, but its wide face points the other way. Flip "
        "it, or correct the entry."
    ) % {"ref": finding.ref, "ways": words}


SENTENCES: Final[dict[str, Sentence]] = {
    "down-thrust-not-carried": _down_thrust_not_carried,
    "up-thrust-not-carried": _up_thrust_not_carried,
    "thrust-on-guide": _thrust_on_guide,
    "washers-part": _washers_part,
    "duty-not-carried": _duty_not_carried,
    "guide-without-thrust": _guide_without_thrust,
}
