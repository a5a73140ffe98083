"""Core test: loss before and after the winding is taken out, hottest spot over the average."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.arithmetic import INPUT
from repairs.measurements.engineering.limits import ARITHMETIC
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import (
    Answer,
    Entries,
    Field,
    Missing,
    Note,
    Result,
    Subject,
    Working,
)
from repairs.measurements.engineering.tables import core as table

FIELDS: Final = (
    Field("before_w_kg", "core_loss", 0.01, 1000),
    Field("after_w_kg", "core_loss", 0.01, 1000),
    Field("flux_before", "flux_density", 0.1, 2.5, needed=False),
    Field("flux_after", "flux_density", 0.1, 2.5, needed=False),
    Field("average_c", "temperature", -20, 200),
    Field("hottest_c", "temperature", -20, 400),
)


def loss_rise_percent(entries: Entries) -> tuple[float | None, float | None]:
    """Return by how much the loss rose, as read and at the flux of the first test; the latter where both are known."""
    losses, fluxes = (
        entries.numbers("before_w_kg", "after_w_kg"),
        entries.numbers("flux_before", "flux_after"),
    )
    if losses is None:
        return None, None
    before, after = losses
    as_read = 100 * (after / before - 1)
    if fluxes is None:
        return as_read, None
    first, second = fluxes
    return as_read, 100 * (after * (first / second) ** table.FLUX_POWER / before - 1)


def _notes(entries: Entries, as_read: float | None, at_flux: float | None) -> Iterator[Note]:
    fluxes = entries.numbers("flux_before", "flux_after")
    if fluxes is not None and as_read is not None and at_flux is not None and fluxes[0] != fluxes[1]:
        params = {"before": fluxes[0], "after": fluxes[1], "as_read": as_read, "at_flux": at_flux}
        yield Note("flux_differs", "warn", params, table.FLUX_SOURCE)
    average, hottest = entries.number("average_c"), entries.number("hottest_c")
    if average is not None and hottest is not None and hottest < average:
        yield Note("spot_below_average", "doubt", {"average_c": average, "hottest_c": hottest})


def _missing(entries: Entries) -> Iterator[Missing]:
    for codes, result in (
        (("before_w_kg", "after_w_kg"), "core_loss_rise"),
        (("average_c", "hottest_c"), "core_hot_spot"),
    ):
        yield from (Missing(code, result) for code in codes if entries.number(code) is None)


def _look(entries: Entries, machine: Machine) -> Answer:
    as_read, at_flux = loss_rise_percent(entries)
    known = [one for one in (as_read, at_flux) if one is not None]
    pair = entries.numbers("average_c", "hottest_c")
    spot = pair[1] - pair[0] if pair is not None and pair[1] >= pair[0] else None
    results = (
        # Less flux in the second test hides a rise: the worse of both counts.
        Result("core_loss_rise", "percent", max(known, default=None), table.LARGEST_RISE),
        Result("core_hot_spot", "temperature_difference", spot, table.LARGEST_HOT_SPOT),
    )
    working = (
        Working("p before", "given", entries.number("before_w_kg"), "W/kg", INPUT),
        Working("p after", "given", entries.number("after_w_kg"), "W/kg", INPUT),
        Working("rise", "100 (p after / p before - 1)", as_read, "%", ARITHMETIC),
        Working("rise at B", "the same with p after (B before / B after)²", at_flux, "%", table.FLUX_SOURCE),
        Working("hot spot", "T hottest - T average", spot, "K", ARITHMETIC),
    )
    return Answer(results, tuple(_notes(entries, as_read, at_flux)), tuple(_missing(entries)), working)


SUBJECT = Subject(
    code="core_test",
    fields=FIELDS,
    results={"core_loss_rise": "percent", "core_hot_spot": "temperature_difference"},
    look=_look,
)
