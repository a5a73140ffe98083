"""Cases and the sharing of their thrust.

A load is a number, None where the sharing cannot be checked, or NaN where the published rules leave it open.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.optimize import brentq

from tests.bearings.oracle.parts import Row, Stack, on_springs

CASES = ("running", "uncoupled", "up_thrust", "maximum")
Loads = dict[str, float | None]
SAME = (
    "bore_mm",
    "outside_diameter_mm",
    "height_mm",
    "contact_angle_deg",
    "dynamic_rating_n",
    "static_rating_n",
)


@dataclass
class Case:
    """One load case with what every bearing carries in it."""

    name: str
    net_n: float
    carried: bool
    loads: Loads
    guides: Loads

    def radial_n(self, ref: str, radial_total_n: float | None) -> float | None:
        """Give the part of the radial load on one bearing: equal among the loaded ones of the stack."""
        loaded = [r for r, f in self.loads.items() if f is not None and not f < 1.0]
        if ref not in loaded:
            return 0.0
        return None if radial_total_n is None else radial_total_n / len(loaded)


def net_thrusts(stack: Stack) -> dict[str, float]:
    """Give the net thrust of every case whose inputs are known."""
    weight = stack.axial_weight_n
    if weight is None:
        return {}
    outside = {
        "running": stack.motor.get("down_thrust_n"),
        "uncoupled": 0.0,
        "up_thrust": None if stack.motor.get("up_thrust_n") is None else -stack.motor["up_thrust_n"],
        "maximum": stack.motor.get("maximum_down_thrust_n"),
    }
    return {name: weight + outside[name] for name in CASES if outside[name] is not None}


def stiffness(bearing: Row) -> float | None:
    """Give K in N/mm^1.5: Palmgren's deflection of a ball, 4.36e-4 Q^(2/3) / (Dw^(1/3) sin a), solved for the force."""
    z, dw, angle = (bearing.get(k) for k in ("ball_count", "ball_diameter_mm", "contact_angle_deg"))
    if z is None or dw is None or angle is None:
        return None
    sine = math.sin(math.radians(angle))
    deflection_at_1_n = 4.36e-4 * (1.0 / (z * sine)) ** (2 / 3) / (dw ** (1 / 3) * sine)
    return float(deflection_at_1_n**-1.5)


class Springs:
    """The angular contact bearings as non-linear springs between a rigid shaft and a rigid mount."""

    def __init__(self, bearings: list[Row]) -> None:
        self.bearings = bearings
        found = [stiffness(b) for b in bearings]
        self.known = True
        if any(k is None for k in found):
            alike = len({tuple(b.get(k) for k in SAME) for b in bearings}) == 1
            flush = all(not b.get("stand_out_um") for b in bearings)
            self.known = (alike and flush) or len(bearings) == 1
            found = [1.0] * len(bearings)  # any number will do: the forces do not depend on it
        self.k = [float(k or 0) for k in found]
        self.overlaps = [
            ((b.get("pair_preload_n") or 0.0) / k) ** (2 / 3) + (b.get("stand_out_um") or 0.0) / 1000.0
            for b, k in zip(bearings, self.k, strict=True)
        ]

    def forces(self, x: float) -> list[float]:
        """Give the force of each bearing with the shaft x mm down."""
        return [
            k * max(0.0, b["sign"] * x + o) ** 1.5
            for b, k, o in zip(self.bearings, self.k, self.overlaps, strict=True)
        ]

    def net(self, x: float) -> float:
        """Give the net thrust that holds the shaft x mm down."""
        return sum(b["sign"] * f for b, f in zip(self.bearings, self.forces(x), strict=True))

    def settle(self, net_n: float) -> list[float]:
        """Find the displacement that balances a thrust, and give the forces there."""
        reach = 1.0
        while not (self.net(-reach) <= net_n <= self.net(reach)):
            reach *= 4.0
            if reach > 1e12:
                return [0.0] * len(self.bearings)
        x = brentq(
            lambda at: self.net(at) - net_n, -reach, reach, xtol=1e-17 * reach, rtol=1e-15, maxiter=2000
        )
        return self.forces(x)


def spring_held(stack: Stack) -> tuple[Row, list[Row]] | None:
    """Give a thrust roller bearing on springs with the guides that hold it, or might."""
    for roller in stack.rollers:
        against = stack.guides_for(-roller["sign"])
        holding = [g for g in against if not g.get("end_play_um")]
        if on_springs(roller) and holding:
            return roller, holding
    return None


def one_way_loads(stack: Stack, net_n: float) -> Loads:
    """Share a thrust that the one-way bearings carry."""
    loads: Loads = {b["ref"]: 0.0 for b in stack.bearings}
    if stack.deep:
        share = None if net_n else math.nan
        return {b["ref"]: (0.0 if b["type"] == "cylindrical_roller" else share) for b in stack.bearings}
    sign = (net_n > 0) - (net_n < 0)
    if not stack.rollers:
        springs = Springs(stack.angular)
        forces = springs.settle(net_n) if springs.known else [None] * len(stack.angular)
        return loads | {b["ref"]: f for b, f in zip(stack.angular, forces, strict=True)}
    facing = stack.facing(sign)
    preloaded = any(b.get("pair_preload_n") or (b.get("stand_out_um") or 0) > 0 for b in stack.angular)
    if len(facing) > 1 and any(b in stack.rollers for b in facing):
        return loads | {b["ref"]: None for b in stack.one_way}
    if len(facing) > 1 or preloaded:
        return loads | {b["ref"]: math.nan for b in stack.one_way}
    return loads | {b["ref"]: abs(net_n) for b in facing}


def solve(stack: Stack, name: str, net_n: float) -> Case:
    """Share the thrust of one case."""
    idle: Loads = {b["ref"]: 0.0 for b in stack.bearings}
    guides: Loads = {g["ref"]: 0.0 for g in stack.guides}
    held = spring_held(stack)
    if held and (len(stack.one_way) > 1 or stack.deep or any(g.get("end_play_um") is None for g in held[1])):
        return Case(name, net_n, True, dict.fromkeys(idle, math.nan), dict.fromkeys(guides, math.nan))
    if held and held[0].get("spring_force_n") is None:
        return Case(name, net_n, True, dict.fromkeys(idle), dict.fromkeys(guides))
    if held:
        roller, holding = held
        along = net_n * roller["sign"]
        load = max(along, roller["spring_force_n"])
        part = (load - along) / len(holding)
        return Case(
            name, net_n, True, idle | {roller["ref"]: load}, guides | {g["ref"]: part for g in holding}
        )
    sign = (net_n > 0) - (net_n < 0)
    if sign == 0 or stack.facing(sign):
        return Case(name, net_n, True, one_way_loads(stack, net_n), guides)
    takers = [b["ref"] for b in stack.deep] + [g["ref"] for g in stack.guides_for(sign)]
    if not takers:
        return Case(name, net_n, False, idle, guides)
    part = abs(net_n) / len(takers)
    return Case(
        name,
        net_n,
        True,
        {ref: part if ref in takers else 0.0 for ref in idle},
        {ref: part if ref in takers else 0.0 for ref in guides},
    )


def unloading_thrust(stack: Stack) -> float | None:
    """Give the down thrust that lifts the first bearing that carries up off its load."""
    if not stack.facing(1) or not stack.facing(-1):
        return None
    if stack.rollers:
        return math.nan
    springs = Springs(stack.angular)
    if not springs.known:
        return None
    upward = [i for i, b in enumerate(springs.bearings) if b["sign"] < 0]
    at_rest = springs.settle(0.0)
    if any(at_rest[i] < 1.0 for i in upward):
        return 0.0
    if stack.deep:
        return None
    return max(0.0, springs.net(min(springs.overlaps[i] for i in upward)))
