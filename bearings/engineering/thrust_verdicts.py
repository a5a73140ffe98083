"""Comparisons of a thrust sheet: pass, fail or not checked. What is unknown is never a pass."""

from __future__ import annotations

from collections.abc import Mapping

from bearings.engineering.thrust_figures import Figure, Verdict, all_missing


def judge_thrust(figures: Mapping[str, Figure], pump_up_thrust_n: float | None) -> tuple[Verdict, ...]:
    """Return down thrust at duty, the worst down thrust, and up thrust, each against the motor's plate."""
    plate = figures["plate_external"]
    return (
        _down("down_duty", figures["down_duty"], plate),
        _down("down_worst", figures["down_worst"], plate),
        _up(figures["up_limit"], pump_up_thrust_n),
    )


def _down(name: str, thrust: Figure, plate: Figure) -> Verdict:
    if thrust.value is not None and thrust.value < 0:
        # Running, the pump lifts its shaft: no rating for down thrust answers that.
        return Verdict(name, "fail", thrust.value, plate.value, None, plate.missing, "upward")
    if thrust.value is None or plate.value is None:
        missing = all_missing(thrust, plate)
        return Verdict(name, "not_checked", thrust.value, plate.value, None, missing, "missing")
    margin = plate.value / thrust.value - 1 if thrust.value > 0 else None
    passed = thrust.value <= plate.value
    return Verdict(name, "pass" if passed else "fail", thrust.value, plate.value, margin)


def _up(limit: Figure, asked: float | None) -> Verdict:
    if asked is None or limit.value is None:
        missing = (("pump_up_thrust_n",) if asked is None else ()) + limit.missing
        return Verdict("up", "not_checked", asked, limit.value, None, missing, "missing", limit.fallback)
    margin = limit.value / asked - 1 if asked > 0 else None
    if asked > limit.value:
        return Verdict("up", "fail", asked, limit.value, margin, fallback=limit.fallback)
    if limit.fallback:
        # A rule of thumb is no rating: it can warn, but it cannot approve.
        return Verdict("up", "not_checked", asked, limit.value, margin, reason="fallback", fallback=True)
    return Verdict("up", "pass", asked, limit.value, margin)
