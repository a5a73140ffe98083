"""Load of every bearing against the external thrust, for a chart."""

from __future__ import annotations

from dataclasses import dataclass

from bearings.engineering.arrangement import mount_of
from bearings.engineering.loads import axial_weight, case_loads, net_loads, unloading_thrust
from bearings.engineering.quantities import Stack
from bearings.engineering.sharing import Sharing, sharing_of

# How far beyond its furthest case, or beyond the unloading thrust, a curve is drawn.
BEYOND = 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """Loads at one external thrust; None where the sharing is not known."""

    external_down_n: float
    net_axial_n: float
    carried: bool
    loads: tuple[float | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCurve:
    """A line for every ref (bearings, then guides), and the external thrust that unloads the first one."""

    refs: tuple[str, ...]
    points: tuple[CurvePoint, ...]
    unloading_external_n: float | None
    cases: tuple[tuple[str, float], ...]


def load_curve(stack: Stack, points: int = 41, sharing: Sharing | None = None) -> LoadCurve:
    """Return loads from the greatest up thrust to beyond the greatest down thrust, the weight counted in.

    Without a known rotor weight the external thrust stands for the net one. ``sharing`` is that of the set as mounted
    and warm; without it the set is cold.
    """
    mount = mount_of(stack)
    sharing = sharing_of(mount) if sharing is None else sharing
    weight = axial_weight(stack.motor) or 0.0
    nets = net_loads(stack.motor)
    cases = tuple((str(name), net - weight) for name, net in nets.items())
    freed, _reason = unloading_thrust(mount, sharing)
    unloading = None if freed is None else freed - weight
    low, high = _span([external for _, external in cases], unloading)
    steps = max(points, 2) - 1
    thrusts = {low + (high - low) * step / steps for step in range(steps + 1)}
    if unloading is not None and low <= unloading <= high:
        thrusts.add(unloading)
    curve = []
    for external in sorted(thrusts):
        case = case_loads(mount, sharing, "running", external + weight)
        loads = tuple(load for _, load in case.axial_loads())
        curve.append(
            CurvePoint(
                external_down_n=external, net_axial_n=external + weight, carried=case.carried, loads=loads
            )
        )
    refs = tuple(ref for ref, _ in (*mount.bearings, *mount.guides))
    return LoadCurve(refs=refs, points=tuple(curve), unloading_external_n=unloading, cases=cases)


def _span(externals: list[float], unloading: float | None) -> tuple[float, float]:
    """Range of external thrust that shows every case and the unloading."""
    ends = [0.0, *externals] + ([] if unloading is None else [unloading])
    low, high = min(ends) * BEYOND, max(ends) * BEYOND
    return (low, high) if high > low else (low - 1_000.0, high + 1_000.0)
