"""Ratings of a bearing in the hand, estimated from its balls or rollers when no source prints them."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Bearing, EstimateError, Rollers, estimate_ratings, field_label, field_spec, plain
from repairs.bench.item_forms import PartForm
from repairs.motors.spec_figures import figure_of

# Asked for an estimate alone: the stack file has no place for rollers, so the note keeps what was measured.
ROLLER_LABELS = {
    "roller_count": gettext_lazy("Number of rollers"),
    "roller_diameter_mm": gettext_lazy("Mean roller diameter"),
    "roller_length_mm": gettext_lazy("Roller contact length"),
}
_OF_THE_INSIDE = (
    "bore_mm",
    "outside_diameter_mm",
    "ball_count",
    "ball_diameter_mm",
    "pitch_diameter_mm",
    "contact_angle_deg",
)


class RollersForm(forms.Form):
    """What is counted and measured of a thrust bearing's rollers."""

    roller_count = forms.IntegerField(
        label=ROLLER_LABELS["roller_count"], min_value=3, max_value=200, required=False, help_text="3 – 200"
    )
    roller_diameter_mm = forms.FloatField(
        label=ROLLER_LABELS["roller_diameter_mm"],
        min_value=1,
        max_value=500,
        required=False,
        help_text="1 – 500 mm",
    )
    roller_length_mm = forms.FloatField(
        label=ROLLER_LABELS["roller_length_mm"],
        min_value=1,
        max_value=500,
        required=False,
        help_text="1 – 500 mm",
    )

    def rollers(self) -> Rollers:
        """Return what was measured, as far as it could be read."""
        read = self.cleaned_data
        return Rollers(read.get("roller_count"), read.get("roller_diameter_mm"), read.get("roller_length_mm"))


def estimated(form: PartForm, rollers: RollersForm, posted: QueryDict) -> tuple[PartForm, str]:
    """Return the form with the estimate filled in and a sentence about it, or the form with what hinders it."""
    if not all([form.is_valid(), rollers.is_valid()]):
        return form, ""
    values = form.data_for_stack()
    inside: dict[str, Any] = {name: values[name] for name in _OF_THE_INSIDE if name in values}
    try:
        found = estimate_ratings(Bearing(type=values["type"], **inside), rollers.rollers())
    except KeyError:
        form.add_error("type", _("Choose the bearing type first."))
        return form, ""
    except EstimateError as error:
        _refuse(form, rollers, error)
        return form, ""
    filled = posted.copy()
    # An estimate is not worth its last figures, in either unit.
    worth = {"dynamic_rating_n": -2, "static_rating_n": -2, "fatigue_load_limit_n": -1}
    for name, digits in worth.items():
        newtons = getattr(found, name)
        if newtons is not None:
            figure = figure_of(field_spec("bearing", name), form.units)
            filled[name] = f"{round(figure.unit.from_si(newtons), digits):.0f}"
    filled["rating_basis"] = "geometry"
    filled["note"] = _note(filled.get("note", ""), rollers.rollers())
    said = _("Estimated by {source}. The record marks these ratings as an estimate.")
    again = PartForm(form.room, form.kind, form.units, filled, held=form.held)
    return again, said.format(source=found.source)


def _note(note: str, rollers: Rollers) -> str:
    if rollers.count is None:
        return note
    measured = _("ratings estimated from {count} rollers {diameter} × {length} mm").format(
        count=rollers.count,
        diameter=plain(rollers.diameter_mm or 0.0),
        length=plain(rollers.length_mm or 0.0),
    )
    return note if measured in note else "; ".join(part for part in (note, measured) if part)[:200]


def _refuse(form: PartForm, rollers: RollersForm, error: EstimateError) -> None:
    """Put beside each field what an estimate lacks, or why it cannot be."""
    texts = {
        "missing": _("Needed for the estimate. Count or measure it."),
        "impossible": _(
            "That many balls of this size do not fit this pitch diameter. Count and measure again."
        ),
        "outside-table": _("This is outside the tables of ISO 281 and ISO 76, so no estimate is made."),
        "no-rule": _("No estimate is available for this type under thrust."),
    }
    for name in error.fields:
        if name in rollers.fields:
            rollers.add_error(name, texts[error.reason])
        elif name in form.fields:
            form.add_error(name, texts[error.reason])
        else:
            form.add_error(None, f"{field_label(name)}: {texts[error.reason]}")
