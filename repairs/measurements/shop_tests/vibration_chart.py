"""Vibration of a motor by point, each beside its own limit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from django.utils.functional import Promise
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import PAPER, SCREEN, ChartOptions, SeriesWords, Units, ValueBar, value_bars
from repairs.measurements.engineering.shape import Answer, Result
from repairs.measurements.engineering.subjects.vibration import POINTS
from repairs.measurements.words.figures import Written

TEST: Final = "vibration"
# Short enough to stand beside a bar.
PLACES: Final[Mapping[str, Promise]] = {
    "vib_top_0": gettext_lazy("Top bearing, 0°"),
    "vib_top_90": gettext_lazy("Top bearing, 90°"),
    "vib_top_axial": gettext_lazy("Top bearing, axial"),
    "vib_low_0": gettext_lazy("Bottom bearing, 0°"),
    "vib_low_90": gettext_lazy("Bottom bearing, 90°"),
}


def vibration_chart(answer: Answer, units: Units, *, paper: bool = False) -> SafeString:
    """Return vibration by point as bars; nothing where none was measured."""
    results = [one for one in answer.results if one.code in POINTS]
    if not any(one.value is not None for one in results):
        return SafeString()
    write = Written(units)
    unit = write.unit("vibration")
    told = SeriesWords(title=_("Vibration by point"), across=unit.name, up="")
    options = ChartOptions(id_prefix="vibration", palette=PAPER if paper else SCREEN)
    # Made by bearings.charts, which escapes every text.
    return mark_safe(value_bars([_bar(one, write) for one in results], told, options=options))


def _bar(result: Result, write: Written) -> ValueBar:
    unit = write.unit("vibration")
    most = None if result.limit is None or result.limit.high is None else result.limit.high
    value = None if result.value is None else unit.from_si(result.value)
    return ValueBar(
        str(PLACES[result.code]),
        _words(result, most, write),
        value,
        None if most is None else unit.from_si(most),
    )


def _words(result: Result, most: float | None, write: Written) -> str:
    if result.value is None:
        return _("not measured")
    figure = write.of(result.value, "vibration")
    if most is None:
        return _("{figure} · no limit set").format(figure=figure)
    words = _("{figure} · limit {limit}")
    if result.verdict == "fail":
        words = _("{figure} · OUT OF LIMITS, limit {limit}")
    return words.format(figure=figure, limit=write.of(most, "vibration"))
