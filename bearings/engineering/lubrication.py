"""Viscosity at temperature, viscosity ratio and contamination factor."""

from __future__ import annotations

from functools import lru_cache
from math import log10, sqrt
from typing import Final

from bearings.engineering.quantities import Guide, Lubrication, with_changes
from bearings.engineering.tables.contamination import CLEANLINESS, KAPPA_EXPONENT, PITCH_EXPONENT
from bearings.engineering.tables.life_factors import CONTAMINATION, CONTAMINATION_PITCH_MM
from bearings.engineering.tables.viscosity import GRADE_MIDPOINTS, INDEX_ROWS

ABSOLUTE_ZERO_C: Final = -273.15
WALTHER: Final = 0.7
# Mineral oil of the usual kind, taken for the figures where no index is entered (common practice, no source).
USUAL_INDEX: Final = 95.0
THICKEST: Final = 1e6  # mm2/s at 100 degC, beyond any oil
LOG_40: Final = log10(40.0 - ABSOLUTE_ZERO_C)
LOG_100: Final = log10(100.0 - ABSOLUTE_ZERO_C)


# What is known of the stack's lubricant and of no other one.
OF_THE_STACK_ALONE: Final = (
    "iso_vg", "viscosity_index", "contamination", "contamination_factor", "cleanliness", "heat_removed_w",
    "oil_flow_l_min", "oil_rise_k",
)  # fmt: skip


def lubricant_of_guide(guide: Guide, oil: Lubrication) -> Lubrication:
    """Return what a guide runs in: the stack's lubricant at the guide's own temperature, or one of another kind.

    Nobody entered grade and cleanliness of a lubricant that only the guide has.

    >>> from bearings.engineering.quantities import Bearing
    >>> greased = Guide(bearing=Bearing(type="deep_groove_ball"), lubricant="grease")
    >>> lubricant_of_guide(greased, Lubrication(method="oil_bath", iso_vg=68.0)).iso_vg is None
    True
    """
    own = guide.method(oil.method)
    changes: dict[str, object] = {}
    if guide.guide_temperature_c is not None:
        changes["temperature_c"] = guide.guide_temperature_c
    if guide.lubricant is not None and own != oil.method:
        known = {"method": own, "temperature_c": guide.guide_temperature_c}
        changes = {**dict.fromkeys(OF_THE_STACK_ALONE), **known}
    return with_changes(oil, changes)


def grade_viscosity(iso_vg: float) -> float:
    """Return the viscosity at 40 degC in mm2/s of an ISO viscosity grade, the grade's own midpoint.

    Source: ISO 3448:1992.

    >>> float(grade_viscosity(68))
    68.0
    """
    return GRADE_MIDPOINTS.get(iso_vg, iso_vg)


def _index_row(viscosity_100: float) -> tuple[float, ...]:
    row = INDEX_ROWS[0]
    for candidate in INDEX_ROWS:
        if candidate[0] > viscosity_100:
            break
        row = candidate
    return row


def viscosity_index(viscosity_40: float, viscosity_100: float) -> float:
    """Return the viscosity index of an oil from its viscosities at 40 and 100 degC in mm2/s.

    VI = 100 (L - U) / (L - H) up to 100; above, (10^N - 1) / 0.00715 + 100 with N = log10(H / U) / log10(Y). L and H
    are those of oils of index 0 and 100 with the same viscosity Y at 100 degC. Source: ASTM D2270.

    >>> round(viscosity_index(68.0, 8.73))
    100
    """
    y = viscosity_100
    _, a, b, c, d, e, f = _index_row(y)
    low, high = (a * y + b) * y + c, (d * y + e) * y + f
    index = 100 * (low - viscosity_40) / (low - high)
    if index <= 100:
        return index
    power = (log10(high) - log10(viscosity_40)) / log10(y)
    return float(10.0**power - 1) / 0.00715 + 100


def _viscosity_40(index: float, row: tuple[float, ...], y: float) -> float:
    """Viscosity at 40 degC of an oil with this index and y at 100 degC, on one row of the table."""
    _, a, b, c, d, e, f = row
    high = (d * y + e) * y + f
    if index <= 100:
        share = index / 100
        return float((1 - share) * ((a * y + b) * y + c) + share * high)
    return float(high / y ** log10((index - 100) * 0.00715 + 1))


def _solve_row(index: float, row: tuple[float, ...], end: float, viscosity_40: float) -> float:
    """Viscosity at 100 degC on one row that ends at ``end``: a quadratic up to index 100, halving above."""
    start, a, b, c, d, e, f = row
    if index <= 100:
        share = index / 100
        square = (1 - share) * a + share * d
        linear = (1 - share) * b + share * e
        rest = (1 - share) * c + share * f - viscosity_40
        return (-linear + sqrt(linear * linear - 4 * square * rest)) / (2 * square)
    low, high = start, end
    while low < (middle := (low + high) / 2) < high:
        if _viscosity_40(index, row, middle) > viscosity_40:
            high = middle
        else:
            low = middle
    return low


@lru_cache(maxsize=256)
def viscosity_at_100(viscosity_40: float, index: float) -> float | None:
    """Return the viscosity at 100 degC from that at 40 degC and the index; None below 2 mm2/s."""
    reached = [_viscosity_40(index, row, row[0]) <= viscosity_40 for row in INDEX_ROWS]
    if not reached[0]:
        return None
    place = len(INDEX_ROWS) - 1 if all(reached) else reached.index(False) - 1
    end = INDEX_ROWS[place + 1][0] if place + 1 < len(INDEX_ROWS) else THICKEST
    return _solve_row(index, INDEX_ROWS[place], end, viscosity_40)


@lru_cache(maxsize=256)
def viscosity_at(iso_vg: float, index: float, temperature_c: float) -> float | None:
    """Return the operating viscosity in mm2/s: ASTM D341 through the points at 40 and 100 degC."""
    at_40 = grade_viscosity(iso_vg)
    at_100 = viscosity_at_100(at_40, index)
    if at_100 is None:
        return None
    return viscosity_between(at_40, at_100, temperature_c)


def viscosity_between(at_40: float, at_100: float, temperature_c: float) -> float:
    """Return the viscosity in mm2/s at a temperature from those at 40 and 100 degC.

    log10 log10 (nu + 0.7) falls in a straight line over log10 (T / K). Source: ASTM D341 (Ubbelohde-Walther).

    >>> round(viscosity_between(68.0, 8.73, 70.0), 1)
    20.2
    """
    w_40, w_100 = log10(log10(at_40 + WALTHER)), log10(log10(at_100 + WALTHER))
    slope = (w_40 - w_100) / (LOG_100 - LOG_40)
    w = w_40 - slope * (log10(temperature_c - ABSOLUTE_ZERO_C) - LOG_40)
    return float(10.0 ** (10.0**w) - WALTHER)


def operating_viscosity(lubrication: Lubrication) -> float | None:
    """Return the viscosity of the stack's oil at its temperature; None when either is unknown."""
    if lubrication.iso_vg is None or lubrication.temperature_c is None:
        return None
    index = USUAL_INDEX if lubrication.viscosity_index is None else lubrication.viscosity_index
    return viscosity_at(lubrication.iso_vg, index, lubrication.temperature_c)


def reference_viscosity(speed_rpm: float, pitch_mm: float) -> float:
    """Return nu1 = 4500 / sqrt(n dm) in mm2/s, the viscosity needed; below 1000 rpm 45 000 n^-0.83 dm^-0.5.

    ``speed_rpm`` n and ``pitch_mm`` dm are above 0. Source: ISO 281:2007, 9.3.3.2.

    >>> round(reference_viscosity(1_780.0, 157.5), 2)
    8.5
    """
    if speed_rpm < 1000:
        return 45_000 * float(speed_rpm**-0.83) / sqrt(pitch_mm)
    return 4_500 / sqrt(speed_rpm * pitch_mm)


def level_factor(lubrication: Lubrication, pitch_mm: float | None) -> float | None:
    """Return eC of the cleanliness level: the lower bound of its range for the pitch diameter (Table 13)."""
    if lubrication.contamination is None:
        return None
    small, large = CONTAMINATION[lubrication.contamination]
    if pitch_mm is None:
        return small if small == large else None
    return small if pitch_mm < CONTAMINATION_PITCH_MM else large


def cleanliness_factor(lubrication: Lubrication, pitch_mm: float | None, kappa: float | None) -> float | None:
    """Return eC of the oil's or grease's cleanliness, bearing size and film (ISO 281:2007 Annex A)."""
    if lubrication.cleanliness is None or pitch_mm is None or kappa is None:
        return None
    k, b, _seen_twice = CLEANLINESS[lubrication.cleanliness]
    film = min(k * float(kappa**KAPPA_EXPONENT) * float(pitch_mm**PITCH_EXPONENT), 1.0)
    # Below the sizes of the equation the bracket falls under zero; nothing is dirtier than that.
    return max(0.0, film * (1 - b / float(pitch_mm ** (1 / 3))))


def contamination_factor(
    lubrication: Lubrication, pitch_mm: float | None, kappa: float | None = None
) -> float | None:
    """Return eC: the factor given, else that of the level, else that of the cleanliness by Annex A."""
    if lubrication.contamination_factor is not None:
        return lubrication.contamination_factor
    if lubrication.contamination is not None:
        return level_factor(lubrication, pitch_mm)
    return cleanliness_factor(lubrication, pitch_mm, kappa)
