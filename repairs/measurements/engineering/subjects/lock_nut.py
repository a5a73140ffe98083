"""Torque of a bearing's lock nut against the maker's, and the axial force it makes."""

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
    Result,
    Subject,
    Working,
)
from repairs.measurements.engineering.tables import lock_nut as table

FIELDS: Final = (
    Field("torque_nm", "torque", 0, 100_000),
    Field("maker_low_nm", "torque", 0, 100_000),
    Field("maker_high_nm", "torque", 0, 100_000),
    Field("turn_deg", "angle", 0, 3600, needed=False),
    Field("nut_locked", "yes_no", needed=False),
    Field("thread_mm", "length", 3, 1000, needed=False),
    Field("pitch_mm", "small_length", 0.2, 20, needed=False),
    Field("friction_thread", "plain", 0.01, 1, needed=False),
    Field("friction_face", "plain", 0.01, 1, needed=False),
    Field("face_mm", "length", 3, 2000, needed=False),
)
GEOMETRY: Final = ("thread_mm", "pitch_mm", "friction_thread", "friction_face", "face_mm")


def _reversed(entries: Entries) -> bool:
    bounds = entries.numbers("maker_low_nm", "maker_high_nm")
    return bounds is not None and bounds[0] > bounds[1]


def _limit(entries: Entries) -> Limit | None:
    """Return the maker's limit. One side alone is a limit too; none is made of reversed ones."""
    low, high = entries.number("maker_low_nm"), entries.number("maker_high_nm")
    if _reversed(entries) or (low is None and high is None):
        return None
    return Limit(low, high, ENTERED, "maker")


def _force(entries: Entries) -> float | None:
    found = entries.numbers("torque_nm", *GEOMETRY)
    if found is None:
        return None
    torque, thread, pitch, friction_thread, friction_face, face = found
    if table.pitch_diameter(thread, pitch) <= 0:
        return None
    return table.axial_force(torque, thread, pitch, friction_thread, friction_face, face)


def _notes(entries: Entries) -> Iterator[Note]:
    torque, limit = entries.number("torque_nm"), _limit(entries)
    if _reversed(entries):
        low, high = entries.number("maker_low_nm"), entries.number("maker_high_nm")
        yield Note("reversed", "doubt", {"low": low, "high": high})
    if entries.yes("nut_locked") is not True and torque is not None:
        unknown = entries.yes("nut_locked") is None
        yield Note("lock_unknown" if unknown else "not_locked", "note" if unknown else "warn", {})
    if torque and limit is not None:
        low, high = limit.low or limit.high or torque, limit.high or limit.low or torque
        if torque * table.OTHER_UNIT <= low or torque >= table.OTHER_UNIT * high:
            yield Note("other_unit", "doubt", {"value": torque, "low": low, "high": high})
    thread, face = entries.number("thread_mm"), entries.number("face_mm")
    if thread is not None and face is not None and face < thread:
        yield Note("small_face", "doubt", {"face": face, "thread": thread})


def _missing(entries: Entries) -> Iterator[Missing]:
    if entries.number("torque_nm") is None:
        yield Missing("torque_nm", "nut_torque")
    if _limit(entries) is None:
        yield Missing("maker_low_nm", "nut_torque")
        yield Missing("maker_high_nm", "nut_torque")
    if any(entries.number(code) is not None for code in GEOMETRY):
        for code in GEOMETRY:
            if entries.number(code) is None:
                yield Missing(code, "nut_force")


def _working(entries: Entries) -> Iterator[Working]:
    yield Working("T", "given", entries.number("torque_nm"), "N m", ENTERED)
    size, force = entries.numbers("thread_mm", "pitch_mm"), _force(entries)
    if size is None or force is None:
        return
    units = {"thread_mm": ("d", "mm"), "pitch_mm": ("P", "mm"), "friction_thread": ("mu t", ""),
             "friction_face": ("mu f", ""), "face_mm": ("D f", "mm")}  # fmt: skip
    for code, (symbol, unit) in units.items():
        yield Working(symbol, "given", entries.number(code), unit, ENTERED)
    yield Working("d2", "d - 3 sqrt(3) P / 8", table.pitch_diameter(*size), "mm", table.PROFILE)
    formula = "T / (d2/2 tan(atan(P/(pi d2)) + atan(mu t / cos 30°)) + mu f D f / 2)"
    yield Working("F", formula, force, "N", table.MECHANICS)


def _look(entries: Entries, machine: Machine) -> Answer:
    return Answer(
        (
            Result("nut_torque", "torque", entries.number("torque_nm"), _limit(entries)),
            Result("nut_force", "force", _force(entries), informs=True),
        ),
        tuple(_notes(entries)),
        tuple(_missing(entries)),
        tuple(_working(entries)),
    )


SUBJECT: Final = Subject("lock_nut", FIELDS, {"nut_torque": "torque", "nut_force": "force"}, _look)
