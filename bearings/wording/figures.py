"""Figures as people of a US or an SI shop write them, rounded for the eye; the answer itself is never rounded.

A figure is not rounded across the limit that it is held against: 9.6% against 10% stays 9.6%.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from math import ceil, floor, log10
from typing import Final, Literal

from django.conf import settings
from django.utils.translation import gettext as _

Units = Literal["si", "us"]
NO_BREAK: Final = "\u00a0"
# Between thousands: a comma in a US shop, a narrow space in an SI shop. Before a percent sign: nothing, or a space.
THOUSANDS: Final[dict[str, str]] = {"us": ",", "si": "\u202f"}
PERCENT: Final[dict[str, str]] = {"us": "%", "si": f"{NO_BREAK}%"}
NEWTONS_PER_POUND_FORCE: Final = 4.4482216152605
MM_PER_INCH: Final = 25.4
LITERS_PER_GALLON: Final = 3.785411784
MANY_HOURS: Final = 1e5
ROUNDED_FROM: Final = 1000.0
# The signs that people know, for the names of units that the stack file uses.
SIGNS: Final = {
    "1": "", "deg": "°", "degC": "°C", "mm2": "mm²", "um": "µm", "mm2/s": "mm²/s", "N/mm2": "N/mm²",
    "N mm": "N·mm", "x shaft": "× shaft",
}  # fmt: skip
# The units that change with the reader.
FIGURE_UNITS: Final = frozenset({"N", "mm", "um", "rpm", "h", "W", "degC"})
# What a US shop reads in place of the other units: how many of it one makes, and its sign.
US_UNITS: Final = {
    "mm2/s": (1.0, "cSt"),
    "mm/min": (1.0, ""),
    "mm2": (1 / MM_PER_INCH**2, "in²"),
    "N mm": (1 / (NEWTONS_PER_POUND_FORCE * MM_PER_INCH), "lb-in"),
    "N/mm": (MM_PER_INCH / NEWTONS_PER_POUND_FORCE, "lbf/in"),
    "N/mm2": (MM_PER_INCH**2 / NEWTONS_PER_POUND_FORCE, "psi"),
    "N/mm^1.5": (MM_PER_INCH**1.5 / NEWTONS_PER_POUND_FORCE, "lbf/in^1.5"),
    "K": (9 / 5, "°F"),
}


def sign_of(unit: str) -> str:
    """Return a unit as people write it; a count has none."""
    return SIGNS.get(unit, unit)


def with_sign(text: str, sign: str) -> str:
    """Return a written number with its unit: degrees of an angle touch it, percent as this shop writes it."""
    if sign == "%":
        return f"{text}{percent_sign()}"
    return f"{text}{'' if sign in {'', '°'} else NO_BREAK}{sign}"


def grouped(number: float, decimals: int = 0) -> str:
    """Return a number with its thousands set apart as this shop writes them."""
    text = f"{number:,.{decimals}f}".replace(",", THOUSANDS[settings.SHOP_UNITS])
    return "0" if text == "-0" else text.replace("-", "\u2212")


def plain(number: float, digits: int = 10) -> str:
    """Return a number with its thousands apart and so many digits, without needless zeros or an exponent."""
    whole, mark, decimals = f"{Decimal(f'{number:.{digits}g}'):f}".partition(".")
    decimals = decimals.rstrip("0")
    text = grouped(int(whole)) + (mark + decimals if decimals else "")
    return f"\u2212{text}" if whole == "-0" and decimals else text


def significant(number: float, digits: int = 3) -> str:
    """Return a number to so many significant digits, without an exponent."""
    if number == 0:
        return "0"
    decimals = digits - 1 - floor(log10(abs(number)))
    return grouped(round(number, decimals), max(0, decimals))


def exact(number: Decimal, decimals: int = 0) -> str:
    """Return a number as exactly as it was kept, thousands apart, with at least so many decimals."""
    whole, _mark, places = f"{number:f}".partition(".")
    places = places.rstrip("0").ljust(decimals, "0")
    text = grouped(int(whole)) + (f".{places}" if places else "")
    return f"\u2212{text}" if whole.startswith("-") and int(whole) == 0 and places.strip("0") else text


def four_figures(number: float) -> str:
    """Return a number to four digits, without zeros that say nothing."""
    return plain(number, 4)


def range_end(number: float, *, is_low: bool) -> str:
    """Return an end of a range: a crooked one, as a change of units leaves it, to two figures and inside the range."""
    near = float(f"{number:.4g}")
    if abs(number - near) <= 1e-9 * abs(number):
        return plain(near)
    step = 10.0 ** (floor(log10(abs(number))) - 1)
    return plain(step * (ceil if is_low else floor)(number / step), 2)


def percent_sign() -> str:
    """Return a percent sign with what this shop writes before it."""
    return PERCENT[settings.SHOP_UNITS]


def rounded(number: float, against: float | None = None) -> float:
    """Return a number to three digits, unless that would take it onto or across what it is held against."""
    if abs(number) < ROUNDED_FROM:
        return number
    near = float(f"{number:.3g}")
    crosses = against is not None and number != against and (near - against) * (number - against) <= 0
    return number if crosses else near


def _inches(millimetres: float) -> str:
    """Return a length in inches with four decimals; one that would show as nothing keeps a digit, nothing has none."""
    inches = millimetres / MM_PER_INCH
    text = grouped(inches, 4) if abs(inches) >= 0.00005 else plain(inches, 1)
    return f"{text}{NO_BREAK}in"


@dataclass(frozen=True, slots=True)
class Figures:
    """Writes figures in one system of units; ``exact`` ones are not rounded for the eye, as in a working."""

    units: Units = "si"
    exact: bool = False

    def _kept(self, number: float, against: float | None) -> float:
        return number if self.exact else rounded(number, against)

    def of(self, value: float, unit: str) -> str:
        """Return a figure of the stack file or of an answer in the reader's unit."""
        writers: dict[str, Callable[[float | None], str]] = {
            "N": self.force,
            "rpm": self.speed,
            "h": self.hours,
            "um": self.small_length,
            "W": self.power,
            "mm": self.length,
            "degC": self.temperature,
        }
        if unit in FIGURE_UNITS:
            return writers[unit](value)
        per, sign = self._unit(unit)
        return with_sign(self.ratio(value * per), sign)

    def given(self, value: float, unit: str) -> str:
        """Return what somebody entered: in the reader's unit where there is one, else digit by digit."""
        per, sign = self._unit(unit)
        return self.of(value, unit) if unit in FIGURE_UNITS or per != 1.0 else with_sign(plain(value), sign)

    def _unit(self, unit: str) -> tuple[float, str]:
        return US_UNITS.get(unit, (1.0, sign_of(unit))) if self.units == "us" else (1.0, sign_of(unit))

    def force(self, newtons: float | None, against: float | None = None) -> str:
        """Return a force in N, kN or lbf."""
        if newtons is None:
            return _("unknown")
        per, sign = (NEWTONS_PER_POUND_FORCE, "lbf") if self.units == "us" else (1.0, "N")
        kept = self._kept(newtons / per, None if against is None else against / per)
        if self.units == "si" and abs(newtons) >= 100_000:
            return f"{significant(newtons / 1000, 4)}{NO_BREAK}kN"
        return f"{grouped(kept)}{NO_BREAK}{sign}"

    def speed(self, rpm: float | None) -> str:
        """Return a speed in rpm."""
        return _("unknown") if rpm is None else f"{grouped(rpm)}{NO_BREAK}rpm"

    def hours(self, hours: float | None, against: float | None = None) -> str:
        """Return a life in hours; beyond a hundred thousand nothing more is claimed, unless more is asked for."""
        if hours is None:
            return _("unknown")
        most = max(MANY_HOURS, against or 0.0)
        if hours > most and not self.exact:
            return _("over %(hours)s\u00a0h") % {"hours": grouped(most)}
        return f"{grouped(self._kept(hours, against))}{NO_BREAK}h"

    def small_length(self, micrometres: float | None) -> str:
        """Return a small length in micrometres or ten-thousandths of an inch."""
        if micrometres is None:
            return _("unknown")
        if self.units == "us":
            return _inches(micrometres / 1000)
        return f"{plain(micrometres, 6)}{NO_BREAK}µm"

    def length(self, millimetres: float | None) -> str:
        """Return a length in millimetres or inches."""
        if millimetres is None:
            return _("unknown")
        if self.units == "us":
            return _inches(millimetres)
        return f"{plain(millimetres, 6)}{NO_BREAK}mm"

    def rate(self, newtons_per_mm: float) -> str:
        """Return the rate of a spring in N/mm or lbf/in."""
        if self.units == "us":
            pounds_per_inch = newtons_per_mm * MM_PER_INCH / NEWTONS_PER_POUND_FORCE
            return f"{significant(pounds_per_inch)}{NO_BREAK}lbf/in"
        return f"{significant(newtons_per_mm)}{NO_BREAK}N/mm"

    def temperature(self, celsius: float | None) -> str:
        """Return a temperature in degrees Celsius or Fahrenheit."""
        if celsius is None:
            return _("unknown")
        if self.units == "us":
            return f"{grouped(celsius * 9 / 5 + 32)}{NO_BREAK}°F"
        return f"{plain(celsius, 6)}{NO_BREAK}°C"

    def standard_temperature(self, celsius: float) -> str:
        """Return a temperature that a standard gives in °C: a US reader's with the standard's own beside it."""
        if self.units == "us":
            return f"{self.temperature(celsius)} ({grouped(celsius)}{NO_BREAK}°C)"
        return self.temperature(celsius)

    def difference(self, kelvins: float | None) -> str:
        """Return a difference of temperatures in kelvins or degrees Fahrenheit."""
        if kelvins is None:
            return _("unknown")
        if self.units == "us":
            return f"{grouped(kelvins * 9 / 5)}{NO_BREAK}°F"
        return f"{plain(kelvins, 6)}{NO_BREAK}K"

    def power(self, watts: float | None) -> str:
        """Return a power in watts or horsepower."""
        if watts is None:
            return _("unknown")
        if self.units == "us":
            return f"{significant(watts / 745.6998715822702)}{NO_BREAK}hp"
        return f"{grouped(watts)}{NO_BREAK}W"

    def flow(self, liters_a_minute: float) -> str:
        """Return a flow of oil in liters or gallons a minute."""
        if self.units == "us":
            return f"{significant(liters_a_minute / LITERS_PER_GALLON)}{NO_BREAK}gpm"
        return f"{significant(liters_a_minute)}{NO_BREAK}l/min"

    def percent(self, share: float | None, decimals: int = 1, against: float | None = None) -> str:
        """Return a share of one in percent; held against a limit in whole ones, where that says the same."""
        if share is None:
            return _("unknown")
        if against is not None:
            whole, limit = round(share * 100), against * 100
            tells = whole != 0 and (share == against or (whole - limit) * (share * 100 - limit) > 0)
            decimals = 0 if tells else 1
        return f"{grouped(share * 100, decimals)}{percent_sign()}"

    def ratio(self, number: float | None) -> str:
        """Return a number without unit."""
        return _("unknown") if number is None else significant(number)
