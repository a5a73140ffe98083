"""Vibration of the housing at five points of a vertical motor."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.limits import ENTERED, Limit
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
from repairs.measurements.engineering.tables import vibration as table

POINTS: Final = ("vib_top_0", "vib_top_90", "vib_top_axial", "vib_low_0", "vib_low_90")
STANDARDS: Final = ("nema_resilient", "nema_rigid", "iec_a", "iec_b", "iso_in_situ")
# No motor that somebody stands beside shakes more, and none of this size less: the units are asked.
INCHES_TYPED_FROM: Final = 2 * table.INCH_PEAK
MM_TYPED_BELOW: Final = 0.1
# A part of a vibration is no more than the whole; two instruments may differ by so much.
PART_OVER_WHOLE: Final = 1.1
FIELDS: Final = (
    Field("standard", "choice", choices=STANDARDS, rule=True),
    Field("mounting", "choice", choices=("free", "rigid", "flexible"), needed=False, rule=True),
    Field("uncoupled", "yes_no", needed=False, setting=True),
    Field("shaft_height_mm", "length", 40, 2000, needed=False, setting=True),
    Field("run_rpm", "speed", 1, 20_000, needed=False),
    *(Field(point, "vibration", 0, 500) for point in POINTS),
    *(
        Field(point.replace("vib", "disp"), "displacement", 0, 5000, needed=False, more=True)
        for point in POINTS
    ),
    Field("disp_hz", "frequency", 0.1, 2000, needed=False, more=True),
    Field("top_1x", "vibration", 0, 500, needed=False, more=True),
    Field("low_1x", "vibration", 0, 500, needed=False, more=True),
    Field("reed_hz", "frequency", 0.1, 2000, needed=False, more=True),
)


def _speed(entries: Entries, machine: Machine) -> float | None:
    return entries.number("run_rpm") or machine.speed_rpm


def _coupling_differs(entries: Entries) -> bool:
    """Whether the motor ran otherwise than the standard asks: without load and uncoupled, or in place and coupled."""
    standard, uncoupled = entries.choice("standard"), entries.yes("uncoupled")
    return standard is not None and uncoupled is not None and uncoupled == (standard == "iso_in_situ")


def limit_of(entries: Entries, machine: Machine) -> tuple[Limit | None, tuple[str, ...]]:
    """Return the limit of the standard that was chosen, or the fields without which there is none."""
    standard, speed = entries.choice("standard"), _speed(entries, machine)
    if standard is None:
        return None, ("standard",)
    if _coupling_differs(entries):
        return None, ("uncoupled",)
    if speed is None:
        return None, ("run_rpm",)
    if standard.startswith("nema"):
        return table.nema(speed, rigid=standard == "nema_rigid"), ()
    if not table.SPEEDS_RPM[0] <= speed <= table.SPEEDS_RPM[1]:
        return None, ("standard",)
    return _iec(standard, entries) if standard.startswith("iec") else _iso(entries, machine)


def _iec(grade: str, entries: Entries) -> tuple[Limit | None, tuple[str, ...]]:
    height, mounting = entries.number("shaft_height_mm"), entries.choice("mounting")
    if height is None:
        return None, ("shaft_height_mm",)
    limit = None if mounting is None else table.iec(grade, height, mounting)
    return limit, () if limit else ("mounting",)


def _iso(entries: Entries, machine: Machine) -> tuple[Limit | None, tuple[str, ...]]:
    mounting = entries.choice("mounting")
    if machine.power_w is None:
        return None, ("machine.power_w",)
    zones = None if mounting is None else table.iso_zones(machine.power_w, mounting)
    return (None, ("mounting",)) if zones is None else (Limit(None, zones[1], table.ISO), ())


def _part(entries: Entries, point: str) -> float | None:
    """Return the velocity that a displacement at one frequency makes alone. [mm/s rms]"""
    displacement, frequency = entries.number(point.replace("vib", "disp")), entries.number("disp_hz")
    return None if displacement is None or frequency is None else table.velocity(displacement, frequency)


def _value(entries: Entries, point: str, limit: Limit | None) -> float | None:
    """Return a point's velocity. A displacement at one frequency is only a part of it: enough to fail, not to pass."""
    read, part = entries.number(point), _part(entries, point)
    if read is not None or part is None or limit is None or limit.holds(part):
        return read
    return part


def _notes(entries: Entries, machine: Machine, limit: Limit | None) -> Iterator[Note]:
    if _coupling_differs(entries):
        yield Note("coupling_differs", "warn", {"standard": entries.choice("standard")})
    elif entries.choice("standard") and entries.yes("uncoupled") is None:
        yield Note("coupling_unknown", "note", {"standard": entries.choice("standard")})
    for point in POINTS:
        yield from _doubts(entries, point, limit)
    speed = _speed(entries, machine)
    if speed is not None and speed / 60 < table.BAND_FROM_HZ:
        yield Note("band", "note", {"value": speed, "from_hz": table.BAND_FROM_HZ}, table.BAND_SOURCE)
    yield from _standard_notes(entries, machine, speed)
    yield from _reed(entries, speed)


def _standard_notes(entries: Entries, machine: Machine, speed: float | None) -> Iterator[Note]:
    standard, mounting = entries.choice("standard") or "", entries.choice("mounting") or ""
    low, high = table.SPEEDS_RPM
    if speed is not None and standard.startswith("i") and not low <= speed <= high:
        yield Note("outside_speeds", "note", {"value": speed, "low": low, "high": high}, table.SPEEDS_SOURCE)
    wrong = "flexible" if standard.startswith("iec") else "free" if standard == "iso_in_situ" else None
    height = entries.number("shaft_height_mm")
    if mounting and mounting == wrong:
        yield Note("mounting_differs", "note", {"standard": standard})
    elif standard.startswith("iec") and mounting and height and table.iec(standard, height, mounting) is None:
        yield Note("no_value", "note", {"height": height}, table.IEC)
    if standard != "iso_in_situ" or machine.power_w is None:
        return
    zones = table.iso_zones(machine.power_w, mounting)
    read = [value for point in POINTS if (value := entries.number(point)) is not None]
    if machine.power_w <= table.ISO_GROUPS[-1][0]:
        yield Note("small_motor", "note", {"value": machine.power_w}, table.ISO)
    elif zones is not None and read:
        zone = "ABCD"[sum(max(read) > bound for bound in zones)]
        yield Note("zone", "note", {"zone": zone, "value": max(read)}, table.ISO)


def _doubts(entries: Entries, point: str, limit: Limit | None) -> Iterator[Note]:
    value, part = entries.number(point), _part(entries, point)
    if value is not None and value > INCHES_TYPED_FROM:
        yield Note(
            "inches_typed", "doubt", {"field": point, "value": value, "as_mm": value / table.INCH_PEAK}
        )
    if value is not None and 0 < value < MM_TYPED_BELOW:
        yield Note("mm_typed", "doubt", {"field": point, "value": value, "as_mm": value * table.INCH_PEAK})
    if part is None:
        return
    if value is not None and part > value * PART_OVER_WHOLE:
        yield Note("part_over_whole", "doubt", {"field": point, "value": value, "part": part}, table.SINE)
    if value is None:
        over = limit is not None and not limit.holds(part)
        params: dict[str, Param] = {"field": point, "part": part, "over": "yes" if over else "no"}
        yield Note("displacement_only", "note", params, table.SINE)


def _reed(entries: Entries, speed: float | None) -> Iterator[Note]:
    reed = entries.number("reed_hz")
    if reed is not None and speed is not None and abs(reed - speed / 60) <= table.REED_SHARE * speed / 60:
        params = {"reed_hz": reed, "run_hz": speed / 60, "share": 100 * table.REED_SHARE}
        yield Note("reed_near", "warn", params, table.PRACTICE)
    once = entries.numbers("top_1x", "low_1x")
    top = [one for code in POINTS[:2] if (one := entries.number(code)) is not None]
    low = [one for code in POINTS[3:] if (one := entries.number(code)) is not None]
    pair = once or ((max(top), max(low)) if top and low else None)
    if pair and pair[0] > 0 and pair[0] >= table.TOP_OVER_BOTTOM * pair[1]:
        params = {"top": pair[0], "low": pair[1]}
        yield Note("reed_suspect" if once else "top_far_above", "warn", params, table.PRACTICE)


def _missing(entries: Entries, without: tuple[str, ...]) -> Iterator[Missing]:
    for point in POINTS:
        if entries.number(point) is None:
            yield Missing(point, point)
        for field in without:
            yield Missing(field, point)
        if entries.number(point.replace("vib", "disp")) is not None and entries.number("disp_hz") is None:
            yield Missing("disp_hz", point)


def _working(entries: Entries, machine: Machine, limit: Limit | None) -> Iterator[Working]:
    yield Working("n", "given", _speed(entries, machine), "rpm", ENTERED)
    for point in POINTS:
        part = _part(entries, point)
        if part is not None:
            yield Working("D p-p", "given", entries.number(point.replace("vib", "disp")), "µm p-p", ENTERED)
            yield Working("v", "pi f D p-p / sqrt(2)", part, "mm/s rms", table.SINE)
    if limit is not None and limit.high is not None:
        yield Working("v limit", "of the standard", limit.high, "mm/s rms", limit.source)
        if limit.source in (table.NEMA, table.NEMA_RIGID):
            inches = limit.high / table.INCH_PEAK
            yield Working("v limit", "v rms sqrt(2) / 25.4", inches, "in/s pk", table.SINE)


def _look(entries: Entries, machine: Machine) -> Answer:
    limit, without = limit_of(entries, machine)
    results = tuple(Result(point, "vibration", _value(entries, point, limit), limit) for point in POINTS)
    return Answer(
        results,
        tuple(_notes(entries, machine, limit)),
        tuple(_missing(entries, without)),
        tuple(_working(entries, machine, limit)),
    )


SUBJECT = Subject("vibration", FIELDS, dict.fromkeys(POINTS, "vibration"), _look)
