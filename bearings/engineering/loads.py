"""Load cases, and what each bearing of the stack and each guide carries in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bearings.engineering.arrangement import Placed
from bearings.engineering.quantities import MotorDuty, Stack
from bearings.engineering.sharing import share, unloading_thrust
from bearings.engineering.stiffness import Rows, rows_of

CaseName = Literal["running", "uncoupled", "up_thrust", "maximum"]
UNLOADED_BELOW_N = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingLoad:
    """Axial load of one bearing in a case; None when the sharing is not known. [N]"""

    ref: str
    axial_n: float | None

    @property
    def unloaded(self) -> bool | None:
        """Whether it carries less than 1 N."""
        return None if self.axial_n is None else self.axial_n < UNLOADED_BELOW_N


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One load case. ``carried`` is False when nothing carries its direction."""

    name: CaseName
    net_axial_n: float
    carried: bool
    bearings: tuple[BearingLoad, ...]
    guides: tuple[BearingLoad, ...]
    problem: str | None = None

    def axial_of(self, ref: str) -> float | None:
        """Return the axial load of a bearing or guide by its ref. [N]"""
        for load in self.bearings + self.guides:
            if load.ref == ref:
                return load.axial_n
        return None


def net_loads(motor: MotorDuty) -> tuple[dict[CaseName, float], dict[CaseName, tuple[str, ...]]]:
    """Return the net axial load of each case, and for the others the fields that are missing.

    A horizontal rotor's weight has no axial part, so it need not be known.
    """
    vertical = motor.mounting == "vertical"
    weight = motor.rotor_weight_n if vertical else 0.0
    external: dict[CaseName, tuple[str | None, float | None, float]] = {
        "running": ("down_thrust_n", motor.down_thrust_n, 1.0),
        "uncoupled": (None, 0.0, 1.0),
        "up_thrust": ("up_thrust_n", motor.up_thrust_n, -1.0),
        "maximum": ("maximum_down_thrust_n", motor.maximum_down_thrust_n, 1.0),
    }
    nets: dict[CaseName, float] = {}
    missing: dict[CaseName, tuple[str, ...]] = {}
    for name, (field, value, sign) in external.items():
        if weight is None or value is None:
            lacking = [field] if value is None and field else []
            missing[name] = tuple(lacking + (["rotor_weight_n"] if weight is None else []))
        else:
            nets[name] = weight + sign * value
    return nets, missing


class StackSolver:
    """Shares a net axial load among the bearings of one stack; the stiffness is worked out once."""

    def __init__(self, stack: Stack, placed: tuple[Placed, ...], *, with_preload: bool = True) -> None:
        self.placed = placed
        self.guides = tuple((f"g{n}", guide) for n, guide in enumerate(stack.guides, 1))
        self.angular = [p for p in placed if p.bearing.type == "angular_contact_ball" and p.sign]
        self.rollers = [p for p in placed if p.bearing.type == "spherical_roller_thrust" and p.sign]
        self.deep_groove = [p for p in placed if p.bearing.type == "deep_groove_ball"]
        self.rows: Rows = rows_of(self.angular, with_preload=with_preload)
        self.preloaded = any(row.overlap_mm for row in self.rows.rows)

    def solve(self, name: CaseName, net_n: float) -> Case:
        """Return the loads of one case."""
        loads: dict[str, float | None] = dict.fromkeys([p.ref for p in self.placed], 0.0)
        loads.update(dict.fromkeys([ref for ref, _ in self.guides], 0.0))
        carried, problem = self._share(net_n, loads)
        if problem:
            loads = dict.fromkeys(loads, None)
        return Case(
            name=name,
            net_axial_n=net_n,
            carried=carried,
            bearings=tuple(BearingLoad(ref=p.ref, axial_n=loads[p.ref]) for p in self.placed),
            guides=tuple(BearingLoad(ref=ref, axial_n=loads[ref]) for ref, _ in self.guides),
            problem=problem,
        )

    def _guides_that_carry(self, sign: int) -> list[str]:
        accepted = {"both", "down" if sign > 0 else "up"}
        return [ref for ref, guide in self.guides if guide.carries in accepted]

    def _holders(self, sign: int) -> list[str]:
        """Guides without end play that carry a direction."""
        carrying = set(self._guides_that_carry(sign))
        return [ref for ref, guide in self.guides if ref in carrying and not guide.end_play_um]

    def _share(self, net_n: float, loads: dict[str, float | None]) -> tuple[bool, str | None]:
        sign = (net_n > 0) - (net_n < 0)
        one_way = [p for p in self.angular + self.rollers if p.sign == sign]
        takers = [p.ref for p in self.deep_groove] + self._guides_that_carry(sign)
        if sign and not one_way and not takers:
            return False, None
        sprung = [p for p in self.rollers if p.bearing.spring_force_n]
        if sprung and self._opposed_to(sprung[0]):
            return True, self._share_on_springs(sprung[0], net_n, loads)
        if sign and not one_way:
            loads.update(dict.fromkeys(takers, abs(net_n) / len(takers)))
            return True, None
        if self.deep_groove and (one_way or self.preloaded):
            return True, "deep-groove-beside-one-way"
        if self.rollers:
            return True, self._share_with_rollers(one_way, net_n, loads)
        return True, self._share_angular(net_n, loads)

    def _opposed_to(self, roller: Placed) -> bool:
        """Whether something stands against a sprung roller bearing at rest: a guide or a bearing of the stack."""
        against = any(p.sign == -roller.sign for p in self.angular + self.rollers)
        return against or bool(self._holders(-roller.sign))

    def _share_on_springs(self, roller: Placed, net_n: float, loads: dict[str, float | None]) -> str | None:
        others = [p for p in self.angular + self.rollers if p is not roller]
        holders = [p.ref for p in others if p.sign == -roller.sign]
        if not holders:
            holders = self._holders(-roller.sign)
        elif len(holders) > 1 or self._holders(-roller.sign) or self.preloaded:
            return "springs-with-several-opposed"
        if any(p.sign == roller.sign for p in others) or self.deep_groove:
            return "roller-beside-others"
        own = roller.sign * net_n
        carried = max(own, roller.bearing.spring_force_n or 0.0)
        loads[roller.ref] = carried
        loads.update(dict.fromkeys(holders, (carried - own) / len(holders)))
        return None

    def _share_with_rollers(
        self, one_way: list[Placed], net_n: float, loads: dict[str, float | None]
    ) -> str | None:
        if self.preloaded:
            return "preload-against-roller"
        if any(p in self.rollers for p in one_way):
            if len(one_way) > 1:
                return "roller-beside-others"
            loads[one_way[0].ref] = abs(net_n)
            return None
        return self._share_angular(net_n, loads)

    def _share_angular(self, net_n: float, loads: dict[str, float | None]) -> str | None:
        if self.rows.problem:
            return self.rows.problem
        for row, load in zip(self.rows.rows, share(self.rows.rows, net_n), strict=True):
            loads[row.ref] = load
        return None

    def unloading_thrust_n(self) -> tuple[float | None, str | None]:
        """Return the unloading thrust, and why it is not known when both directions are carried. [N]"""
        signs = {p.sign for p in self.angular + self.rollers}
        if not {1, -1} <= signs:
            return None, None
        if self.deep_groove:
            return None, "deep-groove-beside-one-way"
        if not self.rollers:
            return (None, self.rows.problem) if self.rows.problem else (unloading_thrust(self.rows.rows), None)
        return self._unloading_with_rollers()

    def _unloading_with_rollers(self) -> tuple[float | None, str | None]:
        rest = self.solve("running", 0.0)
        if rest.problem:
            return None, rest.problem
        up = [p.ref for p in self.angular + self.rollers if p.sign < 0]
        loads = [rest.axial_of(ref) or 0.0 for ref in up]
        if any(load < UNLOADED_BELOW_N for load in loads):
            return 0.0, None
        # Only one spring-seated bearing is left here; the other side lets go when the thrust equals the spring.
        return min(loads), None
