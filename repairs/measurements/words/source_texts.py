"""Names and places of sources that are words of a language; standards, their clauses and formulas are none."""

from __future__ import annotations

import re
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from repairs.work_orders.models.step_kinds import StepKind

# The places of a standard that are numbers alone, and formulas: the same in every language.
NO_WORDS: Final = re.compile(
    r"(?:tables? )?[0-9][0-9.]*(?: to [0-9.]+)?|[0-9.]+ .*Ω.*|120 f / p|e per = 1000 G / omega"
    r"|R25 exp\(.*\)|v peak = pi f D p-p .*|0\.65 \(4 E \+ 5 kV\).*"
)
_SHEET: Final = re.compile(r"(?P<kind>.+), version (?P<number>[0-9]+)")
_TEXTS: Final = frozenset(
    {
        # Names.
        gettext_noop("arithmetic"),
        gettext_noop("beta equation"),
        gettext_noop("definition"),
        gettext_noop("entered"),
        gettext_noop("geometry of the 60° thread: d2 = d - 3 sqrt(3) P / 8"),
        gettext_noop("handbook rule of thumb"),
        gettext_noop("high-potential test"),
        gettext_noop("mechanics: wedge of the thread with friction, and friction of the face"),
        gettext_noop("maker's limit, entered by the lead"),
        gettext_noop("nameplate"),
        gettext_noop("shop sheet"),
        gettext_noop("trade text"),
        gettext_noop("vector arithmetic: A² = k² (Ut² + Ur² + 2 Ut Ur cos)"),
        gettext_noop("vector arithmetic: influence coefficients"),
        gettext_noop("IEC 60034-14 and ISO 20816-3"),
        # Places.
        gettext_noop("125% to 150% of rated voltage; DC 1.7 times"),
        gettext_noop("2 E + 1000 V; DC 1.7 times"),
        gettext_noop("2.3.1: about a third of the cavity"),
        gettext_noop("31.4.4.3, sine supply: above it consider insulating"),
        gettext_noop("4.13, table 4-6: P-base"),
        gettext_noop("4.9.7: TIR at the end of the shaft extension"),
        gettext_noop("65% of a new winding"),
        gettext_noop("80% right after a rewind"),
        gettext_noop("accessory circuits, new"),
        gettext_noop("alarm of oil-lubricated rolling bearings"),
        gettext_noop("back to back pair"),
        gettext_noop("burn-off, organic core plate"),
        gettext_noop("current follows 6 to 10 times"),
        gettext_noop("derating for voltage unbalance, read off the curve"),
        gettext_noop("halving every 10 °C"),
        gettext_noop("inorganic core plate"),
        gettext_noop("instrument band 10 to 1000 Hz"),
        gettext_noop("no breakdown"),
        gettext_noop("no load, uncoupled, resilient mounting"),
        gettext_noop("no load, uncoupled, rigid mounting: 0.8 of resilient"),
        gettext_noop("one plane: the sum of both journals"),
        gettext_noop("oz in a plane, W lb at the journal, N rpm"),
        gettext_noop("peak of an impulse"),
        gettext_noop("per unit of the peak line to ground"),
        gettext_noop("polarization index"),
        gettext_noop("relubrication: 0.005 D B grams"),
        gettext_noop("resistance and temperature"),
        gettext_noop("resistance at the threshold; below 20 Ω shorted"),
        gettext_noop("resistance of platinum"),
        gettext_noop("rise by resistance, 40 °C ambient"),
        gettext_noop("scope"),
        gettext_noop("sleeve and plate bearings"),
        gettext_noop("stable: change of at most 1 °C in 30 min"),
        gettext_noop("subclauses of 5"),
        gettext_noop("table 2-4, IEC: TIR at mid length"),
        gettext_noop("table 3: kV + 1"),
        gettext_noop("table of limits, uncoupled, no load"),
        gettext_noop("thermosetting insulation"),
        gettext_noop("time to the first reading"),
        gettext_noop("tolerance classes"),
        gettext_noop("two planes inboard, each 0.3 to 0.7 of the whole"),
        gettext_noop("vertical hollow shaft, 320 to 440 frames"),
        gettext_noop("voltage unbalance: not to be run above 5%"),
        gettext_noop("voltage within 10% of rated"),
        gettext_noop("waves superimpose"),
        gettext_noop("winding resistance, from the average"),
        gettext_noop("zone boundary B/C, housing, running in place"),
    }
)


def is_known(text: str) -> bool:
    """Tell whether a text of a source can be translated."""
    return text in _TEXTS


def in_words(text: str) -> str:
    """Return a name or place of a source as people read it; what is no text of ours stays as it is."""
    if text in _TEXTS:
        return _(text)
    if found := _SHEET.fullmatch(text):
        kind = found["kind"]
        named = StepKind(kind).label if kind in StepKind.values else kind
        return _("{kind}, version {number}").format(kind=named, number=found["number"])
    return text
