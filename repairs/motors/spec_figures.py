"""Figures of the stack file's fields as people type and read them: in the reader's unit, stored in the file's own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from django import forms
from django.utils.translation import gettext as _

from bearings.public import (
    CONTACT_ANGLE_DEG,
    FieldSpec,
    check_value,
    choice_label,
    field_spec,
    plain,
    range_end,
    sign_of,
)
from repairs.edge.typed_numbers import NumberError, read_typed
from repairs.motors.units import (
    PERCENT,
    QUANTITIES,
    Unit,
    preferred_unit,
    unit_words,
    with_unit,
    written_unit,
)

# From a shim to a long spacer: common practice, no source. What lies outside is asked for its unit.
PART_HEIGHTS_MM: Final = (0.05, 150.0)
# Books print these in metric units everywhere, and a bearing is known by them; a US shop reads them so too. The
# minimum-load factor stands in a formula of its own units and would only be mistaken for a force.
AS_PRINTED: Final = frozenset(
    {
        "bore_mm",
        "outside_diameter_mm",
        "height_mm",
        "ball_diameter_mm",
        "pitch_diameter_mm",
        "shaft_washer_diameter_mm",
        "housing_washer_bore_mm",
        "reference_surface_mm2",
        "minimum_load_factor_n",
    }
)
# Parts of one that people read in percent, and weights among the forces.
SHARES: Final = frozenset({"minimum_speed_margin", "warm_preload_share"})
WEIGHTS: Final = frozenset({"rotor_weight_n"})
_QUANTITIES: Final = {
    "N": "force",
    "mm": "length",
    "um": "fine_length",
    "degC": "temperature",
    "K": "temperature_difference",
    "N/mm": "spring_rate",
    "mm2/s": "viscosity",
    "rpm": "speed",
    "h": "hours",
}
# A speed times a diameter is a number of the trade, the same everywhere.
_BARE_IN_US: Final = frozenset({"mm/min"})
# Digits that a converted figure is edited with, and decimals of an inch: a fortieth of a micrometre.
_DIGITS: Final = 7
_INCH_DECIMALS: Final = 6


@dataclass(frozen=True, slots=True)
class SpecFigure:
    """A field's figure as one reader types and reads it; ``units`` "si" is the stack file's own."""

    spec: FieldSpec
    units: str

    @property
    def _known(self) -> tuple[Unit, ...]:
        return QUANTITIES[self._quantity] if self._quantity else ()

    @property
    def _quantity(self) -> str:
        return "weight" if self.spec.name in WEIGHTS else _QUANTITIES.get(self.spec.unit, "")

    @property
    def unit(self) -> Unit:
        """The unit that the reader's figure is in, with the way to the stack file's."""
        if self.spec.name in SHARES:
            return PERCENT
        if self._quantity:
            return preferred_unit(self._quantity, self.units)
        bare = self.units == "us" and self.spec.unit in _BARE_IN_US
        return Unit("" if bare else sign_of(self.spec.unit))

    @property
    def sign(self) -> str:
        """The unit as people write it; a count has none."""
        return unit_words(self.unit.name, self.units, self._quantity)

    @property
    def _is_own(self) -> bool:
        """Whether the reader's unit is the stack file's."""
        return (self.unit.factor, self.unit.offset) == (1.0, 0.0)

    def accepted(self) -> str:
        """Say what a figure may be, with its unit, and which other units may be typed behind it."""
        text = self.range()
        if not text:
            return ""
        if self.spec.name == "contact_angle_deg":
            least, most = CONTACT_ANGLE_DEG
            return _("{range}; angular contact {low} to {high}").format(
                range=text, low=plain(least), high=plain(most)
            )
        others = [unit.name for unit in self._known if unit.name != self.unit.name]
        if not others:
            return text
        return _("{range}. Or type the unit: {units}").format(range=text, units=", ".join(others))

    def range(self) -> str:
        """Return what a figure may be, with its unit; nothing where there is no bound."""
        if self.spec.minimum is None or self.spec.maximum is None:
            return ""
        low, high = self._end(self.spec.minimum, is_low=True), self._end(self.spec.maximum, is_low=False)
        words = _("above 0, at most {high}") if 0 < self.spec.minimum < 1e-6 else _("{low} to {high}")
        return with_unit(words.format(low=low, high=high), self.unit.name, self.units, self._quantity)

    def _end(self, value: float, *, is_low: bool) -> str:
        if self._is_own or value == 0 == self.unit.offset:
            return plain(value)
        return range_end(float(f"{self.unit.from_si(value):.12g}"), is_low=is_low)

    def text(self, value: float) -> str:
        """Return a stored figure as it is edited: read back unchanged, ``kept`` makes the stored one of it."""
        if self._is_own:
            return f"{value:.15g}"
        own = self.unit.from_si(value)
        return f"{round(own, _INCH_DECIMALS) if self.unit.name == 'in' else own:.{_DIGITS}g}"

    def words(self, value: float) -> str:
        """Return a stored figure as it is read, with its unit."""
        shown = plain(value) if self._is_own else plain(float(self.text(value)))
        return with_unit(shown, self.unit.name, self.units, self._quantity)

    def number(self, value: float) -> str:
        """Return a stored figure as a table shows it whose heading names the unit."""
        return plain(value) if self._is_own else plain(self.unit.from_si(value), 5)

    def kept(self, number: float, stored: object) -> float:
        """Return the stored figure where what was typed reads as it does: rounding for the eye changes nothing."""
        if isinstance(stored, bool) or not isinstance(stored, int | float):
            return number
        return stored if self.text(number) == self.text(stored) else number

    def read(self, typed: str) -> float | int:
        """Return a typed figure in the stack file's unit; a comma that could be two things is asked about."""
        try:
            read = read_typed(typed)
        except NumberError as error:
            raise forms.ValidationError(
                _("{error} Accepted: {range}.").format(error=error, range=self.accepted())
            ) from None
        number, unit = float(read.number), self._typed_unit(read.unit, typed)
        if unit is PERCENT and not read.unit and 0 < abs(number) < 1:
            # Ten percent are written as 0.10 as well; a tenth of a percent is nobody's limit.
            words = _("“{typed}” would be {percent}. Enter {meant} or {percent}.")
            percent, meant = (with_unit(plain(one), "%", self.units) for one in (number, 100 * number))
            raise forms.ValidationError(words.format(typed=typed.strip(), percent=percent, meant=meant))
        if (unit.factor, unit.offset) != (1.0, 0.0):
            # Twelve figures: what the change of unit adds beyond them is noise of the arithmetic.
            number = float(f"{unit.to_si(number):.12g}")
        return int(number) if self.spec.kind == "integer" and number == number // 1 else number

    def _typed_unit(self, written: str, typed: str) -> Unit:
        if not written or written in {self.sign, self.unit.name}:
            return self.unit
        if written in {self.spec.unit, sign_of(self.spec.unit)}:
            return Unit(self.spec.unit)
        unit = written_unit(self._quantity, written) if self._quantity else None
        if unit is None:
            names = ", ".join(one.name for one in self._known) or self.sign
            raise forms.ValidationError(
                _("“{typed}” has an unknown unit. Use {units}.").format(
                    typed=typed[:40], units=names or _("a number without a unit")
                )
            )
        return unit

    def checked(self, number: float | None) -> tuple[float | None, str | None]:
        """Return a figure as the engineering takes it, and what is wrong with it in the reader's unit."""
        value, wrong = check_value(self.spec, number)
        if wrong is not None and not self._is_own and isinstance(number, int | float):
            wrong = _("Number is out of range. Accepted: {range}.").format(range=self.range())
        return (value if isinstance(value, int | float) else None), wrong


def figure_of(spec: FieldSpec, units: str, *, turned: bool = False) -> SpecFigure:
    """Return a field's figure for a reader; ``turned`` says that a size is a part's, which the shop makes."""
    return SpecFigure(spec, "si" if spec.name in AS_PRINTED and not turned else units)


def says_unit(text: str) -> bool:
    """Whether a typed figure says its own unit; what is no number says none."""
    try:
        return bool(read_typed(text).unit)
    except NumberError:
        return False


def figure_words(name: str, value: float | str) -> str:
    """Return a figure of the book as a page shows it: with its unit, or its choice in words."""
    if isinstance(value, str):
        return choice_label(value)
    return SpecFigure(field_spec("bearing", name), "si").words(value)


def read_height(figure: SpecFigure, typed: str) -> float | int:
    """Return the height of a spacer, shim or ring in mm; one that looks like the other unit is asked about."""
    height_mm = figure.read(typed)
    if read_typed(typed).unit or _is_part_height(height_mm):
        return height_mm
    own, other = figure.unit, QUANTITIES["length"][0 if figure.unit.name == "in" else 1]
    if _is_part_height(other.to_si(own.from_si(height_mm))):
        words = _("“{typed}” looks like {other}. Enter it with its unit: {typed} {own} or {typed} {other}.")
        raise forms.ValidationError(words.format(typed=typed.strip(), own=own.name, other=other.name))
    return height_mm


def _is_part_height(height_mm: float) -> bool:
    return PART_HEIGHTS_MM[0] <= height_mm <= PART_HEIGHTS_MM[1]
