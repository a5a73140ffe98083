"""How stiff each angular contact bearing is, and how far it overlaps at rest."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import radians, sin

from bearings.engineering.arrangement import Placed
from bearings.engineering.quantities import Bearing


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One angular contact bearing for the solver: direction, stiffness [N/mm^1.5] and overlap [mm]."""

    ref: str
    sign: int
    stiffness: float
    overlap_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """The angular contact bearings of a stack, or why their sharing cannot be known."""

    rows: tuple[Row, ...] = ()
    assumed_equal: bool = False
    problem: str | None = None
    problem_refs: tuple[str, ...] = ()


@lru_cache(maxsize=512)
def compliance(ball_count: int, ball_diameter_mm: float, contact_angle_deg: float) -> float:
    """Return c in delta = c F^(2/3) of one bearing at constant contact angle. [mm/N^(2/3)]

    Parameters
    ----------
    ball_count : int
        Balls. [-]
    ball_diameter_mm : float
        Ball diameter. [mm]
    contact_angle_deg : float
        Contact angle. [°]

    Source: Palmgren, delta = 4.36e-4 Q^(2/3) / (Dw^(1/3) sin alpha); from memory, unverified.
    """
    sine = sin(radians(contact_angle_deg))
    return float(4.36e-4 / (ball_diameter_mm ** (1 / 3) * sine * (ball_count * sine) ** (2 / 3)))


def _own_compliance(bearing: Bearing) -> float | None:
    if bearing.ball_count is None or bearing.ball_diameter_mm is None or bearing.contact_angle_deg is None:
        return None
    return compliance(bearing.ball_count, bearing.ball_diameter_mm, bearing.contact_angle_deg)


def _same_dimensions(first: Bearing, second: Bearing) -> bool:
    names = (
        "bore_mm",
        "outside_diameter_mm",
        "height_mm",
        "contact_angle_deg",
        "dynamic_rating_n",
        "static_rating_n",
        "ball_count",
        "ball_diameter_mm",
    )
    return all(getattr(first, name) == getattr(second, name) for name in names)


def rows_of(angular: list[Placed], *, with_preload: bool = True) -> Rows:
    """Return the solver's rows, or the reason why the sharing between these bearings is not known.

    Parameters
    ----------
    angular : list of Placed
        The angular contact bearings, from the top. [-]
    with_preload : bool
        False leaves preload and stand-out away, as if nothing clamped the stack. [-]
    """
    known = [_own_compliance(p.bearing) for p in angular]
    assumed = any(c is None for c in known)
    if assumed and len(angular) > 1:
        first = angular[0].bearing
        unlike = tuple(p.ref for p in angular[1:] if not _same_dimensions(first, p.bearing))
        if unlike:
            return Rows(problem="unlike-bearings", problem_refs=unlike)
        standing = tuple(p.ref for p in angular if p.bearing.stand_out_um)
        if standing:
            return Rows(problem="stand-out-without-geometry", problem_refs=standing)
    rows = []
    for p, c in zip(angular, known, strict=True):
        # With equal stiffness the unit of length cancels, so any compliance serves.
        own = 1.0 if c is None or assumed else c
        overlap = own * (p.bearing.pair_preload_n or 0.0) ** (2 / 3) + (p.bearing.stand_out_um or 0.0) / 1000
        rows.append(Row(ref=p.ref, sign=p.sign, stiffness=own**-1.5, overlap_mm=overlap if with_preload else 0.0))
    return Rows(rows=tuple(rows), assumed_equal=assumed and len(angular) > 1)
