"""What a fit does to the bearing, and how warm a ring must be to slide on. Exact until a tangent comes in."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from math import radians, tan
from typing import Final, Literal

from bearings.engineering.fits import FitError, FitRange, Limits, Surface, fit_range

# Part of an interference that reaches the raceway, least and most: common practice, no source.
GROWTH_SHARE: Final = (Decimal("0.5"), Decimal("0.8"))
# Expansion of a heated ring per kelvin, and room to slide: common practice, no source. [1/K], [µm]
RING_EXPANSION: Final = Decimal("0.000012")
ROOM_UM: Final = Decimal(50)
# Ceilings: 110 common practice, no source; 120 from a secondary source; sealed or greased common practice. [°C]
NORMAL_C: Final = Decimal(110)
CEILING_C: Final = Decimal(120)
SEALED_C: Final = Decimal(80)
# How much warmer the inner ring may be than the outer while it is heated: common practice, no source. [K]
RING_DIFFERENCE_K: Final = (Decimal(30), Decimal(50))
_TENTH: Final = Decimal("0.1")

HeatVerdict = Literal["no_heat", "within", "above_sealed", "above_normal", "above_ceiling"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatFits:
    """A seat's fit as tolerances allow it, with the seat as measured, and with both parts as measured. [µm]

    Positive is interference. None: what it takes is not known.
    """

    by_tolerance: FitRange | None
    seat_measured: FitRange | None
    measured_um: Decimal | None

    @property
    def best_known(self) -> FitRange | None:
        """The narrowest range that is known."""
        if self.measured_um is not None:
            return FitRange(tightest_um=self.measured_um, loosest_um=self.measured_um)
        return self.seat_measured or self.by_tolerance


def seat_fits(
    surface: Surface,
    nominal_mm: Decimal,
    *,
    zone: Limits | None,
    ring: Limits | None,
    seat_mm: tuple[Decimal, Decimal, Decimal] | None,
    ring_mm: Decimal | None,
) -> SeatFits:
    """Return the fit of a ring on its seat.

    Parameters
    ----------
    surface : str
        ``bore``: the seat is a shaft inside the ring; ``od``: the seat is a hole around it. [-]
    nominal_mm : Decimal
        Nominal size. [mm]
    zone, ring : Limits
        Limit deviations of the seat and of the ring. [µm]
    seat_mm : three Decimal
        Smallest, mean and largest size of the seat as measured. [mm]
    ring_mm : Decimal
        Mean size of the ring as measured. [mm]

    >>> sizes = (Decimal("100.010"), Decimal("100.012"), Decimal("100.014"))
    >>> seat_fits("bore", Decimal(100), zone=None, ring=None, seat_mm=sizes, ring_mm=Decimal("99.994")).measured_um
    Decimal('18.000')
    """
    sign = 1 if surface == "bore" else -1
    measured: FitRange | None = None
    if seat_mm is not None and ring is not None:
        low, _mean, high = ((size - nominal_mm) * 1000 for size in seat_mm)
        measured = _range(surface, Limits(lower_um=low, upper_um=high), ring)
    return SeatFits(
        by_tolerance=None if zone is None or ring is None else _range(surface, zone, ring),
        seat_measured=measured,
        measured_um=None if seat_mm is None or ring_mm is None else sign * (seat_mm[1] - ring_mm) * 1000,
    )


def _range(surface: Surface, seat: Limits, ring: Limits) -> FitRange:
    return fit_range(outer=ring, inner=seat) if surface == "bore" else fit_range(outer=seat, inner=ring)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A figure known between a least and a most. [µm]"""

    least_um: Decimal
    most_um: Decimal


def raceway_growth(fit: FitRange) -> Spread:
    """Return how much the raceway's diameter changes by a fit: by so much the radial clearance closes. [µm]

    >>> raceway_growth(FitRange(tightest_um=Decimal(38), loosest_um=Decimal(3)))
    Spread(least_um=Decimal('1.5'), most_um=Decimal('30.4'))
    """
    return Spread(
        least_um=GROWTH_SHARE[0] * max(Decimal(0), fit.loosest_um),
        most_um=GROWTH_SHARE[1] * max(Decimal(0), fit.tightest_um),
    )


def preload_change(growth: Spread, contact_angle_deg: float) -> Spread:
    """Return by how much a bearing's axial overlap grows: its raceway's growth over 2 tan(alpha). [µm]

    Parameters
    ----------
    growth : Spread
        Growth of the raceway's diameter. [µm]
    contact_angle_deg : float
        Contact angle, above 0 and below 90. [°]

    An opposed pair gains twice as much where both rings sit alike. Source: geometry; at rest, both rings equally warm.

    >>> preload_change(Spread(least_um=Decimal(10), most_um=Decimal(20)), 45.0)
    Spread(least_um=Decimal('5.0'), most_um=Decimal('10.0'))
    """
    if not 0 < contact_angle_deg < 90:
        raise FitError("contact_angle_deg", f"{contact_angle_deg}; above 0 and below 90 is accepted")
    share = Decimal(1 / (2 * tan(radians(contact_angle_deg))))
    return Spread(
        least_um=(growth.least_um * share).quantize(_TENTH),
        most_um=(growth.most_um * share).quantize(_TENTH),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Heating:
    """How warm a ring must be to slide on, and what that means for the bearing. [°C]"""

    temperature_c: Decimal
    verdict: HeatVerdict


def heating(bore_mm: Decimal, tightest_um: Decimal, ambient_c: Decimal = Decimal(20)) -> Heating:
    """Return the temperature at which a ring slides on with 50 µm to spare, rounded up to a tenth. [°C]

    Parameters
    ----------
    bore_mm : Decimal
        Bore. [mm]
    tightest_um : Decimal
        Greatest interference; a loose ring needs no heat. [µm]
    ambient_c : Decimal
        Temperature of the shaft. [°C]

    Expansion 12e-6 per kelvin and the 50 µm are common practice, no source.

    >>> heating(Decimal(120), Decimal(48))
    Heating(temperature_c=Decimal('88.1'), verdict='above_sealed')
    """
    if bore_mm <= 0:
        raise FitError("bore_mm", f"{bore_mm}; a size above 0 mm is accepted")
    if tightest_um <= 0:
        return Heating(temperature_c=ambient_c, verdict="no_heat")
    rise = (tightest_um + ROOM_UM) / 1000 / (RING_EXPANSION * bore_mm)
    temperature = (ambient_c + rise).quantize(_TENTH, rounding=ROUND_CEILING)
    return Heating(temperature_c=temperature, verdict=_heat_verdict(temperature))


def _heat_verdict(temperature_c: Decimal) -> HeatVerdict:
    if temperature_c > CEILING_C:
        return "above_ceiling"
    if temperature_c > NORMAL_C:
        return "above_normal"
    return "above_sealed" if temperature_c > SEALED_C else "within"
