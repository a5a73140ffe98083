"""Shaft voltage end to end on a sine supply, and insulation of the insulated bearing."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt
from typing import Final

from repairs.measurements.engineering.arithmetic import INPUT
from repairs.measurements.engineering.limits import ARITHMETIC, COMMON_PRACTICE, Limit
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
from repairs.measurements.engineering.tables import shaft_voltage as table

FIELDS: Final = (
    Field("shaft_v", "shaft_voltage", 0, 1000),
    Field("read_as", "choice", choices=("peak", "rms")),
    Field("supply", "choice", choices=("sine", "inverter"), setting=True),
    Field("insulated", "yes_no", setting=True),
    Field("bearing_mohm", "insulation", 0, 1e6, needed=False),
    Field("bearing_test_v", "voltage", 1, 5000, needed=False, setting=True),
)


def peak_v(entries: Entries) -> float | None:
    """Return the peak; rms has one on a sine only. [V]"""
    volts, read_as = entries.number("shaft_v"), entries.choice("read_as")
    if volts is None or read_as is None:
        return None
    if read_as == "peak":
        return volts
    return volts * sqrt(2) if entries.choice("supply") == "sine" else None


def rms_v(entries: Entries) -> float | None:
    """Return the rms value; a peak has one on a sine only. [V]"""
    volts, read_as = entries.number("shaft_v"), entries.choice("read_as")
    if volts is None or read_as is None:
        return None
    if read_as == "rms":
        return volts
    return volts / sqrt(2) if entries.choice("supply") == "sine" else None


def _limit(entries: Entries, peak: float | None) -> Limit | None:
    """Return the limit of a machine without an insulated bearing on a sine supply. Where nobody said whether a bearing
    is insulated, it passes but does not fail."""
    if entries.choice("supply") != "sine" or entries.yes("insulated"):
        return None
    over = peak is not None and not table.HIGHEST_PEAK.holds(peak)
    return None if over and entries.yes("insulated") is None else table.HIGHEST_PEAK


def _notes(entries: Entries, peak: float | None) -> Iterator[Note]:
    if entries.choice("supply") == "inverter":
        yield Note("inverter_supply", "note", {}, table.HIGHEST_PEAK.source)
    elif peak is not None and not table.HIGHEST_PEAK.holds(peak):
        code = "insulation_carries" if entries.yes("insulated") else "consider_insulating"
        yield Note(code, "warn", {"value": peak, "most": table.HIGHEST_PEAK.high}, table.HIGHEST_PEAK.source)
    rms = rms_v(entries)
    if entries.choice("supply") != "inverter" and rms is not None and not table.SHOP_FLAG_RMS.holds(rms):
        params = {"value": rms, "most": table.SHOP_FLAG_RMS.high}
        yield Note("shop_flag", "note", params, table.SHOP_FLAG_RMS.source)
    volts = entries.number("bearing_test_v")
    if volts is not None and volts != table.TEST_VOLTAGE_V:
        params = {"value": volts, "usual": table.TEST_VOLTAGE_V}
        yield Note("bearing_test_voltage", "warn", params, COMMON_PRACTICE)
    if entries.yes("insulated") is False and entries.number("bearing_mohm") is not None:
        yield Note("nothing_insulated", "doubt", {})


def _missing(entries: Entries, peak: float | None) -> Iterator[Missing]:
    if entries.number("shaft_v") is None:
        yield Missing("shaft_v", "shaft_voltage")
    for code in ("read_as", "supply"):
        if entries.choice(code) is None:
            yield Missing(code, "shaft_voltage")
    insulated = entries.yes("insulated")
    if insulated is None and peak is not None and not table.HIGHEST_PEAK.holds(peak):
        yield Missing("insulated", "shaft_voltage")
    if insulated is None:
        yield Missing("insulated", "bearing_insulation")
    if insulated and entries.number("bearing_mohm") is None:
        yield Missing("bearing_mohm", "bearing_insulation")


def _look(entries: Entries, machine: Machine) -> Answer:
    peak, insulated = peak_v(entries), entries.yes("insulated")
    results = (
        Result("shaft_voltage", "shaft_voltage", peak, _limit(entries, peak), informs=bool(insulated)),
        Result(
            "bearing_insulation",
            "insulation",
            entries.number("bearing_mohm"),
            table.LEAST_INSULATION,
            # Without an insulated bearing there is nothing to measure.
            informs=insulated is False and entries.number("bearing_mohm") is None,
        ),
    )
    working = (
        Working("U", "given", entries.number("shaft_v"), "V", INPUT),
        Working("U peak", "U; from rms √2 U, sine only", peak, "V", ARITHMETIC),
        Working("U rms", "U; from peak U / √2, sine only", rms_v(entries), "V", ARITHMETIC),
        Working("R", "given", entries.number("bearing_mohm"), "MΩ", INPUT),
    )
    return Answer(results, tuple(_notes(entries, peak)), tuple(_missing(entries, peak)), working)


SUBJECT = Subject(
    code="shaft_voltage",
    fields=FIELDS,
    results={"shaft_voltage": "shaft_voltage", "bearing_insulation": "insulation"},
    look=_look,
)
