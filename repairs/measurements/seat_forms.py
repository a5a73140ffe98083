"""The sheet of a seat: what is measured, held against what, with which gauge; three planes, two or four angles."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, Final, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import TOLERANCE_CLASSES, Units, is_hole, known_zones
from repairs.measurements.forms import Cleaned, ReadingNumberField
from repairs.measurements.models import Reading, SeatPlace, SeatRecord
from repairs.measurements.seat_doubts import plain
from repairs.measurements.seat_judging import SeatEntry, Unit, millimetres
from repairs.measurements.seat_suggestions import SuggestedSeat
from repairs.measurements.seat_words import ANGLES, PLANE_NAMES, size_text
from repairs.motors.units import written_unit

_MOST_DECIMALS: Final = {"mm": 6, "in": 5}
_SIZE_RANGE: Final = (Decimal("0.5"), Decimal(2000))
# A comma taken for thousands makes 99,987 mm of a seat of 100: no such seat is measured.
_MOST_MM: Final = 2_500
_PART_RANGE_C: Final = (Decimal(-20), Decimal(120))
_ONE: Final = Decimal("0.1")
_MM: Final = written_unit("length", "mm")
# With a unit behind it in the 20 characters of its column.
_LONGEST_TYPED: Final = 17
_CELL: Final = {"inputmode": "decimal", "autocomplete": "off"}


class SeatForm(forms.Form):
    """A seat as it is typed. Readings are in the sheet's unit; the nominal size is the bearing's, in millimetres."""

    place = forms.ChoiceField(label=gettext_lazy("Seat"), choices=SeatPlace.choices)
    name = forms.CharField(label=gettext_lazy("Which one, if several"), max_length=60, required=False)
    moment = forms.ChoiceField(label=gettext_lazy("When"), choices=Reading.Moment.choices)
    bearing = forms.ChoiceField(label=gettext_lazy("Bearing"), required=False)
    nominal_mm = ReadingNumberField(
        label=gettext_lazy("Nominal size"), help_text=gettext_lazy("of the bearing, 0.5 to 2000 mm")
    )
    tolerance_class = forms.ChoiceField(
        label=gettext_lazy("Tolerance class of the bearing"),
        required=False,
        choices=[("", gettext_lazy("not known")), *((name, name) for name in TOLERANCE_CLASSES)],
    )
    limits_from = forms.ChoiceField(
        label=gettext_lazy("Limits come from"),
        choices=[
            ("drawing", gettext_lazy("drawing")),
            ("order", gettext_lazy("customer or PO")),
            ("rule", gettext_lazy("no drawing: common rule")),
        ],
        initial="rule",
    )
    zone = forms.ChoiceField(label=gettext_lazy("Zone"), required=False)
    low = ReadingNumberField(label=gettext_lazy("or sizes: at least"), required=False, help_text="")
    high = ReadingNumberField(label=gettext_lazy("at most"), required=False, help_text="")
    limits_source = forms.CharField(label=gettext_lazy("Drawing or PO no."), max_length=120, required=False)
    unit = forms.ChoiceField(
        label=gettext_lazy("Gauge reads"), choices=SeatRecord.Unit.choices, widget=forms.RadioSelect
    )
    gauge = forms.ChoiceField(
        label=gettext_lazy("Gauge and part"), choices=SeatRecord.Gauge.choices, widget=forms.RadioSelect
    )
    part_temperature = ReadingNumberField(
        label=gettext_lazy("Part temperature"), required=False, help_text=""
    )
    material = forms.ChoiceField(label=gettext_lazy("Part material"), choices=SeatRecord.Material.choices)
    instrument = forms.CharField(
        label=gettext_lazy("Instrument"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("needed before you sign"),
    )
    ring = ReadingNumberField(
        label=gettext_lazy("Bearing as measured, mean"),
        required=False,
        help_text=gettext_lazy("its bore, or its outside diameter for a housing"),
    )
    note = forms.CharField(label=gettext_lazy("Note"), max_length=300, required=False)
    confirmed = forms.BooleanField(label=gettext_lazy("Values are correct"), required=False)
    zeroed = forms.BooleanField(label=gettext_lazy("Gauge re-zeroed on its master"), required=False)
    reason = forms.CharField(label=gettext_lazy("Reason for correction"), max_length=300, required=False)

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        initial: Mapping[str, Any] | None = None,
        seats: Sequence[SuggestedSeat] = (),
        units: Units = "si",
        angles: int = 2,
        held: Mapping[str, Any] | None = None,
    ) -> None:
        first = {"unit": "in" if units == "us" else "mm", "moment": "as_found", **(initial or {})}
        super().__init__(data, initial=first)
        self.units = units
        self.angles = ANGLES[4 if angles == 4 else 2]
        self.bearings = {str(seat.bearing["ref"]): dict(seat.bearing) for seat in seats}
        if held and held.get("ref"):
            self.bearings.setdefault(str(held["ref"]), dict(held))
        self._choice("bearing").choices = [
            ("", _("not one of the stack")),
            *map(_bearing_choice, self.bearings.items()),
        ]
        self._choice("zone").choices = [
            ("", _("none")),
            *((zone, zone) for zone in sorted(known_zones(), key=_zone_order)),
        ]
        for plane in range(1, len(PLANE_NAMES) + 1):
            for angle in self.angles:
                label = _("Plane {plane} at {angle}°").format(plane=plane, angle=angle)
                self.fields[cell_name(plane, angle)] = ReadingNumberField(
                    label=label, required=False, help_text=""
                )
        for field in self.fields.values():
            if isinstance(field, ReadingNumberField):
                field.takes_unit = True

    def _choice(self, name: str) -> forms.ChoiceField:
        return cast(forms.ChoiceField, self.fields[name])

    @property
    def cell_rows(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """The planes with their cells, for the page."""
        for plane, name in enumerate(PLANE_NAMES, 1):
            yield str(name), [self[cell_name(plane, angle)] for angle in self.angles]

    @property
    def refused_cells(self) -> list[forms.BoundField]:
        return [cell for _name, cells in self.cell_rows for cell in cells if cell.errors]

    @property
    def unit_now(self) -> Unit:
        """The unit of the sheet as it is chosen now."""
        return "in" if self["unit"].value() == "in" else "mm"

    @property
    def temperature_unit(self) -> str:
        return "°F" if self.units == "us" else "°C"

    def _behind(self, name: str) -> str:
        """Return what was typed behind the number of a field."""
        return cast(ReadingNumberField, self.fields[name]).unit_behind

    def _read_in(self, name: str, sheet: Unit) -> Unit | None:
        """Return the unit of a typed size: the one behind it, else the sheet's; None where it is none for a size."""
        if not self._behind(name):
            return sheet
        unit = written_unit("length", self._behind(name))
        return None if unit is None else "in" if unit.name == "in" else "mm"

    @property
    def understood(self) -> list[str]:
        """The sizes that were typed in another unit than the sheet's, each with what was made of it."""
        sheet, told = self.unit_now, []
        for name in (*self._sizes(), "low", "high", "ring"):
            size = self.cleaned_data.get(name) if self.is_bound and name not in self.errors else None
            if size is None or self._read_in(name, sheet) == sheet:
                continue
            words = _("{field}: {typed} read as {figure}.")
            figure = size_text(size, "us" if sheet == "in" else "si")
            label = {"low": _("Lower limit"), "high": _("Upper limit")}.get(name, self.fields[name].label)
            told.append(words.format(field=label, typed=self._typed(name), figure=figure))
        return told

    def _sizes(self) -> list[str]:
        return [name for name in self.fields if name.startswith("p") and name[1:2].isdigit()]

    def clean(self) -> dict[str, object]:
        data = super().clean() or {}
        unit = self.unit_now
        for name in (*self._sizes(), "low", "high", "ring"):
            self._measure(name, unit)
        nominal = data.get("nominal_mm")
        if nominal is not None and written_unit("length", self._behind("nominal_mm") or "mm") != _MM:
            # In inches, 3.937 would make a bearing of 99.9998 mm.
            words = _("{typed}: enter the nominal size in mm, as the bearing book prints it.")
            self.add_error(
                "nominal_mm", words.format(typed=str(self.data.get("nominal_mm", "")).strip()[:40])
            )
        elif nominal is not None and not _SIZE_RANGE[0] <= nominal <= _SIZE_RANGE[1]:
            self.add_error(
                "nominal_mm",
                _("{value} mm is out of range. Enter 0.5 to 2000 mm.").format(value=plain(nominal)),
            )
        elif nominal is not None and nominal != nominal.quantize(Decimal("0.0001")):
            self.add_error(
                "nominal_mm", _("{value}: at most 4 decimals are accepted.").format(value=plain(nominal))
            )
        self._limits(data)
        self._temperature(data)
        return data

    def _measure(self, name: str, sheet: Unit) -> None:
        """Turn one typed size into exact millimetres, or refuse it beside its field."""
        value = self.cleaned_data.get(name)
        if value is None:
            return
        unit = self._read_in(name, sheet)
        if unit is None:
            words = _("“{unit}” is not a unit of this sheet. Enter the size in mm or in.")
            self.add_error(name, words.format(unit=self._behind(name)[:20]))
            return
        exponent = value.normalize().as_tuple().exponent
        decimals = -exponent if isinstance(exponent, int) else 0
        if value <= 0:
            self.add_error(name, _("{value} is not a size. Enter a size above 0.").format(value=plain(value)))
        elif decimals > _MOST_DECIMALS[unit]:
            words = _("{value} {unit}: at most {count} decimals are accepted.")
            self.add_error(name, words.format(value=plain(value), unit=unit, count=_MOST_DECIMALS[unit]))
        elif millimetres(value, unit) > _MOST_MM:
            self.add_error(
                name, _("{value} {unit} is larger than any seat.").format(value=plain(value), unit=unit)
            )
        else:
            self.cleaned_data[name] = millimetres(value, unit)

    def _limits(self, data: Mapping[str, Any]) -> None:
        low, high, named = data.get("low"), data.get("high"), data.get("limits_from") != "rule"
        if (low is None) != (high is None) and not ({"low", "high"} & set(self.errors)):
            self.add_error("low" if low is None else "high", _("Enter both sizes, or a zone."))
        if low is not None and high is not None and low >= high:
            self.add_error("high", _("The largest size must be above the smallest."))
        if (low is not None or high is not None) and data.get("zone"):
            self.add_error("zone", _("Enter a zone or two sizes, not both."))
        if named and low is None and high is None and not data.get("zone") and "zone" not in self.errors:
            self.add_error("zone", _("Enter the zone or sizes from the drawing or PO."))
        if not named and (data.get("zone") or low is not None):
            self.add_error(
                "limits_from", _("Choose whose zone or sizes these are: the drawing's or the PO's.")
            )

    def _temperature(self, data: Cleaned) -> None:
        value = data.get("part_temperature")
        if value is None:
            return
        behind = self._behind("part_temperature")
        unit = written_unit("temperature", behind or self.temperature_unit)
        if unit is None:
            words = _("“{unit}” is not a unit of temperature. Enter °C or °F.")
            self.add_error("part_temperature", words.format(unit=behind[:20]))
            return
        celsius = (value - 32) * 5 / 9 if unit.name == "°F" else value
        if not _PART_RANGE_C[0] <= celsius <= _PART_RANGE_C[1]:
            words = _("{value} is out of range. Enter −20 to 120 °C (−4 to 248 °F).")
            self.add_error("part_temperature", words.format(value=plain(value)))
            return
        data["part_temperature"] = celsius.quantize(_ONE)

    def entry(self) -> SeatEntry:
        """Return what was typed, of the fields that could be read; call it on a cleaned form with a nominal size."""
        data = self.cleaned_data
        names = [
            [cell_name(plane, angle) for angle in self.angles] for plane in range(1, len(PLANE_NAMES) + 1)
        ]
        return SeatEntry(
            place=data["place"],
            moment=data["moment"],
            nominal_mm=data["nominal_mm"],
            unit=self.unit_now,
            typed=tuple(tuple(self._typed(name) for name in row) for row in names),
            planes_mm=tuple(tuple(data.get(name) for name in row) for row in names),
            name=data.get("name", ""),
            bearing=self.bearings.get(data.get("bearing", ""), {}),
            tolerance_class=data.get("tolerance_class", ""),
            zone=data.get("zone", ""),
            low_mm=data.get("low"),
            high_mm=data.get("high"),
            limits_from=data.get("limits_from", "rule"),
            limits_source=data.get("limits_source", ""),
            instrument=data.get("instrument", ""),
            gauge=data.get("gauge") or "unknown",
            part_c=data.get("part_temperature"),
            material=data.get("material", "steel"),
            ring_typed=self._typed("ring"),
            ring_mm=data.get("ring"),
            note=data.get("note", ""),
            confirmed=data.get("confirmed", False),
            zeroed=data.get("zeroed", False),
        )

    def _typed(self, name: str) -> str:
        """Return a size as it was typed, with its unit where that is not the sheet's."""
        if self.cleaned_data.get(name) is None:
            return ""
        text = cast(ReadingNumberField, self.fields[name]).bare_text[:_LONGEST_TYPED]
        unit = self._read_in(name, self.unit_now)
        return text if unit == self.unit_now else f"{text} {unit}"

    def preview(self) -> SeatEntry | None:
        """Return what can be judged while one still types: a field that is refused counts as not typed."""
        if not self.is_bound:
            return None
        # Asking for the errors cleans once; cleaning again would take away what a service refused.
        refused = set(self.errors)
        needed = {"place", "moment", "nominal_mm"}
        return self.entry() if not needed & refused else None


def cell_name(plane: int, angle: int) -> str:
    return f"p{plane}a{angle}"


def _zone_order(zone: str) -> tuple[bool, str]:
    return is_hole(zone), zone


def _bearing_choice(item: tuple[str, Mapping[str, Any]]) -> tuple[str, str]:
    ref, bearing = item
    return ref, " · ".join(str(word) for word in (ref, bearing.get("designation")) if word)


def initial_of(seat: SeatRecord, units: Units) -> dict[str, object]:
    """Return a record as the sheet shows it, to go on with or to correct."""
    named = seat.limits_from in {SeatRecord.LimitsFrom.DRAWING, SeatRecord.LimitsFrom.ORDER}
    sizes = named and not seat.zone
    shown: dict[str, object] = {
        name: getattr(seat, name)
        for name in (
            "place", "name", "moment", "tolerance_class", "limits_source", "unit", "gauge", "material", "instrument",
            "note", "confirmed",
        )
    }  # fmt: skip
    shown |= {
        "bearing": seat.bearing_ref,
        "nominal_mm": plain(seat.nominal_mm),
        "limits_from": seat.limits_from if named else "rule",
        "zone": seat.zone if named else "",
        "low": _in_unit(seat.low_mm, seat.unit) if sizes else "",
        "high": _in_unit(seat.high_mm, seat.unit) if sizes else "",
        "part_temperature": _degrees(seat.part_c, units),
        "ring": seat.ring_typed,
    }
    for plane, texts in enumerate(seat.typed, 1):
        for angle, text in zip(ANGLES[4 if len(texts) == 4 else 2], texts, strict=False):
            shown[cell_name(plane, angle)] = text
    return shown


def initial_of_suggestion(seat: SuggestedSeat) -> dict[str, object]:
    """Return what is known of a seat before it is measured."""
    return {
        "place": seat.place,
        "bearing": seat.bearing["ref"],
        "nominal_mm": plain(seat.nominal_mm),
        "material": "steel" if seat.surface == "bore" else "iron",
    }


def _in_unit(millimetre: Decimal | None, unit: str) -> str:
    """Return a limit as the sheet's unit has it, or in the millimetres it was typed in where that unit cannot."""
    if millimetre is None:
        return ""
    size = (millimetre / millimetres(Decimal(1), unit)).quantize(Decimal("0.000001"))
    return plain(size) if millimetres(size, unit) == millimetre else f"{plain(millimetre)} mm"


def _degrees(celsius: Decimal | None, units: Units) -> str:
    if celsius is None:
        return ""
    return plain((celsius * 9 / 5 + 32).quantize(_ONE) if units == "us" else celsius)
