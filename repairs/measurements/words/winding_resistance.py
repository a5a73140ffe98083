"""Winding resistance in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _kind_decides(note: Note, write: Written) -> str:
    words = _(
        "Limit depends on the winding: {form} form wound, {random} random wound. A lead sets it under Test rules."
    )
    return words.format(
        form=write.of(note.params["form"], "percent"), random=write.of(note.params["random"], "percent")
    )


def _impossible_three(note: Note, write: Written) -> str:
    words = _(
        "No three phases give {ab}, {bc} and {ca} line to line. Check the readings, the leads and the range."
    )
    return words.format(
        ab=write.of(note.params["r_ab"], "resistance"),
        bc=write.of(note.params["r_bc"], "resistance"),
        ca=write.of(note.params["r_ca"], "resistance"),
    )


def _milliohms_typed(note: Note, write: Written) -> str:
    words = _(
        "Mean {value}: the winding would lose its whole rated power as heat. Milliohms typed as ohms? Expect well "
        "below {most}."
    )
    return words.format(
        value=write.of(note.params["value"], "resistance"), most=write.of(note.params["most"], "resistance")
    )


WORDS: Final = SubjectWords(
    title=_L("Winding resistance"),
    fields={
        "r_ab": _L("T1 to T2"),
        "r_bc": _L("T2 to T3"),
        "r_ca": _L("T3 to T1"),
        "winding_c": _L("Winding temperature"),
        "connection": _L("Connection"),
        "conductor": _L("Conductor"),
        "reference": _L("Reference temperature"),
    },
    choices={
        "wye": _L("wye"),
        "delta": _L("delta"),
        "unknown": _L("not known"),
        "copper": _L("copper"),
        "aluminum": _L("aluminum"),
        "ref_25": _L("25 °C (77 °F)"),
        "ref_20": _L("20 °C (68 °F)"),
        "ref_40": _L("40 °C (104 °F)"),
    },
    results={
        "resistance_unbalance": _L("Resistance unbalance, line to line"),
        "resistance_corrected": _L("Mean resistance line to line, at the reference temperature"),
        "resistance_phase": _L("Mean phase resistance, at the reference temperature"),
    },
    notes={
        "kind_decides": _kind_decides,
        "impossible_three": _impossible_three,
        "milliohms_typed": _milliohms_typed,
    },
    cautions=(
        _L("Lock out, try out, and disconnect the leads before the test."),
        _L(
            "Breaking the test current of a large winding makes a high voltage. Discharge before you lift a clip."
        ),
        _L("Your employer's electrical safety program and local codes govern."),
    ),
)
