"""The sentences of what is found of guides."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, part_of, refs_of


def _no_radial_guide(finding: Finding, figures: Figures) -> str:
    return _(
        "Spherical roller thrust bearing %(refs)s and nothing that guides the shaft. Add the guide bearing, or record "
        "the one that is there."
    ) % {"refs": refs_of(finding)}


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


SENTENCES: Final[dict[str, Sentence]] = {
    "no-radial-guide": _no_radial_guide,
    "guide-life": _guide_life,
}
