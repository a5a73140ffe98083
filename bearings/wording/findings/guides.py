"""The sentences of what is found of guides."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, part_of, refs_of
from bearings.wording.labels import choice_label, enumeration


def _no_radial_guide(finding: Finding, figures: Figures) -> str:
    return _(
        "No guide bearing is recorded for spherical roller thrust bearing %(refs)s. Record the one in the "
        "motor, or add one."
    ) % {"refs": refs_of(finding)}


def _guide_life(finding: Finding, figures: Figures) -> str:
    return _(
        "%(part)s: calculated life is %(life)s (%(case)s), required life %(limit)s. Use a guide bearing with a "
        "higher rating."
    ) % {
        "part": part_of(finding),
        "life": figures.hours(finding.value, finding.limit),
        "case": case_of(finding),
        "limit": figures.hours(finding.limit),
    }


def _shares_thrust(finding: Finding, _figures: Figures) -> str:
    ways = finding.params.get("ways")
    named = [choice_label(str(way)) for way in ways] if isinstance(ways, tuple) else []
    return _(
        "%(part)s has no end play and carries thrust %(ways)s like the stack. How they share thrust is not "
        "proven. Give the guide end play."
    ) % {"part": part_of(finding), "ways": enumeration(named)}


def _float(finding: Finding, figures: Figures) -> str:
    return _(
        "%(part)s: the warm shaft moves it %(growth)s; its end play is %(play)s. Give it more end play, or "
        "room to float."
    ) % {
        "part": part_of(finding),
        "growth": figures.small_length(round(finding.value or 0.0, 1)),
        "play": figures.small_length(finding.limit),
    }


SENTENCES: Final[dict[str, Sentence]] = {
    "no-radial-guide": _no_radial_guide,
    "guide-life": _guide_life,
    "guide-shares-thrust": _shares_thrust,
    "guide-float": _float,
}
