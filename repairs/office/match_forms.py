"""The question of a match as a form: envelope, pattern, speeds, thrusts and oil. Its address carries all of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django import forms
from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import ORDERS, FieldSpec, field_spec, plain, type_name
from repairs.motors.plate_fields import BY_KEY
from repairs.motors.spec_figures import figure_of, says_unit
from repairs.office.book_forms import FigureField

ENVELOPE: Final = ("bore_mm", "outside_diameter_mm", "height_mm")
SPEEDS: Final = ("rated_speed_rpm", "synchronous_speed_rpm", "maximum_speed_rpm", "reverse_speed_rpm")
LOADS: Final = (
    "down_thrust_n",
    "maximum_down_thrust_n",
    "up_thrust_n",
    "rotor_weight_n",
    "radial_load_n",
    "required_l10h",
)
OIL: Final = ("method", "iso_vg", "temperature_c", "contamination")
MOTOR_FIELDS: Final = ("mounting", *SPEEDS, "non_reverse", *LOADS)
MOST_PLACES: Final = 6
PLACES: Final = tuple(f"p{number}" for number in range(1, MOST_PLACES + 1))
TYPES: Final = ("angular_contact_ball", "spherical_roller_thrust")
FACES: Final = {"d": "down", "u": "up"}
ORDER_WORDS: Final[dict[str, Promise]] = {
    "margin": gettext_lazy("highest speed margin"),
    "life": gettext_lazy("longest life"),
    "static": gettext_lazy("highest static safety"),
    "height": gettext_lazy("smallest height difference"),
}
# What an address that leaves them out means.
USUAL: Final = {"mounting": "vertical", "type": TYPES[0], "sort": ORDERS[0]}
TOLERANCE: Final = FieldSpec(
    name="tolerance_mm", kind="number", unit="mm", minimum=0, maximum=200, description=""
)


class MatchFigure(FigureField):
    """A figure with its unit that must lie in its range."""

    def clean(self, value: Any) -> Any:
        checked, wrong = self.figure.checked(super().clean(value))
        if wrong is not None:
            raise forms.ValidationError(wrong)
        return checked


def _choices(key: str) -> list[tuple[str, str | Promise]]:
    return [("", _("not known")), *BY_KEY[key].choices]


class MatchForm(forms.Form):
    """What a bearing is looked for. With a record the pattern is the record's; else it is built here."""

    mounting = forms.ChoiceField(
        label=gettext_lazy("Shaft"),
        choices=[("vertical", gettext_lazy("vertical")), ("horizontal", gettext_lazy("horizontal"))],
        required=False,
    )
    non_reverse = forms.BooleanField(label=gettext_lazy("Non-reverse ratchet"), required=False)
    method = forms.ChoiceField(
        label=gettext_lazy("Lubrication"), choices=lambda: _choices("lubrication"), required=False
    )
    contamination = forms.ChoiceField(
        label=gettext_lazy("Oil cleanliness"), choices=lambda: _choices("cleanliness"), required=False
    )
    sort = forms.ChoiceField(
        label=gettext_lazy("Sort by"), choices=[(name, ORDER_WORDS[name]) for name in ORDERS], required=False
    )
    record = forms.IntegerField(widget=forms.HiddenInput, required=False)
    # An address is passed on: figures without a unit are in the units of the person who asked.
    units = forms.CharField(widget=forms.HiddenInput, max_length=2, required=False)

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, with_record: bool, units: str, **kwargs: Any
    ) -> None:
        super().__init__(data if data is None else asked_in(data, units), **kwargs)
        self.with_record, self.units_asked = with_record, units
        self.initial["units"] = units
        for name in ENVELOPE:
            self._add_figure(field_spec("bearing", name), required=name == "bore_mm")
        self._add_figure(TOLERANCE, label=_("Spacers can make up"))
        for name in (*SPEEDS, *LOADS):
            self._add_figure(field_spec("motor", name), required=name == "rated_speed_rpm")
        for name in ("iso_vg", "temperature_c"):
            self._add_figure(field_spec("lubrication", name))
        if not with_record:
            self._add_pattern()
        self.order_fields([*ENVELOPE, "tolerance_mm", "type", "contact_angle_deg", *PLACES])

    def _add_figure(self, spec: FieldSpec, *, label: str = "", required: bool = False) -> None:
        figure = figure_of(spec, self.units_asked)
        self.fields[spec.name] = MatchFigure(figure, label=label, required=required)

    def _add_pattern(self) -> None:
        self.fields["type"] = forms.ChoiceField(
            label=_("Type"), choices=[(name, capfirst(type_name(name))) for name in TYPES], required=False
        )
        self._add_figure(field_spec("bearing", "contact_angle_deg"))
        faces = [("d", _("down")), ("u", _("up")), ("", _("none"))]
        for number, name in enumerate(PLACES, 1):
            label = _("1 (top)") if number == 1 else str(number)
            self.fields[name] = forms.ChoiceField(
                label=label, choices=faces, widget=forms.RadioSelect, required=False
            )

    def clean(self) -> dict[str, object]:
        """Refuse an outside diameter that is not above the bore, and a pattern without a bearing."""
        cleaned: dict[str, Any] = super().clean() or {}
        for name, usual in USUAL.items():
            if name in cleaned:
                cleaned[name] = cleaned[name] or usual
        bore, outside = cleaned.get("bore_mm"), cleaned.get("outside_diameter_mm")
        if bore is not None and outside is not None and outside <= bore:
            words = _("Enter an outside diameter above the bore. Accepted: more than {bore} mm.")
            self.add_error("outside_diameter_mm", words.format(bore=plain(bore)))
        if not self.with_record and not any(cleaned.get(name) for name in PLACES):
            words = _("Choose at least one bearing: down or up at one or more places.")
            self.add_error("p1", words)
        return cleaned

    def faces(self) -> str:
        """Return the pattern as letters from the top."""
        return "".join(self.cleaned_data[name] for name in PLACES)

    def rows(self, names: tuple[str, ...]) -> list[tuple[forms.BoundField, str]]:
        """Return some fields with their units, as the page sets them side by side."""
        return [(self[name], self._unit(name)) for name in names]

    def _unit(self, name: str) -> str:
        """Return the unit of a field, unless what stands in it says its own."""
        field = self.fields[name]
        if not isinstance(field, MatchFigure) or says_unit(str(self[name].value() or "")):
            return ""
        return field.figure.sign

    def envelope_rows(self) -> list[tuple[forms.BoundField, str]]:
        return self.rows((*ENVELOPE, "tolerance_mm"))

    def kind_rows(self) -> list[tuple[forms.BoundField, str]]:
        return self.rows(("type", "contact_angle_deg"))

    def place_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in PLACES]

    def speed_rows(self) -> list[tuple[forms.BoundField, str]]:
        return self.rows(SPEEDS)

    def load_rows(self) -> list[tuple[forms.BoundField, str]]:
        return self.rows(LOADS)

    def oil_rows(self) -> list[tuple[forms.BoundField, str]]:
        return self.rows(OIL)


def asked_in(data: Mapping[str, Any], units: str) -> dict[str, Any]:
    """Return a question with its figures in a reader's units; what cannot be read stays as it was typed."""
    asked = {name: data[name] for name in data}
    theirs = asked.get("units") or "si"
    asked["units"] = units
    return {name: _in_units(name, text, theirs, units) for name, text in asked.items()}


def _in_units(name: str, text: Any, theirs: str, units: str) -> Any:
    spec = _specs().get(name)
    if spec is None or theirs == units or not str(text).strip() or says_unit(str(text)):
        return text
    try:
        return figure_of(spec, units).text(figure_of(spec, theirs).read(str(text)))
    except forms.ValidationError:
        return text


def _specs() -> dict[str, FieldSpec]:
    """Return the fields whose figures change with the reader."""
    own = {name: field_spec("motor", name) for name in LOADS}
    return {**own, "tolerance_mm": TOLERANCE, "temperature_c": field_spec("lubrication", "temperature_c")}
