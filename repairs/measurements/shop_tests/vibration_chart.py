"""Vibration of a motor by point, each beside its own limit."""

from __future__ import annotations

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from bearings.public import PAPER, SCREEN, ChartOptions, SeriesWords, Units, ValueBar, value_bars
from repairs.measurements.engineering.shape import Answer, Result
from repairs.measurements.engineering.subjects.vibration import POINTS
from repairs.measurements.words.figures import Written
from repairs.measurements.words.vibration import WORDS

TEST = "vibration"


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
        str(WORDS.results[result.code]),
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
