"""The sentence of every finding: its figures, and what to do about it."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, Units, significant
from bearings.wording.finding_parts import Sentence, case_of, number_of, refs_of
from bearings.wording.heat_findings import HEAT_SENTENCES
from bearings.wording.labels import field_labels, speed_label
from bearings.wording.rating_findings import RATING_SENTENCES
from bearings.wording.sharing_findings import SHARING_SENTENCES


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


def _speed_margin(finding: Finding, figures: Figures) -> str:
    if finding.params.get("non_reverse") is True:
        return _(
            "A ratchet prevents backspin, so no reverse speed was checked. Inspect the ratchet with the bearings."
        )
    values = {
        "margin": figures.percent(finding.value),
        "name": speed_label(str(finding.params["speed"])),
        "speed": figures.speed(number_of(finding, "speed_rpm")),
        "permissible": figures.speed(number_of(finding, "permissible_rpm")),
        "wanted": figures.percent(finding.limit, 0),
        "ref": finding.ref,
    }
    if finding.params["speed"] == "reverse":
        return (
            _(
                "Speed margin %(margin)s at %(speed)s in reverse (limiting speed %(permissible)s, bearing %(ref)s). "
                "Fit a ratchet, or choose a bearing with a higher limiting speed."
            )
            % values
        )
    if finding.params.get("basis") == "reference":
        return (
            _(
                "Speed margin %(margin)s at %(speed)s, %(name)s (permissible %(permissible)s from a reference speed, "
                "bearing %(ref)s); this shop asks for %(wanted)s. Find the bearing's limiting speed and check again."
            )
            % values
        )
    return (
        _(
            "Speed margin %(margin)s at %(speed)s, %(name)s (permissible %(permissible)s, bearing %(ref)s); this shop "
            "asks for %(wanted)s. Choose bearings with a higher speed, a smaller set, or ask the maker."
        )
        % values
    )


def _reference_speed(finding: Finding, figures: Figures) -> str:
    values = {
        "ref": finding.ref,
        "reference": figures.speed(finding.value),
        "speed": figures.speed(finding.limit),
        "thermal": figures.speed(number_of(finding, "thermal_rpm")),
        "heat": figures.power(number_of(finding, "heat_removed_w")),
    }
    if finding.severity == "stop":
        return (
            _(
                "Bearing %(ref)s would run too hot: %(heat)s of cooling allows %(thermal)s, the motor turns at "
                "%(speed)s. Add cooling, or choose a bearing with less friction."
            )
            % values
        )
    return (
        _(
            "The reference speed of bearing %(ref)s in this set, %(reference)s, is below %(speed)s. Enter the heat "
            "that is removed, so that the oil temperature can be judged; watch it at the test run."
        )
        % values
    )


def _speed_not_rated(finding: Finding, figures: Figures) -> str:
    if finding.params.get("method") == "grease":
        return _(
            "Bearing %(ref)s has no speed for grease, so its speed is not checked. Enter it from its source."
        ) % {"ref": finding.ref}
    return _(
        "Bearing %(ref)s has no limiting speed and none for this oil, so its speed is not checked. Enter one from "
        "the bearing's source."
    ) % {"ref": finding.ref}


def _life(finding: Finding, figures: Figures) -> str:
    values = {"life": figures.hours(finding.value), "limit": figures.hours(finding.limit)}
    if finding.severity == "stop":
        return (
            _(
                "Life of the stack %(life)s, below %(limit)s. Do not build it so: take higher-rated bearings, or "
                "have the thrust checked."
            )
            % values
        )
    if finding.params.get("required") is True:
        return (
            _(
                "Life of the stack %(life)s; %(limit)s are asked for. Take bearings with a higher rating, or agree the "
                "shorter life with the customer."
            )
            % values
        )
    return (
        _(
            "Life of the stack %(life)s; this shop asks for %(limit)s. Take bearings with a higher rating, or agree "
            "the shorter life with the customer."
        )
        % values
    )


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


def _unloaded_in_running(finding: Finding, figures: Figures) -> str:
    values = {
        "ref": finding.ref,
        "thrust": figures.force(number_of(finding, "net_axial_n")),
        "unloading": figures.force(number_of(finding, "unloading_thrust_n")),
        "ndm": _("unknown") if finding.value is None else significant(finding.value),
        "limit": significant(finding.limit or 0.0),
    }
    if finding.severity == "warn":
        return (
            _(
                "Bearing %(ref)s runs unloaded at a net thrust of %(thrust)s (unloaded from %(unloading)s) and can "
                "skid: n dm is %(ndm)s mm/min, this shop warns above %(limit)s. Use springs, or raise the preload."
            )
            % values
        )
    return (
        _(
            "Bearing %(ref)s runs unloaded at a net thrust of %(thrust)s (unloaded from %(unloading)s) and can skid "
            "(n dm %(ndm)s mm/min). Listen at the test run; springs keep it loaded."
        )
        % values
    )


def _minimum_load(finding: Finding, figures: Figures) -> str:
    return _(
        "Bearing %(ref)s carries %(load)s (case: %(case)s) and needs at least %(least)s to roll without skidding. "
        "Add springs or preload, or do not run it so for long."
    ) % {
        "ref": finding.ref,
        "load": figures.force(finding.value),
        "case": case_of(finding),
        "least": figures.force(finding.limit),
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
        "The one that stands out carries more than its share: pair them anew."
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


def _viscosity(finding: Finding, figures: Figures) -> str:
    return _(
        "The oil is too thin for bearing %(ref)s: viscosity ratio %(kappa)s, at least %(limit)s is wanted "
        "(%(viscosity)s mm²/s at %(temperature)s). Take a higher grade, or run cooler."
    ) % {
        "ref": finding.ref,
        "kappa": figures.ratio(finding.value),
        "limit": figures.ratio(finding.limit),
        "viscosity": figures.ratio(number_of(finding, "viscosity_mm2_s")),
        "temperature": figures.temperature(number_of(finding, "temperature_c")),
    }


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
    "speed-margin": _speed_margin,
    "reference-speed": _reference_speed,
    "speed-not-rated": _speed_not_rated,
    "life": _life,
    "static-safety": _static_safety,
    "unloaded-in-running": _unloaded_in_running,
    "minimum-load": _minimum_load,
    "not-a-matched-arrangement": _not_a_matched_arrangement,
    "mixed-set": _mixed_set,
    "stand-out-mismatch": _stand_out_mismatch,
    "preload-not-proven": _preload_not_proven,
    "spacer-pair": _spacer_pair,
    "thrust-through-snap-ring": _thrust_through_snap_ring,
    "radial-load-on-thrust-roller": _radial_load_on_thrust_roller,
    "no-radial-guide": _no_radial_guide,
    "viscosity": _viscosity,
    "envelope": _envelope,
    **HEAT_SENTENCES,
    **RATING_SENTENCES,
    **SHARING_SENTENCES,
}


def finding_sentence(finding: Finding, units: Units = "si") -> str:
    """Return the sentence of a finding in the reader's language and units."""
    return SENTENCES[finding.code](finding, Figures(units))
