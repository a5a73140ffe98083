"""Forms for one part of a stack, made from the stack file's own table of fields."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import FieldSpec, check_value, choice_label, field_label, field_spec
from repairs.motors.spec_figures import accepted_range, height_text, read_figure, read_height, unit_sign
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


def _form_field(spec: FieldSpec, labels: Mapping[str, str | Promise]) -> forms.Field:
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
        help_text=accepted_range(spec),
        widget=forms.TextInput(attrs=attributes),
    )


class PartForm(forms.Form):
    """One part: a bearing, a guide bearing, or another part. Numbers are typed as text, so that nothing is lost."""

    def __init__(self, room: str, kind: str, units: str, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.room, self.kind, self.units = room, kind, units
        for name in self.names():
            self.fields[name] = _form_field(field_spec(self.room, name), _labels(room, kind))  # type: ignore[arg-type]

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
        spec = field_spec(self.room, name)  # type: ignore[arg-type]
        shown: dict[str, object] = {
            "field": self[name],
            "unit": "in" if self._in_inches(spec) else unit_sign(spec),
        }
        if name in on_list and on_list[name] != str(self[name].value() or ""):
            shown["on_list"] = choice_label(on_list[name]) if on_list[name] else _("nothing")
        return shown

    def clean(self) -> dict[str, object]:
        """Turn typed numbers into numbers of the stack file's units."""
        cleaned = super().clean() or {}
        for name in self.names():
            spec = field_spec(self.room, name)  # type: ignore[arg-type]
            typed = cleaned.get(name)
            if spec.kind not in {"number", "integer"} or not typed:
                continue
            try:
                number = self._read(spec, typed)
            except forms.ValidationError as error:
                self.add_error(name, error)
                continue
            # Judged here already, so that a field that cannot be read hides no other field's range.
            value, wrong = check_value(spec, number)
            cleaned[name] = value
            if wrong:
                self.add_error(name, wrong)
        return cleaned

    def _in_inches(self, spec: FieldSpec) -> bool:
        """Whether a size is read in inches: heights of parts are turned in the shop, sizes of bearings are metric."""
        return self.room == "part" and self.units == "us" and spec.unit == "mm"

    def _read(self, spec: FieldSpec, typed: str) -> float | int:
        if self.room == "part" and spec.unit == "mm":
            return read_height(spec, typed, self.units)
        return read_figure(spec, typed)

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
    return {key: _typed(value, units if room == "part" else "si") for key, value in data.items()}


def _typed(value: object, units: str) -> str:
    return height_text(value, units) if isinstance(value, int | float) else str(value)
