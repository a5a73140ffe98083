"""Speed: the printed speeds of everything that turns, times the set factor, against the motor's speeds."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Final, NamedTuple

from bearings.engineering.evidence import Evidence
from bearings.engineering.kinematics import SOURCE as PASSING_SOURCE
from bearings.engineering.kinematics import passing_orders
from bearings.engineering.load_gaps import Missing
from bearings.engineering.quantities import Bearing
from bearings.engineering.results import Finding, SpeedName, WorkingLine, params
from bearings.engineering.situation import Situation
from bearings.engineering.speed import (
    RATING_SOURCE,
    SET_FACTOR_SOURCE,
    bearing_set_factor,
    falls_short,
    permissible,
    rated_speed,
    set_factor,
)
from bearings.engineering.subjects.subject import SHOP_POLICY, Look, Subject, reader


class _Row(NamedTuple):
    """One bearing that turns: its speed rating, what it comes to in this set, its limiting speed."""

    ref: str
    greased: bool
    rating_rpm: float | None
    basis: str | None
    factor: float
    allowed_rpm: float | None
    reverse_rpm: float | None


class _Asked(NamedTuple):
    """One speed of the motor; ``code`` is the finding that weighs it."""

    name: SpeedName
    speed_rpm: float
    code: str = "speed-margin"
    part: int | None = None


def _turning(situation: Situation) -> list[tuple[str, Bearing]]:
    return [*situation.mount.bearings, *((ref, guide.bearing) for ref, guide in situation.mount.guides)]


def _rows(situation: Situation) -> list[_Row]:
    factors, mount, method = (
        situation.stack.policy.set_factors,
        situation.mount,
        situation.stack.lubrication.method,
    )
    elsewhere = dict(mount.guides)
    of_the_set = set_factor(len(mount.down), len(mount.up), factors)
    if situation.unfaced:
        # Whatever the faces are, a set never runs faster than its bearings alone: a stop below that stands.
        of_the_set = max(of_the_set, factors.single)
    rows = []
    for ref, one in _turning(situation):
        in_stack = not ref.startswith("g") or one.on_springs
        factor = bearing_set_factor(one, of_the_set, factors) if in_stack else factors.single
        own = elsewhere[ref].method(method) if ref in elsewhere else method
        greased, rating = own == "grease", rated_speed(one, own)
        if rating is None or rating[1] == "reference":
            # With grease and no speed for it, the limiting speed still bounds what can be: a stop above it stands.
            limiting = one.limiting_speed_rpm
            bound = None if limiting is None else permissible(limiting, factor)
            rows.append(_Row(ref, greased, None, "limiting" if limiting else None, factor, bound, limiting))
            continue
        reverse = one.limiting_speed_rpm if one.limiting_speed_rpm is not None else rating[0]
        rows.append(_Row(ref, greased, rating[0], rating[1], factor, permissible(rating[0], factor), reverse))
    return rows


def _asked(situation: Situation) -> list[_Asked]:
    """Return the speeds that everything must bear for long: the motor's own, then a faster part of the duty."""
    motor = situation.stack.motor
    named: tuple[tuple[SpeedName, float | None], ...] = (
        ("rated", motor.rated_speed_rpm),
        ("synchronous", motor.synchronous_speed_rpm),
        ("maximum", motor.maximum_speed_rpm),
    )
    asked = [_Asked(name, speed) for name, speed in named if speed is not None]
    fastest = max((one.speed_rpm for one in asked), default=0.0)
    parts = [(point.speed_rpm, n) for n, point in enumerate(motor.duty or (), 1) if point.share > 0]
    if parts and max(parts)[0] > fastest:
        speed, number = max(parts, key=lambda part: part[0])
        asked.append(_Asked("rated", speed, "duty-speed", number))
    return asked


def _margin_findings(situation: Situation, rows: list[_Row]) -> Iterator[Finding]:
    """Stop below the motor's speed, warn below the shop's margin: once for a severity, with the worst speed.

    A speed that somebody entered is named before one that is only taken from a range.
    """
    wanted = max(situation.stack.policy.minimum_speed_margin, 0.0)
    for code in ("speed-margin", "duty-speed"):
        asked = [one for one in _asked(situation) if one.code == code]
        for severity in ("stop", "warn"):
            worst: tuple[float, _Row, _Asked] | None = None
            short: set[str] = set()
            for one in asked:
                for row in rows:
                    if row.allowed_rpm is None:
                        continue
                    exceeded = falls_short(row.allowed_rpm, one.speed_rpm, 0.0)
                    below = (
                        exceeded
                        if severity == "stop"
                        else falls_short(row.allowed_rpm, one.speed_rpm, wanted)
                    )
                    if not below or (severity == "warn" and exceeded):
                        continue
                    short.add(row.ref)
                    margin = row.allowed_rpm / one.speed_rpm - 1
                    rank = _is_entered(situation, one), -margin
                    if worst is None or rank > (_is_entered(situation, worst[2]), -worst[0]):
                        worst = margin, row, one
            if worst is not None:
                refs = tuple(row.ref for row in rows if row.ref in short)
                yield _margin_finding(situation, code, severity, worst, refs)
            if severity == "stop" and worst is not None:
                break


def _is_entered(situation: Situation, asked: _Asked) -> bool:
    motor = situation.entered.motor
    return asked.part is not None or getattr(motor, f"{asked.name}_speed_rpm") is not None


def _margin_finding(
    situation: Situation, code: str, severity: str, worst: tuple[float, _Row, _Asked], refs: tuple[str, ...]
) -> Finding:
    margin, row, asked = worst
    return Finding(
        code=code,
        severity="stop" if severity == "stop" else "warn",
        ref=row.ref,
        refs=(row.ref, *(ref for ref in refs if ref != row.ref)),
        value=margin,
        limit=situation.stack.policy.minimum_speed_margin,
        unit="1",
        source=f"{RATING_SOURCE}; set factor: {SET_FACTOR_SOURCE}",
        params=params(
            speed=asked.name,
            speed_rpm=asked.speed_rpm,
            permissible_rpm=row.allowed_rpm,
            basis=row.basis,
            set_factor=row.factor,
            rating_rpm=row.rating_rpm,
            part=asked.part,
        ),
    )


def _reverse(situation: Situation, rows: list[_Row]) -> Iterator[Finding]:
    """Stop where a bearing's own speed is below that of backspin; a ratchet leaves nothing to judge but itself."""
    motor = situation.stack.motor
    if motor.non_reverse is True:
        yield Finding(
            code="speed-margin",
            severity="note",
            unit="1",
            source=SHOP_POLICY,
            params=params(speed="reverse", speed_rpm=motor.reverse_speed_rpm, non_reverse=True),
        )
        return
    speed = motor.reverse_speed_rpm
    known = [(row.reverse_rpm, row.ref) for row in rows if row.reverse_rpm is not None]
    if speed is None or not known or min(known)[0] >= speed:
        return
    lowest, ref = min(known, key=lambda pair: pair[0])
    yield Finding(
        code="speed-margin",
        severity="stop",
        ref=ref,
        value=lowest / speed - 1,
        limit=0.0,
        unit="1",
        source=RATING_SOURCE,
        params=params(speed="reverse", speed_rpm=speed, permissible_rpm=lowest),
    )


def _not_rated(rows: list[_Row]) -> Iterator[Finding]:
    """Warn of the bearings that have no usable speed, once for all."""
    unrated = [row for row in rows if row.rating_rpm is None]
    refs = tuple(row.ref for row in unrated)
    if refs:
        yield Finding(
            code="speed-not-rated",
            severity="warn",
            ref=refs[0],
            refs=refs,
            unit="rpm",
            source=SHOP_POLICY,
            params=params(method="grease" if all(row.greased for row in unrated) else None),
        )


def _missing(situation: Situation, rows: list[_Row]) -> tuple[Missing, ...]:
    return (
        *situation.speed_gaps,
        *situation.face_gaps,
        *(
            Missing("grease_speed_rpm" if row.greased else "limiting_speed_rpm", row.ref)
            for row in rows
            if row.rating_rpm is None
        ),
    )


def _least_margin(situation: Situation, rows: list[_Row]) -> float:
    fastest = max((one.speed_rpm for one in _asked(situation)), default=None)
    margins = [row.allowed_rpm / fastest - 1 for row in rows if fastest and row.allowed_rpm is not None]
    reverse = situation.stack.motor.reverse_speed_rpm
    if reverse is not None and situation.stack.motor.non_reverse is not True:
        margins += [row.reverse_rpm / reverse - 1 for row in rows if row.reverse_rpm is not None]
    return min(margins, default=inf)


def _look(situation: Situation) -> Look:
    rows = _rows(situation)
    findings = (
        *_margin_findings(situation, rows),
        *_reverse(situation, rows),
        *_not_rated(rows),
    )
    return Look(findings, _missing(situation, rows), _least_margin(situation, rows))


def _speed(evidence: Evidence) -> Iterator[WorkingLine]:
    for row in evidence.speed.bearings:
        ref = row.ref
        basis = row.basis or "-"
        yield WorkingLine("speed", ref, "rating", basis, row.rating_rpm, "rpm", RATING_SOURCE)
        yield WorkingLine("speed", ref, "f", "table of sets", row.set_factor, "1", SET_FACTOR_SOURCE)
        yield WorkingLine("speed", ref, "n", "n = rating f", row.permissible_rpm, "rpm", SET_FACTOR_SOURCE)
    for margin in evidence.speed.margins:
        formula = "margin = permissible / n - 1"
        yield WorkingLine("speed", None, f"margin {margin.speed}", formula, margin.margin, "1", RATING_SOURCE)


_ORDERS: Final = {
    "cage": "(1 - g)/2, g = Dw cos(alpha)/dm",
    "outer": "Z (1 - g)/2",
    "inner": "Z (1 + g)/2",
    "ball": "dm/Dw (1 - g^2)/2",
}


def _passing(evidence: Evidence) -> Iterator[WorkingLine]:
    """Yield the orders at which parts pass each other, for whoever reads a vibration spectrum."""
    for ref, one in evidence.bearing.items():
        orders = passing_orders(one)
        if orders is None:
            continue
        for symbol, value in orders._asdict().items():
            yield WorkingLine("passing", ref, symbol, _ORDERS[symbol], value, "x shaft", PASSING_SOURCE)


def _working(evidence: Evidence) -> Iterator[WorkingLine]:
    yield from _speed(evidence)
    yield from _passing(evidence)


# Of the choices the first is the milder one: across the line, and a ratchet.
FASTER_IS_WORSE: Final = dict.fromkeys(
    (
        "motor.synchronous_speed_rpm",
        "motor.maximum_speed_rpm",
        "motor.reverse_speed_rpm",
        "motor.fixed_speed",
        "motor.non_reverse",
    ),
    False,
)

SUBJECT = Subject(
    name="speed",
    decides=True,
    codes=("speed-margin", "speed-not-rated", "duty-speed"),
    # How slowly a drive runs changes no margin over its highest speed.
    reads=reader(*FASTER_IS_WORSE, "lubrication.method"),
    applies=lambda _situation: True,
    look=_look,
    one_way=FASTER_IS_WORSE,
    working=_working,
    limits=frozenset({"minimum_speed_margin", "set_factors"}),
)
