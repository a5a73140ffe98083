"""Units that a plate is read in, and the exact way to SI."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from bearings.public import percent_sign

NO_BREAK: Final = "\u00a0"

# Exact by definition: pound, foot, standard gravity (NIST SP 811, appendix B: from memory, unverified).
POUND_KG: Final = 0.45359237
FOOT_M: Final = 0.3048
KGF_N: Final = 9.80665
LBF_N: Final = 4.4482216152605  # pound x standard gravity
HP_W: Final = 745.6998715822702  # 550 ft lbf/s
METRIC_HORSEPOWER_W: Final = 75 * KGF_N
INCH_MM: Final = 25.4
GALLON_L: Final = 3.785411784
# Specific speed by rpm, US gal/min and ft for one by rpm, m³/s and m: about 51.64.
US_SPECIFIC_SPEED: Final = sqrt(60_000 / GALLON_L) * FOOT_M**0.75


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of a quantity: SI = value x factor + offset."""

    name: str
    factor: float = 1.0
    offset: float = 0.0

    def to_si(self, value: float) -> float:
        return value * self.factor + self.offset

    def from_si(self, si: float) -> float:
        return (si - self.offset) / self.factor


# Quantities of shop tests. A figure of vibration is mm/s rms or, of one sine, in/s peak: 25.4 / sqrt(2).
SHOP_TESTS: Final[dict[str, tuple[Unit, ...]]] = {
    "insulation": (Unit("MΩ"), Unit("kΩ", 0.001), Unit("GΩ", 1000.0)),
    "resistance": (Unit("Ω"), Unit("mΩ", 0.001)),
    "vibration": (Unit("mm/s rms"), Unit("in/s pk", INCH_MM / sqrt(2))),
    "displacement": (Unit("µm p-p"), Unit("mil p-p", INCH_MM)),
    "unbalance": (Unit("g mm"), Unit("oz in", POUND_KG / 16 * 1000 * INCH_MM)),
    "small_mass": (Unit("g"), Unit("oz", POUND_KG / 16 * 1000)),
    "torque": (Unit("N m"), Unit("lb ft", LBF_N * FOOT_M)),
    "core_loss": (Unit("W/kg"), Unit("W/lb", 1 / POUND_KG)),
    "leakage": (Unit("µA"), Unit("mA", 1000.0)),
    "shaft_voltage": (Unit("V"), Unit("mV", 0.001)),
    # A line is 1e-8 Wb.
    "flux_density": (Unit("T"), Unit("kline/in²", 1e-5 / (INCH_MM / 1000) ** 2)),
    "angle": (Unit("°"),),
    "minutes": (Unit("min"),),
    "seconds": (Unit("s"),),
}
# Quantities whose second unit is no customary one: everybody reads the first.
ONE_UNIT: Final = frozenset({"insulation", "resistance", "leakage", "shaft_voltage"})
# quantity -> units; the first is SI's, the second, where there is one, US customary
QUANTITIES: Final[dict[str, tuple[Unit, ...]]] = {
    "power": (Unit("kW", 1000.0), Unit("hp", HP_W), Unit("W"), Unit("PS", METRIC_HORSEPOWER_W)),
    "force": (Unit("N"), Unit("lbf", LBF_N), Unit("kN", 1000.0), Unit("kgf", KGF_N)),
    "length": (Unit("mm"), Unit("in", INCH_MM)),
    "small_length": (Unit("mm"), Unit("in", INCH_MM)),
    # Face offsets, interference, end play: a mil is a thousandth of an inch.
    "fine_length": (Unit("µm"), Unit("in", 1000 * INCH_MM), Unit("mil", INCH_MM), Unit("mm", 1000.0)),
    # What hangs on a shaft pulls with a force, and is kept as one; people read a weight in pounds.
    "weight": (Unit("N"), Unit("lbf", LBF_N), Unit("kN", 1000.0), Unit("kgf", KGF_N)),
    "spring_rate": (Unit("N/mm"), Unit("lbf/in", LBF_N / INCH_MM)),
    "viscosity": (Unit("mm²/s"), Unit("cSt")),
    "temperature": (Unit("°C"), Unit("°F", 5 / 9, -160 / 9)),
    "temperature_difference": (Unit("K"), Unit("°F", 5 / 9)),
    "volume": (Unit("l"), Unit("US gal", GALLON_L), Unit("US qt", GALLON_L / 4)),
    "mass": (Unit("kg"), Unit("lb", POUND_KG)),
    "inertia": (Unit("kg m²"), Unit("lb ft²", POUND_KG * FOOT_M**2)),
    "altitude": (Unit("m"), Unit("ft", FOOT_M)),
    "flow": (Unit("l/min"), Unit("US gal/min", GALLON_L)),
    "head": (Unit("m"), Unit("ft", FOOT_M)),
    "thrust_factor": (Unit("N/m"), Unit("lbf/ft", LBF_N / FOOT_M)),
    "pressure": (Unit("kPa", 1000.0), Unit("psi", LBF_N / (INCH_MM / 1000) ** 2), Unit("bar", 1e5)),
    "specific_speed": (Unit("metric"), Unit("US", 1 / US_SPECIFIC_SPEED)),
    "speed": (Unit("rpm"),),
    "voltage": (Unit("V"),),
    "current": (Unit("A"),),
    "frequency": (Unit("Hz"),),
    "percent": (Unit("%"),),
    "plain": (Unit(""),),
    "ratio": (Unit(""),),
    "hours": (Unit("h"),),
    **SHOP_TESTS,
}


# What people read for a unit that is kept under another name; in a US shop a gallon is a US one.
WORDS: Final[dict[str, str | Promise]] = {
    "lb ft²": "lb-ft²", "kg m²": "kg·m²", "metric": gettext_lazy("metric"),
}  # fmt: skip
QUANTITY_WORDS: Final = {"weight": {"lbf": "lb"}}
US_WORDS: Final = {"US gal": "gal", "US qt": "qt", "US gal/min": "gpm"}
# Names that entries and books carry for a unit of ours.
OTHER_NAMES: Final = {"r/min": "rpm", "mm/s": "mm/s rms", "in/s": "in/s pk"}
# How people write a unit behind a figure, without blanks, points and hyphens, in small letters.
WRITTEN: Final[dict[str, dict[str, str]]] = {
    "power": {"horsepower": "hp", "bhp": "hp", "kilowatts": "kW", "cv": "PS"},
    "force": {"lb": "lbf", "lbs": "lbf", "#": "lbf", "kg": "kgf"},
    "length": {'"': "in", "inch": "in", "inches": "in"},
    "small_length": {'"': "in", "inch": "in", "inches": "in"},
    "fine_length": {'"': "in", "inch": "in", "inches": "in", "mils": "mil", "um": "µm", "μm": "µm"},
    "weight": {"lb": "lbf", "lbs": "lbf", "#": "lbf", "kg": "kgf"},
    "spring_rate": {"lb/in": "lbf/in", "lbs/in": "lbf/in", '#/in': "lbf/in", '#/"': "lbf/in"},
    "temperature": {"c": "°C", "degc": "°C", "f": "°F", "degf": "°F"},
    "temperature_difference": {"degf": "°F", "f": "°F", "c": "K", "°c": "K", "degc": "K"},
    "volume": {"liter": "l", "liters": "l", "litre": "l", "gal": "US gal", "gallon": "US gal", "gallons": "US gal",
               "qt": "US qt", "qts": "US qt", "quart": "US qt", "quarts": "US qt"},
    "mass": {"lbs": "lb", "#": "lb"},
    "inertia": {"lbft2": "lb ft²", "kgm2": "kg m²"},
    "altitude": {"feet": "ft", "'": "ft", "masl": "m", "fasl": "ft", "ftasl": "ft"},
    "flow": {"gpm": "US gal/min", "gal/min": "US gal/min", "lpm": "l/min"},
    "head": {"feet": "ft", "'": "ft"},
    "speed": {"r/min": "rpm", "1/min": "rpm"},
    "voltage": {"volt": "V", "volts": "V", "vac": "V", "kv": "V"},
    "current": {"amp": "A", "amps": "A", "ampere": "A", "amperes": "A"},
    "frequency": {"cps": "Hz", "cy": "Hz", "cyc": "Hz", "cycle": "Hz", "cycles": "Hz", "hertz": "Hz"},
    "percent": {"pct": "%"},
    "hours": {"hr": "h", "hrs": "h", "hours": "h"},
}  # fmt: skip
PERCENT: Final = Unit("%", 0.01)


def unit_of(quantity: str, name: str) -> Unit:
    """Return a unit of a quantity by its name, the first one when the name is not known."""
    units = QUANTITIES[quantity]
    return next((unit for unit in units if unit.name == OTHER_NAMES.get(name, name)), units[0])


def written_unit(quantity: str, text: str) -> Unit | None:
    """Return the unit of a quantity that a person wrote behind a figure, however it is abbreviated; None if none is."""
    plain = _bare(text)
    name = WRITTEN.get(quantity, {}).get(plain)
    known = (*QUANTITIES[quantity], *((PERCENT,) if quantity == "ratio" else ()))
    return next((unit for unit in known if unit.name == name or _bare(unit.name) == plain), None)


def bare_unit(text: str) -> str:
    """Return a unit as it is compared with another: inches are inches however they are written."""
    plain = _bare(text)
    return "in" if plain in WRITTEN["length"] else plain


def _bare(text: str) -> str:
    return (
        "".join(char for char in text.casefold() if char not in " .-·*").replace("²", "2").replace("º", "°")
    )


def unit_words(name: str, units: str, quantity: str = "") -> str:
    """Return a unit as its reader knows it, of some quantities by a name of its own."""
    name = OTHER_NAMES.get(name, name)
    if quantity in QUANTITY_WORDS and name in QUANTITY_WORDS[quantity]:
        return QUANTITY_WORDS[quantity][name]
    return US_WORDS[name] if units == "us" and name in US_WORDS else str(WORDS.get(name, name))


def with_unit(figure: str, name: str, units: str, quantity: str = "") -> str:
    """Return a figure with its unit behind, never parted by the end of a line."""
    if name == "%":
        return f"{figure}{percent_sign()}"
    words = unit_words(name, units, quantity)
    return f"{figure}{NO_BREAK}{words}" if words else figure


def preferred_unit(quantity: str, units: str) -> Unit:
    """Return the unit that a person reads: ``us`` takes the second one where there is one."""
    known = QUANTITIES[quantity]
    return known[1] if units == "us" and len(known) > 1 and quantity not in ONE_UNIT else known[0]
