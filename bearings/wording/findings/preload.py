"""The sentences of what is found of preload."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.finding_parts import Sentence, case_of, number_of


def _thermal_preload(finding: Finding, figures: Figures) -> str:
    warmer = number_of(finding, "warmer_k")
    values = {
        "before": figures.force(number_of(finding, "before_n")),
        "after": figures.force(finding.value, finding.limit),
        "limit": figures.force(finding.limit),
        "warmer": figures.difference(None if warmer is None else abs(warmer)),
    }
    if finding.params.get("kind") == "lost":
        cooler = _(
            "Mounted and warm, the set loses its %(before)s preload (shaft %(warmer)s cooler). Mount with more "
            "preload, or use springs."
        )
        hotter = _(
            "Mounted and warm, the set loses its %(before)s preload (shaft %(warmer)s warmer). Mount with more "
            "preload, or use springs."
        )
        return (cooler if (warmer or 0.0) < 0 else hotter) % values
    if finding.params.get("heavy") is True:
        return (
            _(
                "Mounted and warm, preload grows from %(before)s to %(after)s; shop maximum is %(limit)s. Use "
                "less preload, a looser shaft fit, or springs."
            )
            % values
        )
    return (
        _("Mounted and warm, preload goes from %(before)s to %(after)s (shaft %(warmer)s warmer).") % values
    )


def _preload_not_proven(finding: Finding, figures: Figures) -> str:
    loads = finding.params.get("loads")
    without = [
        f"{pair[0]}: {figures.force(float(pair[1]))}"
        for pair in (loads if isinstance(loads, tuple) else ())
        if isinstance(pair, tuple)
    ]
    values = {
        "preload": figures.force(finding.value, finding.limit),
        "case": case_of(finding),
        "loads": "; ".join(without),
    }
    if not without:
        return (
            _(
                "The check assumes %(preload)s preload, but no lock nut is listed. Record what clamps the rings."
            )
            % values
        )
    return (
        _(
            "The check assumes %(preload)s preload, but no lock nut is listed. Without preload the load is "
            "(%(case)s) %(loads)s. Record what clamps the rings."
        )
        % values
    )


SENTENCES: Final[dict[str, Sentence]] = {
    "thermal-preload": _thermal_preload,
    "preload-not-proven": _preload_not_proven,
}
