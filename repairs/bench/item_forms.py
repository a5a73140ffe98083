"""Forms for one part of a stack, made from the stack file's own table of fields."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import choice_label, field_label, field_spec
from repairs.motors.spec_figures import SpecFigure, figure_of, read_height
from repairs.work_orders.services.stack_editing import InvalidItemError

IDENTITY = (
    "designation",
    "maker",
    "variant",
    "cage",
    "serial",
    "mark",
    "set_id",
    "pairing",
    "source",
    "note",
)
SIZES = ("bore_mm", "outside_diameter_mm", "height_mm", "contact_angle_deg")
RATINGS = (
    "dynamic_rating_n",
    "static_rating_n",
    "rating_basis",
    "fatigue_load_limit_n",
    "minimum_load_factor_n",
)
SPEEDS = ("limiting_speed_rpm", "oil_speed_rpm", "grease_speed_rpm", "reference_speed_rpm")
INSIDE = (
    "ball_count",
    "ball_diameter_mm",
    "pitch_diameter_mm",
    "inner_groove_ratio",
    "outer_groove_ratio",
    "pair_preload_n",
    "stand_out_um",
    "stand_out_tolerance_um",
    "fit_interference_um",
)
WARM = ("cage_material", "temperature_limit_c", "stabilised_to_c")
SPRINGS = ("spring_force_n", "spring_rate_n_per_mm", "spring_travel_mm")
HEAT = (
    "f0r",
    "f1r",
    "f0",
    "f1",
    "reference_surface_mm2",
    "shaft_washer_diameter_mm",
    "housing_washer_bore_mm",
)
PART_FIELDS = ("ring", "height_mm", "inner_height_mm", "outer_height_mm", "note")
GROUPS = (
    (gettext_lazy("What it is"), ("type", "wide_face", *IDENTITY)),
    (gettext_lazy("Sizes"), SIZES),
    (gettext_lazy("Ratings"), RATINGS),
    (gettext_lazy("Speeds from the book"), SPEEDS),
    (gettext_lazy("Balls, preload, face offset"), INSIDE),
    (gettext_lazy("Cage, maximum temperature"), WARM),
    (gettext_lazy("Springs under the ring"), SPRINGS),
    (gettext_lazy("Friction and heat"), HEAT),
)
GUIDE_FIELDS = (
    "carries",
    "end_play_um",
    "radial_load_n",
    "lubricant",
    "guide_temperature_c",
    "distance_mm",
)
LABELS = {"pitch_diameter_mm": gettext_lazy("Ball pitch diameter")}
# A bearing has a height in the book; what lies between bearings has a width, and what is thin a thickness.
PART_LABELS = {
    "height_mm": gettext_lazy("Width"),
    "inner_height_mm": gettext_lazy("Inner spacer width"),
    "outer_height_mm": gettext_lazy("Outer spacer width"),
}
THIN = {"height_mm": gettext_lazy("Thickness")}


def _labels(room: str, kind: str) -> Mapping[str, str | Promise]:
    """Return the labels that differ from the fields' own."""
    if room != "part":
        return LABELS
    return {**PART_LABELS, **THIN} if kind in {"shim", "snap_ring", "lock_washer", "slinger"} else PART_LABELS


def _form_field(figure: SpecFigure, labels: Mapping[str, str | Promise]) -> forms.Field:
    spec = figure.spec
    label = str(labels.get(spec.name) or field_label(spec.name))
    label = label[:1].upper() + label[1:]
    if spec.kind == "choice":
        names = [(choice, choice_label(choice)) for choice in spec.choices]
        blank = [("", _("not known"))] if not spec.required else []
        return forms.ChoiceField(label=label, choices=[*blank, *names], required=False)
    attributes = {"inputmode": "decimal", "autocomplete": "off"} if spec.kind in {"number", "integer"} else {}
    length = 200 if spec.kind == "text" else 30
    return forms.CharField(
        label=label,
        required=False,
        max_length=length,
        help_text=figure.accepted(),
        widget=forms.TextInput(attrs=attributes),
    )


class PartForm(forms.Form):
    """One part: a bearing, a guide bearing, or another part. Numbers are typed as text, so that nothing is lost.

    ``held`` is what the list holds of the part: a figure that still reads as it does stays it to the last digit.
    """

    def __init__(
        self,
        room: str,
        kind: str,
        units: str,
        data: Mapping[str, Any] | None = None,
        *,
        held: Mapping[str, Any] | None = None,
    ) -> None:
        self.held = held or {}
        super().__init__(data, initial=typed(self.held, room, units))
        self.room, self.kind, self.units = room, kind, units
        for name in self.names():
            self.fields[name] = _form_field(_figure(room, name, units), _labels(room, kind))

    def names(self) -> tuple[str, ...]:
        """Return the fields of this kind of part."""
        if self.room == "part":
            return PART_FIELDS
        own = tuple(name for _title, group in GROUPS for name in group)
        return (*GUIDE_FIELDS, *own) if self.room == "guide" else own

    def groups(self, on_list: dict[str, str] | None = None) -> list[dict[str, object]]:
        """Return the fields in groups, as a page shows them.

        ``on_list`` is what the list holds since somebody else wrote: it stands beside every field that differs.
        """
        on_list = {} if on_list is None else {name: on_list.get(name, "") for name in self.names()}
        if self.room == "part":
            return [
                {"title": "", "fields": [self._shown(name, on_list) for name in PART_FIELDS], "open": True}
            ]
        groups = [(gettext_lazy("Guide"), GUIDE_FIELDS), *GROUPS] if self.room == "guide" else GROUPS
        return [
            {
                "title": title,
                "fields": [self._shown(name, on_list) for name in names],
                "open": index < 4 or any(self[n].errors or self[n].value() or on_list.get(n) for n in names),
            }
            for index, (title, names) in enumerate(groups)
        ]

    def _shown(self, name: str, on_list: dict[str, str]) -> dict[str, object]:
        sign = _figure(self.room, name, self.units).sign
        shown: dict[str, object] = {"field": self[name], "unit": sign}
        if name in on_list and on_list[name] != str(self[name].value() or ""):
            shown["on_list"] = choice_label(on_list[name]) if on_list[name] else _("nothing")
        return shown

    def clean(self) -> dict[str, object]:
        """Turn typed numbers into numbers of the stack file's units."""
        cleaned = super().clean() or {}
        for name in self.names():
            figure = _figure(self.room, name, self.units)
            typed = cleaned.get(name)
            if figure.spec.kind not in {"number", "integer"} or not typed:
                continue
            try:
                number = self._read(figure, typed)
            except forms.ValidationError as error:
                self.add_error(name, error)
                continue
            # Judged here already, so that a field that cannot be read hides no other field's range.
            value, wrong = figure.checked(number)
            cleaned[name] = value
            if wrong:
                self.add_error(name, wrong)
        return cleaned

    def _read(self, figure: SpecFigure, typed: str) -> float | int:
        is_height = self.room == "part" and figure.spec.unit == "mm"
        number = read_height(figure, typed) if is_height else figure.read(typed)
        return figure.kept(number, self.held.get(figure.spec.name))

    def data_for_stack(self) -> dict[str, Any]:
        """Return the stack file's fields of this part."""
        values = {key: value for key, value in self.cleaned_data.items() if value not in (None, "")}
        return values if self.room == "guide" else {"kind": self.kind, **values}

    def take_refusal(self, refusal: InvalidItemError) -> None:
        """Put the service's refusals beside their fields."""
        for name, text in refusal.mistakes.items():
            self.add_error(name if name in self.fields else None, text)


def typed(data: Mapping[str, object], room: str, units: str) -> dict[str, str]:
    """Return a part's fields as a form shows them."""
    return {key: _typed(room, key, value, units) for key, value in data.items()}


def _typed(room: str, name: str, value: object, units: str) -> str:
    return _figure(room, name, units).text(value) if isinstance(value, int | float) else str(value)


def _figure(room: Any, name: str, units: str) -> SpecFigure:
    """Return a field's figure: parts are turned in the shop's unit, the sizes of bearings are metric everywhere."""
    return figure_of(field_spec(room, name), units, turned=room == "part")
