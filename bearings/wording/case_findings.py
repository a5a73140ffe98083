"""Sentences of the findings that are drawn case by case: life, skidding, film, and what a set is made for."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, significant
from bearings.wording.finding_parts import Sentence, case_of, number_of, part_of


def _life(finding: Finding, figures: Figures) -> str:
    values = {
        "life": figures.hours(finding.value),
        "limit": figures.hours(finding.limit),
        "case": case_of(finding),
        "kind": _("adjusted, L10m") if finding.params.get("modified") else _("L10"),
    }
    if finding.params.get("warm"):
        first = _("Calculated life mounted and warm is %(life)s (%(kind)s, %(case)s).") % values
    else:
        first = _("Calculated life is %(life)s (%(kind)s, %(case)s).") % values
    if finding.params.get("required") and finding.severity == "warn":
        second = _("%(limit)s is asked for. Use bearings with a higher rating.") % values
    elif finding.severity == "stop":
        second = (
            _("Shop stop is %(limit)s. Do not build it. Use higher-rated bearings or check the thrust.")
            % values
        )
    else:
        second = _("Shop minimum is %(limit)s. Use bearings with a higher rating.") % values
    return f"{first} {second}"


def _load_high(finding: Finding, figures: Figures) -> str:
    return _(
        "Load reaches %(share)s of the dynamic rating (%(case)s). The life formula is at its edge there; read the life "
        "as a rough figure."
    ) % {"share": figures.percent(finding.value, 0), "case": case_of(finding)}


def _guide_life(finding: Finding, figures: Figures) -> str:
    return _(
        "%(part)s: calculated life is %(life)s (%(case)s); %(limit)s is wanted. Use a guide bearing with a higher "
        "rating."
    ) % {
        "part": part_of(finding),
        "life": figures.hours(finding.value),
        "case": case_of(finding),
        "limit": figures.hours(finding.limit),
    }


def _thrust_on_guide(finding: Finding, figures: Figures) -> str:
    values = {"part": part_of(finding), "force": figures.force(finding.value)}
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


def _not_for_pairing(finding: Finding, figures: Figures) -> str:
    values = {"part": part_of(finding)}
    if finding.params.get("measured"):
        return (
            _(
                "%(part)s: made to run alone, used in a set. Face offsets were measured; keep the bearings in this "
                "order."
            )
            % values
        )
    return (
        _(
            "%(part)s: made to run alone, not for a set. Use universal or matched bearings, or measure face offsets."
        )
        % values
    )


def _cage_temperature(finding: Finding, figures: Figures) -> str:
    values = {
        "part": part_of(finding),
        "oil": figures.temperature(finding.value),
        "limit": figures.temperature(finding.limit),
    }
    if finding.severity == "stop":
        return _("%(part)s: oil at %(oil)s; cage and rings take %(limit)s. Do not run it so hot.") % values
    return (
        _("%(part)s: oil at %(oil)s; cage and rings take %(limit)s. Run cooler, or use a brass cage.")
        % values
    )


def _opposed_oil_flow(finding: Finding, figures: Figures) -> str:
    values = {"part": part_of(finding)}
    if finding.params.get("relation") == "DF":
        return (
            _("%(part)s pump oil toward each other. Leave a way out between them (spacer or drain).") % values
        )
    return _("%(part)s pump oil away from each other. Feed oil between them (spacer with a feed).") % values


def _unloaded_in_running(finding: Finding, figures: Figures) -> str:
    values = {
        "part": part_of(finding),
        "thrust": figures.force(number_of(finding, "net_axial_n")),
        "unloading": figures.force(number_of(finding, "unloading_thrust_n")),
        "ndm": significant(finding.value or 0.0),
        "limit": significant(finding.limit or 0.0),
    }
    if finding.severity == "warn":
        return (
            _(
                "%(part)s: unloaded at %(thrust)s of thrust and can skid (n x dm %(ndm)s, shop limit %(limit)s). Use "
                "springs, or more preload."
            )
            % values
        )
    return _("%(part)s: unloaded at %(thrust)s of thrust. Listen for skidding on the test run.") % values


def _minimum_load(finding: Finding, figures: Figures) -> str:
    values = {
        "part": part_of(finding),
        "load": figures.force(finding.value),
        "least": figures.force(finding.limit),
        "case": case_of(finding),
        "speed": figures.speed(number_of(finding, "speed_rpm")),
        "run": figures.speed(number_of(finding, "test_run_rpm")),
    }
    if finding.limit is None:
        return _("%(part)s: no load at all (%(case)s). Rollers skid without load. Use springs.") % values
    basis = "" if finding.params.get("basis") != "estimate" else " " + _("The need is an estimate.")
    if finding.params.get("case") != "uncoupled":
        text = (
            _(
                "%(part)s: carries %(load)s (%(case)s), needs %(least)s to roll at %(speed)s. Use springs or preload."
            )
            % values
        )
    elif number_of(finding, "test_run_rpm"):
        text = (
            _(
                "%(part)s: carries %(load)s with the pump uncoupled, needs %(least)s at %(speed)s. Test run up to "
                "%(run)s only, or keep it short."
            )
            % values
        )
    else:
        text = (
            _(
                "%(part)s: carries %(load)s with the pump uncoupled, needs %(least)s. Keep the test run short, by the "
                "manufacturer's limit."
            )
            % values
        )
    return text + basis


def _viscosity(finding: Finding, figures: Figures) -> str:
    return _(
        "Oil is too thin for %(part)s: viscosity ratio %(kappa)s, at least %(limit)s is wanted (%(temperature)s). Use "
        "a higher grade, or run cooler."
    ) % {
        "part": part_of(finding, at_start=False),
        "kappa": figures.ratio(finding.value),
        "limit": figures.ratio(finding.limit),
        "temperature": figures.temperature(number_of(finding, "temperature_c")),
    }


CASE_SENTENCES: Final[dict[str, Sentence]] = {
    "life": _life,
    "life-modified": _life,
    "life-warm": _life,
    "load-high": _load_high,
    "guide-life": _guide_life,
    "thrust-on-guide": _thrust_on_guide,
    "not-for-pairing": _not_for_pairing,
    "cage-temperature": _cage_temperature,
    "opposed-oil-flow": _opposed_oil_flow,
    "unloaded-in-running": _unloaded_in_running,
    "minimum-load": _minimum_load,
    "viscosity": _viscosity,
}
