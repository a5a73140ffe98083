"""The sentences of what is found of skidding."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures, significant
from bearings.wording.finding_parts import Sentence, case_of, number_of, part_of


def _minimum_load(finding: Finding, figures: Figures) -> str:
    values = {
        "part": part_of(finding),
        "load": figures.force(finding.value, finding.limit),
        "least": figures.force(finding.limit),
        "case": case_of(finding),
        "speed": figures.speed(number_of(finding, "speed_rpm")),
        "run": figures.speed(number_of(finding, "test_run_rpm")),
    }
    if finding.limit is None:
        return _("%(part)s: no load (%(case)s); rollers skid without load. Use springs.") % values
    basis = "" if finding.params.get("basis") != "estimate" else " " + _("Minimum load is an estimate.")
    if finding.params.get("case") != "uncoupled":
        text = (
            _(
                "%(part)s: load is %(load)s (%(case)s); minimum at %(speed)s is %(least)s. It may skid. "
                "Use springs or preload."
            )
            % values
        )
    elif number_of(finding, "test_run_rpm"):
        text = (
            _(
                "%(part)s: load is %(load)s with the pump uncoupled; minimum at %(speed)s is %(least)s. "
                "Limit the test run to %(run)s, or keep it short."
            )
            % values
        )
    else:
        text = (
            _(
                "%(part)s: load is %(load)s with the pump uncoupled; minimum is %(least)s. Keep the test "
                "run short, within the maker's limit."
            )
            % values
        )
    return text + basis


def _unloaded_in_running(finding: Finding, figures: Figures) -> str:
    values = {
        "part": part_of(finding),
        "thrust": figures.force(number_of(finding, "net_axial_n")),
        "unloading": figures.force(number_of(finding, "unloading_thrust_n")),
        "ndm": significant(finding.value or 0.0),
        "limit": significant(finding.limit or 0.0),
    }
    if finding.severity == "warn":
        return (
            _(
                "%(part)s: unloaded at %(thrust)s thrust and may skid (n × dm %(ndm)s, shop limit %(limit)s). "
                "Use springs, or more preload."
            )
            % values
        )
    return _("%(part)s: unloaded at %(thrust)s thrust. Listen for skidding on the test run.") % values


SENTENCES: Final[dict[str, Sentence]] = {
    "minimum-load": _minimum_load,
    "unloaded-in-running": _unloaded_in_running,
}
