"""Sentences of the findings about load sharing, duty and springs."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, number_of, refs_of
from bearings.wording.labels import enumeration


def _sharing_models_differ(finding: Finding, figures: Figures) -> str:
    angle = number_of(finding, "angle_deg")
    text = _(
        "The two models of load sharing differ: bearing %(ref)s carries %(first)s with a constant contact angle and "
        "%(second)s with one that rises with load (%(angle)s°), %(share)s apart (case: %(case)s). Lives, static safety "
        "and the other checks use the first."
    ) % {
        "ref": finding.ref,
        "first": figures.force(finding.limit),
        "second": figures.force(finding.value),
        "angle": "-" if angle is None else f"{angle:.1f}",
        "share": figures.percent(number_of(finding, "difference"), 0),
        "case": case_of(finding),
    }
    if finding.params.get("assumed") is True:
        text += " " + _("Groove radii are assumed.")
    return text


def _mismatch_sensitive(finding: Finding, figures: Figures) -> str:
    values = {
        "refs": refs_of(finding),
        "apart": figures.small_length(None if finding.value is None else round(finding.value, 1)),
        "limit": figures.small_length(None if finding.limit is None else round(finding.limit, 1)),
        "load": figures.force(number_of(finding, "load_n")),
        "case": case_of(finding),
    }
    if finding.severity == "warn":
        text = _(
            "Bearings %(refs)s stand out by %(apart)s apart: from %(limit)s on, one of them carries all of the "
            "%(load)s (case: %(case)s). Pair them again, or have the rings ground to one stand-out."
        )
    else:
        text = _(
            "Bearings %(refs)s stand out by %(apart)s apart: more than half of the %(limit)s from which one of them "
            "carries all of the %(load)s (case: %(case)s). Pair bearings that are closer."
        )
    return text % values


def _thermal_preload(finding: Finding, figures: Figures) -> str:
    warmer = number_of(finding, "warmer_k")
    values = {
        "before": figures.force(number_of(finding, "before_n")),
        "after": figures.force(finding.value),
        "limit": figures.force(finding.limit),
        "warmer": figures.difference(None if warmer is None else abs(warmer)),
    }
    if finding.params.get("kind") == "lost":
        cooler = _(
            "Mounted and warm, the set loses its preload of %(before)s (shaft %(warmer)s cooler). Mount with more "
            "preload, or use springs."
        )
        hotter = _(
            "Mounted and warm, the set loses its preload of %(before)s (shaft %(warmer)s warmer). Mount with more "
            "preload, or use springs."
        )
        return (cooler if (warmer or 0.0) < 0 else hotter) % values
    if finding.params.get("heavy") is True:
        return (
            _(
                "Mounted and warm, preload grows from %(before)s to %(after)s; shop maximum %(limit)s. Use less "
                "preload, a looser shaft fit, or springs."
            )
            % values
        )
    return (
        _("Mounted and warm, preload goes from %(before)s to %(after)s (shaft %(warmer)s warmer).") % values
    )


def _duty_life(finding: Finding, figures: Figures) -> str:
    values = {
        "life": figures.hours(finding.value),
        "limit": figures.hours(finding.limit),
        "parts": f"{number_of(finding, 'parts') or 0:.0f}",
    }
    if finding.severity == "stop":
        text = _(
            "Over the duty of %(parts)s parts the stack lives %(life)s, below %(limit)s. Do not build it so: take "
            "higher-rated bearings, or have the duty checked."
        )
    elif finding.params.get("required") is True:
        text = _(
            "Over the duty of %(parts)s parts the stack lives %(life)s; %(limit)s are asked for. Take bearings with a "
            "higher rating, or agree the shorter life with the customer."
        )
    else:
        text = _(
            "Over the duty of %(parts)s parts the stack lives %(life)s; this shop asks for %(limit)s. Take bearings "
            "with a higher rating, or agree the shorter life with the customer."
        )
    return text % values


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
    return text % {"force": figures.force(finding.value), "part": f"{number_of(finding, 'part') or 0:.0f}"}


def _duty_speed(finding: Finding, figures: Figures) -> str:
    return _(
        "Part %(part)s of the duty turns at %(speed)s, faster than the speeds of the motor; the margin there is "
        "%(margin)s (permissible %(permissible)s, bearing %(ref)s) and this shop asks for %(limit)s. Choose bearings "
        "with a higher speed, or correct the duty."
    ) % {
        "part": f"{number_of(finding, 'part') or 0:.0f}",
        "speed": figures.speed(number_of(finding, "speed_rpm")),
        "margin": figures.percent(finding.value),
        "permissible": figures.speed(number_of(finding, "permissible_rpm")),
        "ref": finding.ref,
        "limit": figures.percent(finding.limit, 0),
    }


def _spring_solid(finding: Finding, figures: Figures) -> str:
    values = {
        "ref": finding.ref,
        "force": figures.force(finding.value),
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
        "force": figures.force(finding.value),
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


def _groove_thrust_limit(finding: Finding, figures: Figures) -> str:
    return _(
        "Deep groove bearing %(ref)s carries %(load)s of thrust (case: %(case)s); it bears about %(limit)s, half of "
        "its static rating, light and small ones half of that. Take a larger one, or angular contact bearings."
    ) % {
        "ref": finding.ref,
        "load": figures.force(finding.value),
        "case": case_of(finding),
        "limit": figures.force(finding.limit),
    }


SHARING_SENTENCES: Final[dict[str, Sentence]] = {
    "sharing-models-differ": _sharing_models_differ,
    "mismatch-sensitive": _mismatch_sensitive,
    "thermal-preload": _thermal_preload,
    "duty-life": _duty_life,
    "duty-not-carried": _duty_not_carried,
    "duty-speed": _duty_speed,
    "spring-solid": _spring_solid,
    "spring-too-weak": _spring_too_weak,
    "groove-thrust-limit": _groove_thrust_limit,
    "guide-without-thrust": _guide_without_thrust,
}
