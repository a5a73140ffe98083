"""Oil: viscosity at temperature, viscosity ratio, contamination."""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache
from math import log10
from typing import Final

from bearings.engineering.quantities import Lubrication
from bearings.engineering.tables.oil import (
    CONTAMINATION,
    GRADE_MIDPOINT,
    VISCOSITY_INDEX,
    VISCOSITY_INDEX_ABOVE_70,
)

_STARTS: Final = [row[0] for row in VISCOSITY_INDEX]
_KELVIN: Final = 273.15
_LOG_313: Final = log10(40 + _KELVIN)
_LOG_373: Final = log10(100 + _KELVIN)


def reference_viscosities(nu100: float) -> tuple[float, float]:
    """Return L and H, the viscosities at 40 °C of oils of index 0 and 100, from that at 100 °C.

    Parameters
    ----------
    nu100 : float
        Kinematic viscosity at 100 °C, at least 2. [mm²/s]

    Source: ASTM D2270.
    """
    if nu100 < _STARTS[0]:
        raise ValueError(f"nu100: {nu100} is below 2 mm²/s, where ASTM D2270 begins")
    if nu100 > 70.0:
        a, b, c, d, e, f = VISCOSITY_INDEX_ABOVE_70
    else:
        _, a, b, c, d, e, f = VISCOSITY_INDEX[bisect_right(_STARTS, nu100) - 1]
    return (a * nu100 + b) * nu100 + c, (d * nu100 + e) * nu100 + f


def viscosity_index(nu40: float, nu100: float) -> float:
    """Return the viscosity index of an oil (ASTM D2270, procedures A and B).

    Parameters
    ----------
    nu40 : float
        Kinematic viscosity at 40 °C. [mm²/s]
    nu100 : float
        Kinematic viscosity at 100 °C. [mm²/s]

    >>> round(viscosity_index(73.30, 8.86), 2)
    92.43
    """
    low, high = reference_viscosities(nu100)
    if nu40 >= high:
        return 100 * (low - nu40) / (low - high)
    exponent = (log10(high) - log10(nu40)) / log10(nu100)
    return (10**exponent - 1) / 0.00715 + 100


@lru_cache(maxsize=256)
def viscosity_at_100(nu40: float, index: float) -> float:
    """Return the viscosity at 100 °C of an oil of known viscosity at 40 °C and index. [mm²/s]

    Parameters
    ----------
    nu40 : float
        Kinematic viscosity at 40 °C. [mm²/s]
    index : float
        Viscosity index. [-]

    The index rises with the viscosity at 100 °C; the root is bracketed and halved.
    """
    low, high = 2.0, max(2.1, nu40)
    for _ in range(80):
        middle = 0.5 * (low + high)
        if viscosity_index(nu40, middle) < index:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def viscosity_between(nu40: float, nu100: float, temperature_c: float) -> float:
    """Return the viscosity at a temperature from those at 40 and 100 °C (ASTM D341 with 0.7). [mm²/s]

    >>> round(viscosity_between(32, 5.4, 80), 2)
    8.53
    """
    w40, w100 = log10(log10(nu40 + 0.7)), log10(log10(nu100 + 0.7))
    slope = (w40 - w100) / (_LOG_373 - _LOG_313)
    return float(10 ** (10 ** (w40 + slope * (_LOG_313 - log10(temperature_c + _KELVIN)))) - 0.7)


@lru_cache(maxsize=256)
def viscosity_at(iso_vg: float, index: float, temperature_c: float) -> float:
    """Return the viscosity of an oil of an ISO grade and index at a temperature. [mm²/s]

    Parameters
    ----------
    iso_vg : float
        ISO 3448 grade. [-]
    index : float
        Viscosity index. [-]
    temperature_c : float
        Temperature of the oil. [°C]
    """
    nu40 = GRADE_MIDPOINT.get(iso_vg, iso_vg)
    return viscosity_between(nu40, viscosity_at_100(nu40, index), temperature_c)


def oil_viscosity(oil: Lubrication) -> float | None:
    """Return the viscosity at the oil's temperature, or None when grade or temperature is unknown. [mm²/s]"""
    if oil.iso_vg is None or oil.temperature_c is None:
        return None
    return viscosity_at(oil.iso_vg, oil.viscosity_index, oil.temperature_c)


def rated_viscosity(speed_rpm: float, pitch_diameter_mm: float) -> float:
    """Return the reference viscosity nu1 (ISO 281:2007 equations 28 and 29). [mm²/s]

    Parameters
    ----------
    speed_rpm : float
        Speed. [r/min]
    pitch_diameter_mm : float
        Pitch diameter. [mm]

    The standard's two branches do not meet at 1 000 r/min (2.3 % apart); they are used as printed.
    """
    if speed_rpm < 1000:
        return float(45_000 * speed_rpm**-0.83 * pitch_diameter_mm**-0.5)
    return float(4_500 * speed_rpm**-0.5 * pitch_diameter_mm**-0.5)


def contamination_factor(oil: Lubrication, pitch_diameter_mm: float) -> float | None:
    """Return the contamination factor, or None when neither factor nor level is known. [-]

    Source: ISO 281:2007 Table 13, lower bound of the range.
    """
    if oil.contamination_factor is not None:
        return oil.contamination_factor
    if oil.contamination is None:
        return None
    below, above = CONTAMINATION[oil.contamination]
    return below if pitch_diameter_mm < 100 else above
