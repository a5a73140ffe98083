"""Core test in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _flux_differs(note: Note, write: Written) -> str:
    words = _(
        "Flux {before} before, {after} after. Loss rise {read} as read, {same} at the first flux; the worse one "
        "counts. Repeat the test at the first flux."
    )
    return words.format(
        before=write.of(note.params["before"], "flux_density"),
        after=write.of(note.params["after"], "flux_density"),
        read=write.of(note.params["as_read"], "percent"),
        same=write.of(note.params["at_flux"], "percent"),
    )


def _spot_below(note: Note, write: Written) -> str:
    words = _("Hottest spot {hottest} is below the average {average}. Check that the two are not swapped.")
    return words.format(
        hottest=write.of(note.params["hottest_c"], "temperature"),
        average=write.of(note.params["average_c"], "temperature"),
    )


WORDS: Final = SubjectWords(
    title=_L("Core test"),
    fields={
        "before_w_kg": _L("Core loss before stripping"),
        "after_w_kg": _L("Core loss after stripping"),
        "flux_before": _L("Flux density, before"),
        "flux_after": _L("Flux density, after"),
        "average_c": _L("Average core temperature"),
        "hottest_c": _L("Hottest spot"),
    },
    results={
        "core_loss_rise": _L("Core loss rise by stripping"),
        "core_hot_spot": _L("Hottest spot over the average"),
    },
    notes={"flux_differs": _flux_differs, "spot_below_average": _spot_below},
    cautions=(
        _L(
            "WARNING The test winding carries high current and the bore can induce voltage. Barrier and sign up."
        ),
        _L("No closed metal loop around the core. Lock out before you touch core or cables."),
        _L("The core and its hot spots burn. Watch it during the whole test."),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
