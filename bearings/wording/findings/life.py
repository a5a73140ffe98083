"""The sentences of what is found of life."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, grouped
from bearings.wording.finding_parts import Sentence, case_of, number_of


def _life(finding: Finding, figures: Figures) -> str:
    values = {
        "life": figures.hours(finding.value, finding.limit),
        "limit": figures.hours(finding.limit),
        "case": case_of(finding),
    }
    warm, modified = finding.params.get("warm"), finding.params.get("modified")
    if warm and modified:
        first = _("Adjusted life mounted and warm is %(life)s (L10m, %(case)s).") % values
    elif warm:
        first = _("Calculated life mounted and warm is %(life)s (L10, %(case)s).") % values
    elif modified:
        first = _("Adjusted life is %(life)s (L10m, %(case)s).") % values
    else:
        first = _("Calculated life is %(life)s (L10, %(case)s).") % values
    if finding.params.get("required") and finding.severity == "warn":
        second = _("Required life is %(limit)s. Use bearings with a higher rating.") % values
    elif finding.severity == "stop":
        second = (
            _(
                "Shop stop limit is %(limit)s. Do not build as shown. Use higher-rated bearings or verify the thrust."
            )
            % values
        )
    else:
        second = _("Shop minimum is %(limit)s. Use bearings with a higher rating.") % values
    return f"{first} {second}"


def _duty_life(finding: Finding, figures: Figures) -> str:
    values = {
        "life": figures.hours(finding.value, finding.limit),
        "limit": figures.hours(finding.limit),
        "parts": grouped(number_of(finding, "parts") or 0),
    }
    if finding.severity == "stop":
        text = _(
            "Calculated life over the %(parts)s-part duty is %(life)s; shop stop limit is %(limit)s. Do not "
            "build as shown. Use higher-rated bearings or verify the duty."
        )
    elif finding.params.get("required") is True:
        text = _(
            "Calculated life over the %(parts)s-part duty is %(life)s; required life is %(limit)s. Use "
            "bearings with a higher rating, or have the customer accept the shorter life."
        )
    else:
        text = _(
            "Calculated life over the %(parts)s-part duty is %(life)s; shop minimum is %(limit)s. Use bearings "
            "with a higher rating, or have the customer accept the shorter life."
        )
    return text % values


def _load_high(finding: Finding, figures: Figures) -> str:
    text = _(
        "Load reaches %(share)s of the dynamic rating (%(case)s), the limit of the life formula. Treat the "
        "life as a rough figure."
    )
    if finding.params.get("of") == "static":
        text = _(
            "Load reaches %(share)s of the static rating (%(case)s), the limit of the life formula. Treat the "
            "life as a rough figure."
        )
    return text % {"share": figures.percent(finding.value, 0), "case": case_of(finding)}


SENTENCES: Final[dict[str, Sentence]] = {
    "life": _life,
    "life-modified": _life,
    "life-warm": _life,
    "duty-life": _duty_life,
    "load-high": _load_high,
}
