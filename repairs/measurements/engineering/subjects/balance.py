"""Balance of the rotor: residual unbalance in each plane against grade or 4W/N."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from repairs.measurements.engineering.balance_runs import (
    COLUMNS,
    TEST_COLUMNS,
    Trials,
    residual_test,
    trial_runs,
)
from repairs.measurements.engineering.balancing import amount_and_angle
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
from repairs.measurements.engineering.tables import balance as table

PLANES: Final = ("a", "b")
FIELDS: Final = (
    Field("method", "choice", choices=("grade", "four_w_n"), rule=True),
    Field("grade_mm_s", "plain", 0.1, 4000, needed=False, rule=True),
    Field("planes", "choice", choices=("one", "two")),
    Field("rotor_mass_kg", "mass", 0.1, 200_000, needed=False),
    Field("service_rpm", "speed", 1, 100_000, needed=False),
    Field("to_a_mm", "length", 0, 20_000, needed=False),
    Field("to_b_mm", "length", 0, 20_000, needed=False),
    Field("journal_a_kg", "mass", 0.05, 200_000, needed=False),
    Field("journal_b_kg", "mass", 0.05, 200_000, needed=False),
    Field("half_key", "yes_no", needed=False),
    *(
        field
        for plane in PLANES
        for field in (
            Field(f"initial_{plane}", "unbalance", 0, 1e9, needed=False),
            Field(f"initial_{plane}_deg", "angle", -360, 360, needed=False),
            Field(f"residual_{plane}", "unbalance", 0, 1e9, needed=False),
            Field(f"residual_{plane}_deg", "angle", -360, 360, needed=False),
        )
    ),
    Field("runs", "series", needed=False, columns=COLUMNS),
    *(
        field
        for plane in PLANES
        for field in (
            Field(f"test_{plane}_weight", "unbalance", 0, 1e9, needed=False),
            Field(f"test_{plane}_bare", "plain", 0, 1e9, needed=False),
            Field(f"test_{plane}", "series", needed=False, columns=TEST_COLUMNS),
        )
    ),
)


def _mass(entries: Entries, machine: Machine) -> float | None:
    return entries.number("rotor_mass_kg") or machine.rotor_mass_kg


def _speed(entries: Entries, machine: Machine) -> float | None:
    return entries.number("service_rpm") or machine.speed_rpm


def limits_of(
    entries: Entries, machine: Machine
) -> tuple[tuple[Limit | None, Limit | None], tuple[str, ...]]:
    """Return the limit of plane A and B, or the fields without which there is none."""
    method, planes, speed = entries.choice("method"), entries.choice("planes"), _speed(entries, machine)
    lacking = [name for name, value in (("method", method), ("planes", planes)) if value is None]
    if speed is None:
        lacking.append("service_rpm")
    if method == "four_w_n":
        lacking += [code for code in ("journal_a_kg", "journal_b_kg") if entries.number(code) is None]
    else:
        lacking += [] if _mass(entries, machine) else ["rotor_mass_kg"]
        lacking += [] if method is None or entries.number("grade_mm_s") else ["grade_mm_s"]
    if planes == "two" and method == "grade":
        lacking += [code for code in ("to_a_mm", "to_b_mm") if entries.number(code) is None]
        lacking += ["to_a_mm"] if entries.number("to_a_mm") == entries.number("to_b_mm") == 0 else []
    if lacking or speed is None:
        return (None, None), tuple(lacking)
    return (_by_journal(entries, speed) if method == "four_w_n" else _by_grade(entries, machine, speed)), ()


def _by_journal(entries: Entries, speed: float) -> tuple[Limit | None, Limit | None]:
    loads = entries.numbers("journal_a_kg", "journal_b_kg") or (0.0, 0.0)
    if entries.choice("planes") == "one":
        return Limit(None, table.four_w_n(sum(loads), speed), table.FOUR_W_N_ONE_PLANE), None
    both = [Limit(None, table.four_w_n(load, speed), table.FOUR_W_N_SOURCE) for load in loads]
    return both[0], both[1]


def _by_grade(entries: Entries, machine: Machine, speed: float) -> tuple[Limit | None, Limit | None]:
    total = table.permissible(_mass(entries, machine) or 0.0, speed, entries.number("grade_mm_s") or 0.0)
    if entries.choice("planes") == "one":
        return Limit(None, total, table.GRADE_SOURCE), None
    distances = entries.numbers("to_a_mm", "to_b_mm") or (1.0, 1.0)
    in_a, in_b = table.split(total, *distances)
    return Limit(None, in_a, table.SPLIT_SOURCE), Limit(None, in_b, table.SPLIT_SOURCE)


def _found(entries: Entries, trials: Trials, plane: str) -> dict[str, float]:
    """Return what is known of the residual unbalance of a plane, by where it comes from. [g mm]"""
    found = {}
    if (entered := entries.number(f"residual_{plane}")) is not None:
        found["entered"] = entered
    if trials.after is not None:
        found["runs"] = abs(trials.after[PLANES.index(plane)])
    if (tested := residual_test(entries, plane)[0]) is not None:
        found["test"] = tested[0]
    return found


def _notes(entries: Entries, trials: Trials, planes: tuple[str, ...]) -> Iterator[Note]:
    if entries.yes("half_key") is not True:
        unknown = entries.yes("half_key") is None
        yield Note(
            "half_key_unknown" if unknown else "no_half_key",
            "note" if unknown else "warn",
            {},
            table.PRACTICE,
        )
    yield from trials.notes
    for plane in planes:
        yield from residual_test(entries, plane)[1]
        found, initial = _found(entries, trials, plane), entries.number(f"initial_{plane}")
        if len(found) > 1 and max(found.values()) > (1 + table.DIFFERS_BY) * min(found.values()):
            params: dict[str, Param] = {
                "plane": plane.upper(),
                "low": min(found.values()),
                "high": max(found.values()),
            }
            yield Note("residuals_differ", "warn", params, table.PRACTICE)
        if initial is not None and found and max(found.values()) > initial:
            params = {"plane": plane.upper(), "initial": initial, "value": max(found.values())}
            yield Note("grew", "doubt", params)
        if trials.before is not None:
            amount, angle = amount_and_angle(-(trials.after or trials.before)[PLANES.index(plane)])
            params = {"plane": plane.upper(), "value": amount, "angle": angle}
            yield Note("correction", "note", params, table.VECTORS)


def _missing(
    entries: Entries, lacking: tuple[str, ...], planes: tuple[str, ...], trials: Trials
) -> Iterator[Missing]:
    for plane in planes:
        for field in lacking:
            yield Missing(field, f"balance_{plane}")
        if not _found(entries, trials, plane):
            yield Missing(f"residual_{plane}", f"balance_{plane}")
            for code in (f"test_{plane}_weight", f"test_{plane}_bare"):
                if entries.series(f"test_{plane}") and entries.number(code) is None:
                    yield Missing(code, f"balance_{plane}")


def _working(
    entries: Entries, machine: Machine, limits: tuple[Limit | None, Limit | None], trials: Trials
) -> Iterator[Working]:
    mass, speed, grade = _mass(entries, machine), _speed(entries, machine), entries.number("grade_mm_s")
    yield Working("N", "given", speed, "rpm", ENTERED)
    if entries.choice("method") == "grade":
        yield Working("m", "given", mass, "kg", ENTERED)
        yield Working("G", "given", grade, "mm/s", ENTERED)
        if mass and speed and grade:
            e_per = table.specific(speed, grade)
            yield Working("e per", "1000 G / (2 pi N / 60)", e_per, "µm", table.GRADE_SOURCE)
            yield Working("U per", "e per m", e_per * mass, "g mm", table.GRADE_SOURCE)
    formulas = {"grade": "U per L other / L, 0.3 to 0.7 U per", "four_w_n": "6350 W / N"}
    for plane, limit in zip("AB", limits, strict=True):
        if limit is not None:
            formula = formulas[entries.choice("method") or "grade"]
            yield Working(f"U {plane}", formula, limit.high, "g mm", limit.source)
    yield from _working_of_runs(trials)


def _working_of_runs(trials: Trials) -> Iterator[Working]:
    influence = trials.influence
    if influence is None:
        return
    pairs = {"A1": influence.a1}
    if influence.two_planes:
        pairs |= {"B1": influence.b1, "A2": influence.a2, "B2": influence.b2}
    for name, value in pairs.items():
        amount, angle = amount_and_angle(value)
        yield Working(f"alpha {name}", "(V trial - V) / U trial", amount, "mm/s per g mm", table.VECTORS)
        yield Working(f"alpha {name}", "angle", angle, "°", table.VECTORS)
    for name, pair in (("before", trials.before), ("after", trials.after)):
        for plane, value in zip("AB" if influence.two_planes else "A", pair or (), strict=False):
            amount, angle = amount_and_angle(value)
            yield Working(f"U {plane} {name}", "alpha^-1 V", amount, "g mm", table.VECTORS)
            yield Working(f"U {plane} {name}", "angle", angle, "°", table.VECTORS)


def _look(entries: Entries, machine: Machine) -> Answer:
    limits, lacking = limits_of(entries, machine)
    trials = trial_runs(entries, entries.choice("planes"))
    planes = PLANES[:1] if entries.choice("planes") == "one" else PLANES
    results = tuple(
        Result(
            f"balance_{plane}",
            "unbalance",
            max(_found(entries, trials, plane).values(), default=None) if plane in planes else None,
            limit,
            informs=plane not in planes,
        )
        for plane, limit in zip(PLANES, limits, strict=True)
    )
    return Answer(
        results,
        tuple(_notes(entries, trials, planes)),
        tuple(_missing(entries, lacking, planes, trials)),
        tuple(_working(entries, machine, limits, trials)),
    )


SUBJECT = Subject("balance", FIELDS, {"balance_a": "unbalance", "balance_b": "unbalance"}, _look)
