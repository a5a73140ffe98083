"""The axial balance of angular contact bearings on one rigid shaft and mount."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from bearings.engineering.stiffness import Row

Grouped = list[tuple[int, float, float]]


def _group(rows: Sequence[Row]) -> Grouped:
    """Add up the stiffness of like rows, so that a matched set costs one term."""
    groups: dict[tuple[int, float], float] = {}
    for row in rows:
        key = (row.sign, row.overlap_mm)
        groups[key] = groups.get(key, 0.0) + row.stiffness
    return [(sign, overlap, stiffness) for (sign, overlap), stiffness in groups.items()]


def _balance(groups: Grouped, x: float, net_n: float) -> tuple[float, float]:
    """Return the unbalanced force and its slope at a displacement."""
    force, slope = -net_n, 0.0
    for sign, overlap, stiffness in groups:
        approach = sign * x + overlap
        if approach > 0:
            part = stiffness * sqrt(approach)
            force += sign * part * approach
            slope += 1.5 * part
    return force, slope


def _bracket(groups: Grouped, net_n: float) -> tuple[float, float] | None:
    """Return displacements below and above the balance, or None for a free play without load."""
    contacts = [-sign * overlap for sign, overlap, _ in groups]
    low, high = min(contacts), max(contacts)
    if net_n == 0:
        down = [c for c, g in zip(contacts, groups, strict=True) if g[0] > 0]
        up = [c for c, g in zip(contacts, groups, strict=True) if g[0] < 0]
        if not down or not up or min(down) >= max(up):
            return None
    step = (abs(net_n) / min(g[2] for g in groups)) ** (2 / 3) + (high - low) or 1e-6
    if net_n > 0 or any(g[0] > 0 for g in groups):
        high += step
    if net_n < 0 or any(g[0] < 0 for g in groups):
        low -= step
    return low, high


def share(rows: Sequence[Row], net_n: float) -> tuple[float, ...]:
    """Return the axial load of each row under a net load that something among them carries. [N]

    Parameters
    ----------
    rows : sequence of Row
        The bearings.
    net_n : float
        Net axial load, down positive. [N]

    One displacement x; each bearing's approach is max(0, s x + overlap) and its force K approach^1.5.
    The balance rises with x, so Newton's steps are kept inside a bracket. Source: equilibrium of forces.
    """
    groups = _group(rows)
    bracket = _bracket(groups, net_n) if groups else None
    if bracket is None:
        return tuple(0.0 for _ in rows)
    low, high = bracket
    x = 0.5 * (low + high)
    tolerance = 1e-13 * max(abs(net_n), 1e-3)
    for _ in range(200):
        force, slope = _balance(groups, x, net_n)
        if abs(force) <= tolerance:
            break
        if force > 0:
            high = x
        else:
            low = x
        following = x - force / slope if slope > 0 else 0.5 * (low + high)
        if not low < following < high:
            following = 0.5 * (low + high)
        if following == x:
            break
        x = following
    return tuple(_force(row, x) for row in rows)


def _force(row: Row, x: float) -> float:
    approach = row.sign * x + row.overlap_mm
    return row.stiffness * approach * sqrt(approach) if approach > 0 else 0.0


def unloading_thrust(rows: Sequence[Row]) -> float | None:
    """Return the net down thrust at which the first bearing that carries up lets go; None without both sides. [N]

    Zero when one is unloaded already at rest. Two equal bearings with preload F let go at 2.83 F.
    """
    up = [row for row in rows if row.sign < 0]
    if not up or len(up) == len(rows):
        return None
    at_rest = share(rows, 0.0)
    if any(load < 1.0 for row, load in zip(rows, at_rest, strict=True) if row.sign < 0):
        return 0.0
    x = min(row.overlap_mm for row in up)
    return max(0.0, sum(row.sign * _force(row, x) for row in rows))
