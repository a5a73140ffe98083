"""The sentences of what is found of a set of bearings."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, grouped
from bearings.wording.finding_parts import Sentence, case_of, number_of, part_of, refs_of
from bearings.wording.labels import field_labels


def _mixed_set(finding: Finding, figures: Figures) -> str:
    fields = finding.params.get("fields")
    values = {
        "refs": refs_of(finding),
        "fields": field_labels(fields) if isinstance(fields, tuple) else "",  # type: ignore[arg-type]
    }
    if finding.severity == "warn":
        return (
            _(
                "Bearings %(refs)s share thrust but come from different matched sets. Use one set, or measure "
                "their face offset (stickout) before installing them."
            )
            % values
        )
    return (
        _(
            "Bearings %(refs)s share thrust but differ in %(fields)s. Install like bearings from one matched set."
        )
        % values
    )


def _envelope(finding: Finding, figures: Figures) -> str:
    fields = finding.params.get("fields")
    return _(
        "Bearings %(refs)s share thrust but differ in %(fields)s, so they cannot be one set. Measure them and "
        "replace the wrong one."
    ) % {
        "refs": refs_of(finding),
        "fields": field_labels(fields) if isinstance(fields, tuple) else "",  # type: ignore[arg-type]
    }


def _not_for_pairing(finding: Finding, figures: Figures) -> str:
    values = {"part": part_of(finding)}
    if finding.params.get("measured"):
        return (
            _(
                "%(part)s: made for single mounting, used in a set. Face offsets were measured; keep the "
                "bearings in this order."
            )
            % values
        )
    return (
        _(
            "%(part)s: made for single mounting, not for a set. Use universal or matched bearings, or measure "
            "face offsets."
        )
        % values
    )


def _not_a_matched_arrangement(finding: Finding, _figures: Figures) -> str:
    return _(
        "Thrust direction changes %(changes)s times from top to bottom (%(relations)s); a matched set changes "
        "it once at most. Check the V marks and the teardown photos."
    ) % {"changes": grouped(finding.value or 0), "relations": refs_of(finding, "relations")}


def _stand_out_mismatch(finding: Finding, figures: Figures) -> str:
    return _(
        "Face offsets of bearings %(upper)s and %(lower)s differ by %(difference)s; shop maximum is %(limit)s. "
        "One of them would carry more than its share. Pair them differently."
    ) % {
        "upper": finding.params.get("upper"),
        "lower": finding.params.get("lower"),
        "difference": figures.small_length(finding.value),
        "limit": figures.small_length(finding.limit),
    }


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
            "Face offsets of bearings %(refs)s differ by %(apart)s; at %(limit)s one of them carries the whole "
            "%(load)s (%(case)s). Pair bearings that are closer, or have the faces ground."
        )
    else:
        text = _(
            "Face offsets of bearings %(refs)s differ by %(apart)s; at %(limit)s one of them carries the whole "
            "%(load)s (%(case)s). That is over halfway. Pair bearings that are closer."
        )
    return text % values


SENTENCES: Final[dict[str, Sentence]] = {
    "mixed-set": _mixed_set,
    "envelope": _envelope,
    "not-for-pairing": _not_for_pairing,
    "not-a-matched-arrangement": _not_a_matched_arrangement,
    "stand-out-mismatch": _stand_out_mismatch,
    "mismatch-sensitive": _mismatch_sensitive,
}
