"""The sentences of what is found of life."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, number_of


def _life(finding: Finding, figures: Figures) -> str:
    values = {
        "life": figures.hours(finding.value, finding.limit),
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


def _duty_life(finding: Finding, figures: Figures) -> str:
    values = {
        "life": figures.hours(finding.value, finding.limit),
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


def _load_high(finding: Finding, figures: Figures) -> str:
    text = _(
        "Load reaches %(share)s of the dynamic rating (%(case)s). The life formula is at its edge there; read the life "
        "as a rough figure."
    )
    if finding.params.get("of") == "static":
        text = _(
            "Load reaches %(share)s of the static rating (%(case)s). The life formula is at its edge there; read the "
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
