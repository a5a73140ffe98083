"""Temperature sensors at a known temperature: what they read, how far they are apart, their insulation."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.arithmetic import INPUT, mean
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
from repairs.measurements.engineering.tables import sensors as table

FIELDS: Final = (
    Field("kind", "choice", choices=table.KINDS, setting=True),
    Field(
        "readings",
        "series",
        columns=(Field("ohm", "resistance", 0, 1e8), Field("lead_ohm", "resistance", 0, 1e3, needed=False)),
    ),
    Field("part_c", "temperature", -60, 300, needed=False),
    Field("tolerance_class", "choice", choices=tuple(table.CLASSES), needed=False, rule=True),
    Field("ntc_r25", "resistance", 1, 1e8, needed=False, setting=True),
    Field("ntc_beta", "plain", 100, 10_000, needed=False, setting=True),
    Field("ptc_threshold_c", "temperature", 40, 250, needed=False, setting=True),
    Field("ptc_pieces", "plain", 1, 12, needed=False, setting=True),
    Field("circuit_mohm", "insulation", 0, 1e9, needed=False),
)
NO_FAULT: Final = Limit(None, 0.0, COMMON_PRACTICE)


def _ohms(entries: Entries) -> list[float]:
    """Return the resistance of each sensor without its leads. A row without a reading counts as none."""
    found = []
    for row in entries.series("readings"):
        ohm = row[0] if row else None
        lead = row[1] if len(row) > 1 else None
        if ohm is not None:
            found.append(ohm - (lead or 0.0))
    return found


def _temperatures(entries: Entries) -> list[float | None] | None:
    """Return what each sensor reads, None outside its curve; no list where the kind has no curve. [°C]"""
    of_kind = table.curve(entries.choice("kind") or "", entries.number("ntc_r25"), entries.number("ntc_beta"))
    if of_kind is None:
        return None
    of, within, _source = of_kind
    return [table.temperature(ohm, of, within) for ohm in _ohms(entries)]


def _error_limit(entries: Entries) -> Limit | None:
    """Return the tolerance of the class that was chosen for platinum, at the part's temperature. [K]"""
    part_c, chosen = entries.number("part_c"), entries.choice("tolerance_class")
    if entries.choice("kind") not in table.PLATINUM or part_c is None or chosen is None:
        return None
    first, second = table.CLASSES[chosen]
    return Limit(None, first + second * abs(part_c), table.CLASS_SOURCE)


def _error(entries: Entries) -> Result:
    """Return the largest difference from the part. Few thermometers of a shop are as good as a class: it is judged
    only where a class was chosen."""
    part_c, read, limit = entries.number("part_c"), _temperatures(entries), _error_limit(entries)
    known = [one for one in read or () if one is not None]
    complete = bool(known) and len(known) == len(read or ())
    value = None if part_c is None or not complete else max(abs(one - part_c) for one in known)
    return Result("sensor_error", "temperature_difference", value, limit, informs=limit is None)


def _spread(entries: Entries) -> Result:
    read = _temperatures(entries)
    known = [one for one in read or () if one is not None]
    several = len(entries.series("readings")) > 1
    complete = len(known) > 1 and len(known) == len(entries.series("readings"))
    value = max(known) - min(known) if complete else None
    informs = not several or entries.choice("kind") == "ptc"
    return Result("sensor_spread", "temperature_difference", value, table.LARGEST_SPREAD, informs=informs)


def _faults(entries: Entries) -> Result:
    """Return how many sensors are open, shorted or of another kind: outside their whole curve."""
    read = _temperatures(entries)
    ptc = entries.choice("kind") == "ptc"
    value = None if not read else float(sum(one is None for one in read))
    return Result("sensor_faults", "plain", value, NO_FAULT, informs=ptc)


def _ptc(entries: Entries) -> Result:
    """Return the reading of thermistors farthest out, or the highest one where all are within."""
    needed = entries.numbers("part_c", "ptc_threshold_c", "ptc_pieces")
    limit = None
    if entries.choice("kind") == "ptc" and needed is not None:
        part_c, threshold_c, pieces = needed
        limit = table.ptc_limit(part_c - threshold_c, pieces)
    ohms = _ohms(entries) if entries.choice("kind") == "ptc" else []
    outside = [ohm for ohm in ohms if limit is not None and not limit.holds(ohm)]
    value = outside[0] if outside else max(ohms, default=None)
    if limit is not None and limit.high is None and not outside:
        value = min(ohms, default=None)
    return Result("ptc_resistance", "resistance", value, limit, informs=entries.choice("kind") != "ptc")


def _notes(entries: Entries, error: Result, spread: Result) -> Iterator[Note]:
    for place, one in enumerate(_temperatures(entries) or (), start=1):
        if one is None:
            ohm = _ohms(entries)[place - 1]
            yield Note("outside_curve", "warn", {"place": place, "ohm": ohm})
    leads = any(len(row) > 1 and row[1] is not None for row in entries.series("readings"))
    over = any(
        one.value is not None and one.standard is not None and not one.standard.holds(one.value)
        for one in (error, spread)
    )
    if over and not leads:
        yield Note("leads_count", "note", {})
    if error.value is not None and error.standard is None and not table.LARGEST_SPREAD.holds(error.value):
        params = {"value": error.value, "part_c": entries.number("part_c")}
        yield Note("far_from_part", "warn", params, COMMON_PRACTICE)
    needed = entries.numbers("part_c", "ptc_threshold_c")
    if entries.choice("kind") == "ptc" and needed is not None:
        part_c, threshold_c = needed
        if table.ptc_limit(part_c - threshold_c, 1) is None:
            params = {"part_c": part_c, "threshold_c": threshold_c}
            yield Note("near_threshold", "note", params, table.PTC_SOURCE)


def _missing(entries: Entries) -> Iterator[Missing]:
    kind = entries.choice("kind")
    if kind is None:
        yield Missing("kind", "sensor_faults")
    if not _ohms(entries) or len(_ohms(entries)) < len(entries.series("readings")):
        yield Missing("ohm", "ptc_resistance" if kind == "ptc" else "sensor_faults")
    if kind == "ntc":
        for code in ("ntc_r25", "ntc_beta"):
            if entries.number(code) is None:
                yield Missing(code, "sensor_faults")
    if kind == "ptc":
        for code in ("part_c", "ptc_threshold_c", "ptc_pieces"):
            if entries.number(code) is None:
                yield Missing(code, "ptc_resistance")


def _working(entries: Entries) -> Iterator[Working]:
    of_kind = table.curve(entries.choice("kind") or "", entries.number("ntc_r25"), entries.number("ntc_beta"))
    for place, ohm in enumerate(_ohms(entries), start=1):
        yield Working(f"R {place}", "reading less leads", ohm, "Ω", INPUT)
    for place, one in enumerate(_temperatures(entries) or (), start=1):
        if of_kind is not None:
            yield Working(f"T {place}", "from the curve of the kind", one, "°C", of_kind[2])
    known = [one for one in _temperatures(entries) or () if one is not None]
    if known:
        yield Working("T mean", "mean of the sensors", mean(known), "°C", ARITHMETIC)
    yield Working("T part", "given", entries.number("part_c"), "°C", INPUT)


def _look(entries: Entries, machine: Machine) -> Answer:
    read = _temperatures(entries)
    known = [one for one in read or () if one is not None]
    error, spread, circuit = _error(entries), _spread(entries), entries.number("circuit_mohm")
    results = (
        _faults(entries),
        Result("sensor_temperature", "temperature", mean(known) if known else None, informs=True),
        spread,
        error,
        _ptc(entries),
        Result("sensor_insulation", "insulation", circuit, informs=circuit is None),
    )
    return Answer(
        results,
        tuple(_notes(entries, error, spread)),
        tuple(_missing(entries)),
        tuple(_working(entries)),
    )


SUBJECT = Subject(
    code="sensors",
    fields=FIELDS,
    results={
        "sensor_faults": "plain",
        "sensor_temperature": "temperature",
        "sensor_spread": "temperature_difference",
        "sensor_error": "temperature_difference",
        "ptc_resistance": "resistance",
        "sensor_insulation": "insulation",
    },
    look=_look,
)
