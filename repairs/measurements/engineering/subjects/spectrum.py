"""Peaks of a spectrum at the bearings' orders and around running speed. It informs: no standard limits a peak."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.limits import ENTERED
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import (
    Answer,
    Entries,
    Field,
    Missing,
    Note,
    Param,
    Result,
    Subject,
    Working,
)
from repairs.measurements.engineering.spectrum import (
    SOURCE,
    Peak,
    Spectrum,
    harmonics,
    marked,
    minutes_as_seconds,
    sidebands,
)
from repairs.measurements.engineering.steadiness import column

FIELDS: Final = (
    Field("run_rpm", "speed", 1, 20_000, needed=False),
    Field("from_hz", "frequency", 0, 1e6),
    Field("to_hz", "frequency", 0, 1e6),
    Field("resolution_hz", "frequency", 1e-6, 1000),
    Field(
        "peaks",
        "series",
        needed=False,
        columns=(Field("peak_hz", "frequency", 0, 1e6), Field("peak_size", "vibration", 0, 500)),
    ),
    Field("orders", "series", needed=False, columns=(Field("order_hz", "frequency", 0, 1e6),)),
)
RANGE: Final = ("from_hz", "to_hz", "resolution_hz")
RESULTS: Final = {"orders_found": "plain", "run_harmonics": "plain", "run_sidebands": "plain"}


def _speed_hz(entries: Entries, machine: Machine) -> float | None:
    rpm = entries.number("run_rpm") or machine.speed_rpm
    return None if rpm is None else rpm / 60


def entered(entries: Entries) -> Spectrum | None:
    """Return the peaks that were entered with the range that was searched; None where the range is not known."""
    searched = entries.numbers(*RANGE)
    if searched is None or searched[0] >= searched[1]:
        return None
    low, high, step = searched
    rows = entries.series("peaks")
    read = [
        Peak(hz, size, 0.0)
        for hz, size in zip(column(rows, 0), column(rows, 1), strict=True)
        if hz is not None and size is not None
    ]
    peaks = tuple(sorted(read))
    return Spectrum(int((high - low) / step) + 1, low, high, step, False, 0.0, peaks)


def _orders(entries: Entries) -> dict[str, float]:
    found = [hz for hz in column(entries.series("orders"), 0) if hz is not None]
    return {str(at): hz for at, hz in enumerate(found, 1)}


def _results(spectrum: Spectrum | None, orders: dict[str, float], run_hz: float | None) -> Iterator[Result]:
    found: dict[str, float | None] = dict.fromkeys(RESULTS)
    if spectrum is not None and orders:
        marks = marked(spectrum, orders)
        # An order outside the range was not looked for: a count of the rest says nothing of it.
        if not any(one.state == "outside" for one in marks):
            found["orders_found"] = float(sum(one.state == "found" for one in marks))
    if spectrum is not None and run_hz is not None:
        found["run_harmonics"] = float(len(harmonics(spectrum, run_hz)))
        if orders:
            found["run_sidebands"] = float(
                sum(sidebands(spectrum, hz, run_hz).total for hz in orders.values())
            )
    for code, value in found.items():
        yield Result(code, RESULTS[code], value, informs=value is not None)


def _notes(entries: Entries, spectrum: Spectrum | None, run_hz: float | None) -> Iterator[Note]:
    low, high = entries.number("from_hz"), entries.number("to_hz")
    if low is not None and high is not None and low >= high:
        yield Note("range_reversed", "doubt", {"low": low, "high": high})
    if spectrum is None:
        return
    searched: dict[str, Param] = {"low": low, "high": high, "step": spectrum.resolution_hz}
    for one in marked(spectrum, _orders(entries)):
        if one.peak is not None:
            figures: dict[str, Param] = {"hz": one.hz, "found": one.peak.hz, "size": one.peak.amplitude}
            yield Note("order_found", "warn", figures, SOURCE)
        else:
            yield Note(f"order_{one.state}", "note", {"hz": one.hz, **searched}, SOURCE)
    beyond = [one.hz for one in spectrum.peaks if not spectrum.from_hz <= one.hz <= spectrum.to_hz]
    if beyond:
        yield Note("peak_beyond", "doubt", {"hz": beyond[0], **searched})
    if run_hz is not None and (doubt := minutes_as_seconds(spectrum, run_hz)) is not None:
        yield Note(doubt, "doubt", {"run_hz": run_hz})


def _missing(entries: Entries, run_hz: float | None) -> Iterator[Missing]:
    for code in RESULTS:
        for field in RANGE:
            if entries.number(field) is None:
                yield Missing(field, code)
        if run_hz is None and code != "orders_found":
            yield Missing("run_rpm", code)
        if not _orders(entries) and code != "run_harmonics":
            yield Missing("orders", code)


def _look(entries: Entries, machine: Machine) -> Answer:
    spectrum, run_hz = entered(entries), _speed_hz(entries, machine)
    return Answer(
        tuple(_results(spectrum, _orders(entries), run_hz)),
        tuple(_notes(entries, spectrum, run_hz)),
        tuple(_missing(entries, run_hz)),
        (Working("f run", "n / 60", run_hz, "Hz", ENTERED),),
    )


SUBJECT: Final = Subject("spectrum", FIELDS, RESULTS, _look)
