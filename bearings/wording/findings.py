"""The sentence of every finding: its figures, and what to do about it."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.case_findings import CASE_SENTENCES
from bearings.wording.figures import Figures, Units
from bearings.wording.finding_parts import Sentence, case_of, number_of, refs_of
from bearings.wording.heat_findings import HEAT_SENTENCES
from bearings.wording.labels import field_labels
from bearings.wording.rating_findings import RATING_SENTENCES
from bearings.wording.sharing_findings import SHARING_SENTENCES
from bearings.wording.speed_findings import SPEED_SENTENCES


def _down_thrust_not_carried(finding: Finding, figures: Figures) -> str:
    if finding.value is None:
        return _(
            "Nothing carries down thrust, so the rotor would drop. Turn a bearing so that its wide face looks "
            "down, or add a bearing or guide that carries down."
        )
    return _(
        "Nothing carries the down thrust of %(force)s (case: %(case)s). Turn a bearing so that its wide face "
        "looks down, or add a bearing or guide that carries down."
    ) % {"force": figures.force(finding.value), "case": case_of(finding)}


def _up_thrust_not_carried(finding: Finding, figures: Figures) -> str:
    values = {"force": figures.force(finding.value), "case": case_of(finding)}
    if finding.severity == "warn":
        return (
            _(
                "Up thrust of %(force)s may lift the rotor: its weight is unknown and nothing carries up. Enter the "
                "rotor weight, or add a bearing or guide that carries up."
            )
            % values
        )
    return (
        _(
            "Nothing carries the net up thrust of %(force)s (case: %(case)s). Turn a bearing so that its wide face "
            "looks up, or add a bearing or guide that carries up."
        )
        % values
    )


def _washers_part(finding: Finding, figures: Figures) -> str:
    return _(
        "Net up thrust of %(force)s (case: %(case)s) lifts the washers of bearing %(ref)s apart. Put its housing "
        "washer on springs, or add a guide without end play that carries up."
    ) % {"force": figures.force(finding.value), "case": case_of(finding), "ref": finding.ref}


def _static_safety(finding: Finding, figures: Figures) -> str:
    return _(
        "Static safety %(safety)s of bearing %(ref)s under %(load)s (case: %(case)s); at least %(limit)s is asked "
        "for. Take a bearing with a higher static rating."
    ) % {
        "safety": figures.ratio(finding.value),
        "ref": finding.ref,
        "load": figures.force(number_of(finding, "load_n")),
        "case": case_of(finding),
        "limit": figures.ratio(finding.limit),
    }


def _not_a_matched_arrangement(finding: Finding, _figures: Figures) -> str:
    return _(
        "The direction changes %(changes)s times from top to bottom (%(relations)s); a matched set changes it once "
        "at most. Compare with the maker's mark or the photos taken before."
    ) % {"changes": f"{finding.value or 0:.0f}", "relations": refs_of(finding, "relations")}


def _mixed_set(finding: Finding, figures: Figures) -> str:
    fields = finding.params.get("fields")
    values = {
        "refs": refs_of(finding),
        "fields": field_labels(fields) if isinstance(fields, tuple) else "",  # type: ignore[arg-type]
    }
    if finding.severity == "warn":
        return (
            _(
                "Bearings %(refs)s share thrust but come from different matched sets. Use one set, or measure their "
                "stand-out before they go in."
            )
            % values
        )
    return (
        _("Bearings %(refs)s share thrust but differ in %(fields)s. Fit like bearings of one matched set.")
        % values
    )


def _stand_out_mismatch(finding: Finding, figures: Figures) -> str:
    return _(
        "The stand-out of bearings %(upper)s and %(lower)s differs by %(difference)s; this shop allows %(limit)s. "
        "The one that stands out carries more than its share. Pair them again."
    ) % {
        "upper": finding.params.get("upper"),
        "lower": finding.params.get("lower"),
        "difference": figures.small_length(finding.value),
        "limit": figures.small_length(finding.limit),
    }


def _preload_not_proven(finding: Finding, figures: Figures) -> str:
    loads = finding.params.get("loads")
    without = [
        f"{pair[0]}: {figures.force(float(pair[1]))}"
        for pair in (loads if isinstance(loads, tuple) else ())
        if isinstance(pair, tuple)
    ]
    values = {"preload": figures.force(finding.value), "case": case_of(finding), "loads": "; ".join(without)}
    if not without:
        return (
            _(
                "A preload of %(preload)s is counted on, but no lock nut is on the list. Record what clamps the rings."
            )
            % values
        )
    return (
        _(
            "A preload of %(preload)s is counted on, but no lock nut is on the list. Record what clamps the rings; "
            "without preload the bearings carry (case: %(case)s) %(loads)s."
        )
        % values
    )


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
                "Part %(ref)s between bearings %(upper)s and %(lower)s is on one ring only and changes preload and "
                "clearance. Fit one of the same height on the other ring, or have the change confirmed."
            )
            % values
        )
    return (
        _(
            "Inner and outer height at part %(ref)s, between bearings %(upper)s and %(lower)s, differ by "
            "%(difference)s; this shop allows %(limit)s. Grind them together to one height."
        )
        % values
    )


def _thrust_through_snap_ring(finding: Finding, figures: Figures) -> str:
    if finding.severity == "warn":
        return _(
            "Down thrust reaches bearing %(bearing)s through snap ring %(ref)s alone. Confirm that ring and groove "
            "carry it, or put a shoulder or nut above."
        ) % {"ref": finding.ref, "bearing": finding.params.get("bearing")}
    return _(
        "Nothing is recorded above bearing %(ref)s that brings the down thrust into it. Record the shoulder, nut or "
        "ring that does."
    ) % {"ref": finding.ref}


def _radial_load_on_thrust_roller(finding: Finding, figures: Figures) -> str:
    return _(
        "Bearing %(ref)s takes %(radial)s of radial load (case: %(case)s); its thrust of %(axial)s allows "
        "%(limit)s. Let a radial bearing take the radial load."
    ) % {
        "ref": finding.ref,
        "radial": figures.force(finding.value),
        "case": case_of(finding),
        "axial": figures.force(number_of(finding, "axial_n")),
        "limit": figures.force(finding.limit),
    }


def _no_radial_guide(finding: Finding, figures: Figures) -> str:
    return _(
        "Spherical roller thrust bearing %(refs)s and nothing that guides the shaft. Add the guide bearing, or record "
        "the one that is there."
    ) % {"refs": refs_of(finding)}


def _envelope(finding: Finding, figures: Figures) -> str:
    fields = finding.params.get("fields")
    return _(
        "Bearings %(refs)s share thrust but differ in %(fields)s: they cannot be of one set. Measure them and take "
        "out the one that is wrong."
    ) % {
        "refs": refs_of(finding),
        "fields": field_labels(fields) if isinstance(fields, tuple) else "",  # type: ignore[arg-type]
    }


SENTENCES: Final[dict[str, Sentence]] = {
    "down-thrust-not-carried": _down_thrust_not_carried,
    "up-thrust-not-carried": _up_thrust_not_carried,
    "washers-part": _washers_part,
    "static-safety": _static_safety,
    "not-a-matched-arrangement": _not_a_matched_arrangement,
    "mixed-set": _mixed_set,
    "stand-out-mismatch": _stand_out_mismatch,
    "preload-not-proven": _preload_not_proven,
    "spacer-pair": _spacer_pair,
    "thrust-through-snap-ring": _thrust_through_snap_ring,
    "radial-load-on-thrust-roller": _radial_load_on_thrust_roller,
    "no-radial-guide": _no_radial_guide,
    "envelope": _envelope,
    **CASE_SENTENCES,
    **SPEED_SENTENCES,
    **HEAT_SENTENCES,
    **RATING_SENTENCES,
    **SHARING_SENTENCES,
}


def finding_sentence(finding: Finding, units: Units = "si") -> str:
    """Return the sentence of a finding in the reader's language and units."""
    return SENTENCES[finding.code](finding, Figures(units))
