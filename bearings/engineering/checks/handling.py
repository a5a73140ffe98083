"""Are the parts the right ones, in an order that works."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bearings.engineering.arrangement import Placed
from bearings.engineering.judged import Figures
from bearings.engineering.loads import StackSolver
from bearings.engineering.quantities import Part, item_refs
from bearings.engineering.results import Finding
from bearings.engineering.tables import sources

# What can keep the shaft's thrust on the topmost inner ring.
_HOLDING = {"shoulder", "snap_ring", "lock_nut"}


def _tandems(figures: Figures) -> list[list[Placed]]:
    """Bearings that share thrust in one direction, from the top."""
    one_way = [p for p in figures.placed if p.sign]
    groups = [[p for p in one_way if p.sign == sign] for sign in (1, -1)]
    return [group for group in groups if len(group) > 1]


def _first_that_differs(group: list[Placed], field: str) -> tuple[Placed, Any, Any] | None:
    known = [(p, getattr(p.bearing, field)) for p in group if getattr(p.bearing, field) is not None]
    for p, value in known[1:]:
        if value != known[0][1]:
            return p, known[0][1], value
    return None


def mixed_set(figures: Figures) -> Iterator[Finding]:
    """Stop: bearings that share thrust are not the same bearing; another set number alone warns."""
    for group in _tandems(figures):
        for field in ("designation", "contact_angle_deg", "maker", "variant", "set_id"):
            differing = _first_that_differs(group, field)
            if differing:
                p, first, other = differing
                yield Finding(
                    code="mixed-set",
                    severity="warn" if field == "set_id" else "stop",
                    ref=p.ref,
                    source=sources.COMMON_PRACTICE,
                    params={"field": field, "first": first, "other": other, "refs": [q.ref for q in group]},
                )
                break


def envelope(figures: Figures) -> Iterator[Finding]:
    """Stop: bearings of one tandem differ in bore or outside diameter."""
    for group in _tandems(figures):
        for field in ("bore_mm", "outside_diameter_mm"):
            differing = _first_that_differs(group, field)
            if differing:
                p, first, other = differing
                yield Finding(
                    code="envelope",
                    severity="stop",
                    ref=p.ref,
                    value=other,
                    limit=first,
                    unit="mm",
                    source=sources.COMMON_PRACTICE,
                    params={"field": field, "refs": [q.ref for q in group]},
                )
                break


def not_a_matched_arrangement(figures: Figures) -> Iterator[Finding]:
    """Warn: the direction changes more than once from top to bottom."""
    if figures.arrangement.changes > 1:
        yield Finding(
            code="not-a-matched-arrangement",
            severity="warn",
            value=float(figures.arrangement.changes),
            limit=1.0,
            unit="1",
            source=sources.COMMON_PRACTICE,
        )


def stand_out_mismatch(figures: Figures) -> Iterator[Finding]:
    """Warn: tandem neighbours stand out unequally, so one takes more than its share."""
    limit = figures.stack.policy.tandem_stand_out_um
    one_way = [p for p in figures.placed if p.sign]
    for upper, lower in zip(one_way, one_way[1:], strict=False):
        first, second = upper.bearing.stand_out_um, lower.bearing.stand_out_um
        if upper.sign != lower.sign or first is None or second is None:
            continue
        if abs(first - second) > limit:
            yield Finding(
                code="stand-out-mismatch",
                severity="warn",
                ref=lower.ref,
                value=abs(first - second),
                limit=limit,
                unit="µm",
                source=f"{sources.COMMON_PRACTICE}; {sources.POLICY}",
                params={"other_ref": upper.ref},
            )


def preload_not_proven(figures: Figures) -> Iterator[Finding]:
    """Note: a preload is counted on, and nothing on the list clamps the stack."""
    preloaded = [p.ref for p in figures.placed if p.bearing.pair_preload_n]
    clamped = any(isinstance(item, Part) and item.kind == "lock_nut" for item in figures.stack.items)
    if not preloaded or clamped:
        return
    running = figures.case("running")
    without: dict[str, float | None] = {}
    if running is not None and running.carried and not running.problem:
        loose = StackSolver(figures.stack, figures.placed, with_preload=False).solve("running", running.net_axial_n)
        without = {load.ref: load.axial_n for load in loose.bearings}
    yield Finding(
        code="preload-not-proven",
        severity="note",
        ref=preloaded[0],
        source=sources.COMMON_PRACTICE,
        params={"refs": preloaded, "loads_without_n": without},
    )


def spacer_pair(figures: Figures) -> Iterator[Finding]:
    """Warn: between two bearings a spacer stands on one ring only, or the two are not equally high."""
    refs = item_refs(figures.stack.items)
    for upper, lower in zip(figures.placed, figures.placed[1:], strict=False):
        parts = [
            (refs[i], figures.stack.items[i])
            for i in range(upper.index + 1, lower.index)
            if getattr(figures.stack.items[i], "kind", "") in {"spacer", "shim"}
        ]
        finding = _judge_spacers(figures, [(ref, p) for ref, p in parts if isinstance(p, Part)])
        if finding:
            yield finding


def _judge_spacers(figures: Figures, parts: list[tuple[str, Part]]) -> Finding | None:
    if not parts:
        return None
    rings = {part.ring for _, part in parts}
    if None in rings:
        figures.miss(f"spacer_pair {parts[0][0]}", "fields-unknown", fields=["ring"], ref=parts[0][0])
        return None
    limit = figures.stack.policy.spacer_pair_um
    finding = {"code": "spacer-pair", "severity": "warn", "ref": parts[0][0], "source": sources.COMMON_PRACTICE}
    if "both" not in rings and len(rings) == 1:
        return Finding(**finding, params={"one_ring": next(iter(rings))})  # type: ignore[arg-type]
    inner = _ring_height(parts, "inner")
    outer = _ring_height(parts, "outer")
    if inner is None or outer is None:
        figures.miss(f"spacer_pair {parts[0][0]}", "fields-unknown", fields=["inner_height_mm", "outer_height_mm"])
        return None
    # Micrometres rounded to a thousandth, so that a difference equal to the limit is not over it by rounding.
    difference = round(abs(inner - outer) * 1000, 3)
    if difference <= limit:
        return None
    return Finding(**finding, value=difference, limit=limit, unit="µm", params={"one_ring": None})  # type: ignore[arg-type]


def _ring_height(parts: list[tuple[str, Part]], ring: str) -> float | None:
    total = 0.0
    for _, part in parts:
        if part.ring not in (ring, "both"):
            continue
        own = part.inner_height_mm if ring == "inner" else part.outer_height_mm
        height = part.height_mm if own is None else own
        if height is None:
            return None
        total += height
    return total


def thrust_through_snap_ring(figures: Figures) -> Iterator[Finding]:
    """Warn: nothing but a snap ring holds the mount above the bearing that takes the down thrust."""
    down = [p for p in figures.placed if p.sign > 0]
    if not down:
        return
    refs = item_refs(figures.stack.items)
    above = [
        (refs[i], item)
        for i, item in enumerate(figures.stack.items[: down[0].index])
        if isinstance(item, Part) and item.kind in _HOLDING and item.ring != "outer"
    ]
    if not above:
        yield Finding(
            code="thrust-through-snap-ring",
            severity="note",
            ref=down[0].ref,
            source=sources.COMMON_PRACTICE,
            params={"recorded": False},
        )
    elif all(part.kind == "snap_ring" for _, part in above):
        yield Finding(
            code="thrust-through-snap-ring",
            severity="warn",
            ref=above[0][0],
            source=sources.COMMON_PRACTICE,
            params={"recorded": True, "bearing": down[0].ref},
        )


def no_radial_guide(figures: Figures) -> Iterator[Finding]:
    """Warn: spherical roller thrust bearings and nothing that guides the shaft."""
    others = any(p.bearing.type != "spherical_roller_thrust" for p in figures.placed)
    if figures.solver.rollers and not others and not figures.stack.guides:
        yield Finding(
            code="no-radial-guide",
            severity="warn",
            ref=figures.solver.rollers[0].ref,
            source=sources.COMMON_PRACTICE,
        )
