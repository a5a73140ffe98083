"""Runout of shaft extension, P-base rabbet and face, and coupling register; size of the rabbet."""

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
from repairs.measurements.engineering.tables import runout as table

FIELDS: Final = (
    Field("rule", "choice", choices=("nema", "iec"), rule=True),
    Field("shaft_diameter_mm", "length", 1, 1000),
    Field("shaft_tir", "small_length", 0, 25),
    Field("rabbet_nominal_mm", "length", 10, 3000, needed=False),
    Field("rabbet_read_mm", "length", 10, 3000, needed=False),
    Field("rabbet_tir", "small_length", 0, 25, needed=False),
    Field("face_tir", "small_length", 0, 25, needed=False),
    Field("register_tir", "small_length", 0, 25, needed=False),
)
READ: Final = {
    "runout": "shaft_tir",
    "rabbet_size": "rabbet_read_mm",
    "rabbet_runout": "rabbet_tir",
    "face_runout": "face_tir",
    "register_runout": "register_tir",
}
# A rabbet this far off its size is another rabbet, or another unit; a runout this large was typed in mils.
OTHER_RABBET_MM: Final = 1.0
MILS_TYPED_FROM_MM: Final = 2.54


def _nominal(entries: Entries, machine: Machine) -> float | None:
    return entries.number("rabbet_nominal_mm") or machine.rabbet_mm


def _limits(entries: Entries, machine: Machine) -> dict[str, Limit | None]:
    diameter, rule, nominal = (
        entries.number("shaft_diameter_mm"),
        entries.choice("rule"),
        _nominal(entries, machine),
    )
    limits: dict[str, Limit | None] = dict.fromkeys(READ)
    if diameter is not None and rule is not None:
        limits["runout"] = table.nema(diameter) if rule == "nema" else table.iec(diameter)
    found = None if nominal is None else table.rabbet(nominal)
    if nominal is not None and found is not None:
        limits["rabbet_size"] = Limit(nominal, nominal + found.over, table.P_BASE)
        limits["rabbet_runout"] = limits["face_runout"] = Limit(None, found.runout, table.P_BASE)
    limits["register_runout"] = table.COUPLING
    return limits


def _notes(entries: Entries, machine: Machine, limits: dict[str, Limit | None]) -> Iterator[Note]:
    diameter, nominal = entries.number("shaft_diameter_mm"), _nominal(entries, machine)
    if diameter is not None and entries.choice("rule") and limits["runout"] is None:
        source = table.NEMA if entries.choice("rule") == "nema" else table.IEC
        yield Note("shaft_outside", "note", {"value": diameter}, source)
    if nominal is not None and limits["rabbet_size"] is None:
        yield Note("rabbet_outside", "note", {"value": nominal}, table.P_BASE)
    read = entries.number("rabbet_read_mm")
    if read is not None and nominal is not None and abs(read - nominal) > OTHER_RABBET_MM:
        yield Note("other_rabbet", "doubt", {"value": read, "nominal": nominal})
    for code in ("shaft_tir", "rabbet_tir", "face_tir", "register_tir"):
        value = entries.number(code)
        if value is not None and value > MILS_TYPED_FROM_MM:
            yield Note("mils_typed", "doubt", {"field": code, "value": value, "as_mm": value / 1000})


def _missing(entries: Entries, machine: Machine) -> Iterator[Missing]:
    for code, field in READ.items():
        if entries.number(field) is None:
            yield Missing(field, code)
    for field in ("rule", "shaft_diameter_mm"):
        if entries.choice(field) is None and entries.number(field) is None:
            yield Missing(field, "runout")
    if _nominal(entries, machine) is None:
        for code in ("rabbet_size", "rabbet_runout", "face_runout"):
            yield Missing("rabbet_nominal_mm", code)


def _working(entries: Entries, machine: Machine, limits: dict[str, Limit | None]) -> Iterator[Working]:
    yield Working("d", "given", entries.number("shaft_diameter_mm"), "mm", ENTERED)
    if (limit := limits["runout"]) is not None:
        yield Working("TIR limit", "table row of d", limit.high, "mm", limit.source)
    if (size := limits["rabbet_size"]) is not None and size.high is not None:
        yield Working("AK", "given", _nominal(entries, machine), "mm", ENTERED)
        yield Working("AK highest", "AK + tolerance of its row", size.high, "mm", size.source)


def _look(entries: Entries, machine: Machine) -> Answer:
    limits = _limits(entries, machine)
    quantities = SUBJECT.results
    results = tuple(
        # A motor without a P-base or a coupling has no such reading: only what was measured is held to its limit.
        Result(
            code,
            quantities[code],
            entries.number(field),
            limits[code],
            informs=code != "runout" and entries.number(field) is None,
        )
        for code, field in READ.items()
    )
    return Answer(
        results,
        tuple(_notes(entries, machine, limits)),
        tuple(_missing(entries, machine)),
        tuple(_working(entries, machine, limits)),
    )


SUBJECT: Final = Subject(
    code="shaft_runout",
    fields=FIELDS,
    results={code: "length" if code == "rabbet_size" else "small_length" for code in READ},
    look=_look,
)
