"""The sentences of what is found of parts."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence


def _spacer_pair(finding: Finding, figures: Figures) -> str:
    values = {
        "ref": finding.ref,
        "upper": finding.params.get("upper"),
        "lower": finding.params.get("lower"),
        "difference": figures.small_length(finding.value),
        "limit": figures.small_length(finding.limit),
    }
    if finding.value is None:
        return (
            _(
                "Part %(ref)s between bearings %(upper)s and %(lower)s is on one ring only and changes preload "
                "and clearance. Install one of the same width on the other ring, or have the change confirmed."
            )
            % values
        )
    return (
        _(
            "Part %(ref)s between bearings %(upper)s and %(lower)s: inner and outer width differ by "
            "%(difference)s; shop maximum is %(limit)s. Grind both to one width."
        )
        % values
    )


def _thrust_through_snap_ring(finding: Finding, figures: Figures) -> str:
    if finding.severity == "warn":
        return _(
            "Snap ring %(ref)s alone brings downthrust into bearing %(bearing)s. Confirm that ring and groove "
            "can carry it, or put a shoulder or nut above."
        ) % {"ref": finding.ref, "bearing": finding.params.get("bearing")}
    return _(
        "Nothing is recorded above bearing %(ref)s to push down on it. Add the shoulder, nut or ring."
    ) % {"ref": finding.ref}


SENTENCES: Final[dict[str, Sentence]] = {
    "spacer-pair": _spacer_pair,
    "thrust-through-snap-ring": _thrust_through_snap_ring,
}
