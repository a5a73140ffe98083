"""The sentences of what is found of lubrication."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, grouped
from bearings.wording.finding_parts import Sentence, number_of, part_of


def _viscosity(finding: Finding, figures: Figures) -> str:
    return _(
        "Oil is too thin for %(part)s: viscosity ratio is %(kappa)s at %(temperature)s, minimum %(limit)s. Use "
        "a heavier grade, or run cooler."
    ) % {
        "part": part_of(finding, at_start=False),
        "kappa": figures.ratio(finding.value),
        "limit": figures.ratio(finding.limit),
        "temperature": figures.temperature(number_of(finding, "temperature_c")),
    }


def _cage_temperature(finding: Finding, figures: Figures) -> str:
    values = {
        "part": part_of(finding),
        "oil": figures.temperature(finding.value),
        "limit": figures.temperature(finding.limit),
    }
    if finding.severity == "stop":
        return (
            _("%(part)s: oil runs at %(oil)s; cage and rings are good for %(limit)s. Do not run it this hot.")
            % values
        )
    if finding.params.get("cage") in ("brass", "steel"):
        # A metal cage bears more than the rings do.
        return (
            _(
                "%(part)s: oil runs at %(oil)s; good for %(limit)s. Run cooler, or use rings stabilized for more."
            )
            % values
        )
    return (
        _(
            "%(part)s: oil runs at %(oil)s; cage and rings are good for %(limit)s. Run cooler, or use a brass cage."
        )
        % values
    )


def _opposed_oil_flow(finding: Finding, figures: Figures) -> str:
    values = {"part": part_of(finding)}
    if finding.params.get("relation") == "DF":
        return (
            _("%(part)s pump oil toward each other. Leave an outlet between them (spacer or drain).") % values
        )
    return _("%(part)s pump oil away from each other. Feed oil between them (spacer with oil feed).") % values


def _grease_life(finding: Finding, figures: Figures) -> str:
    return _(
        "%(part)s: grease lasts about %(hours)s (%(speed)s, %(temperature)s, n × dm %(ndm)s). Regrease before "
        "then. Rule of thumb; follow the grease maker's figure where you have it."
    ) % {
        "part": part_of(finding),
        "hours": figures.hours(finding.value, finding.limit),
        "speed": figures.speed(number_of(finding, "speed_rpm")),
        "temperature": figures.temperature(number_of(finding, "temperature_c")),
        "ndm": grouped(number_of(finding, "ndm") or 0.0),
    }


SENTENCES: Final[dict[str, Sentence]] = {
    "viscosity": _viscosity,
    "cage-temperature": _cage_temperature,
    "opposed-oil-flow": _opposed_oil_flow,
    "grease-life": _grease_life,
}
