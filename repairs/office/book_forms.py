"""Forms of the bearing book, made from the stack file's own table of fields."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import (
    FIGURES,
    BookError,
    EntryDoubt,
    FieldSpec,
    Rating,
    choice_label,
    doubt_sentence,
    entry_doubts,
    field_label,
    field_spec,
    judge_rating,
    rating_figures,
    type_name,
)
from repairs.ledger.services import hash_body
from repairs.motors.spec_figures import SpecFigure

GROUPS: Final = (
    (gettext_lazy("Sizes"), ("bore_mm", "outside_diameter_mm", "height_mm", "contact_angle_deg")),
    (
        gettext_lazy("Ratings"),
        ("dynamic_rating_n", "static_rating_n", "fatigue_load_limit_n", "minimum_load_factor_n"),
    ),
    (
        gettext_lazy("Speed ratings"),
        ("limiting_speed_rpm", "reference_speed_rpm", "oil_speed_rpm", "grease_speed_rpm"),
    ),
    (
        gettext_lazy("Balls and preload"),
        ("ball_count", "ball_diameter_mm", "pitch_diameter_mm", "pair_preload_n"),
    ),
    (
        gettext_lazy("Cage and temperature limits"),
        ("cage_material", "temperature_limit_c", "stabilised_to_c"),
    ),
    (gettext_lazy("Friction and heat"), ("f0r", "f1r", "f0", "f1", "reference_surface_mm2")),
)


class SourceForm(forms.Form):
    """A maker's book in one edition."""

    maker = forms.CharField(label=gettext_lazy("Maker"), max_length=80)
    title = forms.CharField(label=gettext_lazy("Title"), max_length=120)
    edition = forms.CharField(
        label=gettext_lazy("Edition"),
        max_length=40,
        help_text=gettext_lazy("Number or year, as on the title page."),
    )
    published_on = forms.DateField(
        label=gettext_lazy("Date"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("For example, where the book is kept or which pages were entered."),
    )
    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def fields_of_source(self) -> dict[str, object]:
        """Return what the book's service takes."""
        return {
            name: self.cleaned_data[name] for name in ("maker", "title", "edition", "published_on", "note")
        }


class FigureField(forms.CharField):
    """A figure with its unit, kept as it was typed when it is refused."""

    def __init__(self, figure: SpecFigure, *, label: str = "", required: bool = False) -> None:
        self.figure = figure
        accepted = figure.accepted()
        super().__init__(
            label=label or _figure_label(figure.spec),
            required=required,
            max_length=40,
            help_text=accepted,
            error_messages={"required": _("Required. Accepted: {range}.").format(range=accepted)},
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        )

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        return self.figure.read(text) if text else None


def _as_printed(spec: FieldSpec) -> SpecFigure:
    """Return a figure as the book has it: what a source prints is entered in the source's unit."""
    return SpecFigure(spec, "si")


def _figure_label(spec: FieldSpec) -> str:
    return str(capfirst(field_label(spec.name).partition(",")[0]))


def _figure_field(spec: FieldSpec) -> forms.Field:
    if spec.kind != "choice":
        return FigureField(_as_printed(spec))
    choices = [("", _("not entered")), *((name, choice_label(name)) for name in spec.choices)]
    return forms.ChoiceField(label=_figure_label(spec), choices=choices, required=False)


def type_choices() -> list[tuple[str, str]]:
    """Return the types of bearing that can be entered, in the trade's words."""
    names: Any = field_spec("bearing", "type").choices
    return [("", _("choose")), *((name, type_name(name)) for name in names)]


class RatingForm(forms.Form):
    """One bearing, one variant, as one source prints it."""

    designation = forms.CharField(
        label=gettext_lazy("Designation"),
        max_length=60,
        help_text=gettext_lazy("As printed, without the maker."),
    )
    type = forms.ChoiceField(label=gettext_lazy("Type"), choices=type_choices)
    variant = forms.CharField(
        label=gettext_lazy("Variant"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("What differs at the same size: design, clearance, preload class."),
    )
    cage = forms.CharField(label=gettext_lazy("Cage"), max_length=60, required=False)
    speed_meaning = forms.CharField(
        label=gettext_lazy("Speed rating notes"),
        max_length=300,
        required=False,
        help_text=gettext_lazy("As the source says: for a single bearing, with which oil, which cooling."),
    )
    note = forms.CharField(
        label=gettext_lazy("Note"), max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    as_printed = forms.BooleanField(
        label=gettext_lazy("I checked these figures; they are entered as printed."), required=False
    )
    doubts_seen = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)
    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, data: Mapping[str, Any] | None = None, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        self.doubts: list[EntryDoubt] = []
        for name in FIGURES:
            self.fields[name] = _figure_field(field_spec("bearing", name))
            self.fields[_ticked(name)] = forms.BooleanField(label=_("not printed"), required=False)

    def clean(self) -> dict[str, object]:
        """Ask about figures that are right by themselves and doubtful together; a tick for these doubts answers."""
        data = super().clean() or self.cleaned_data
        if self.errors:
            return data
        fields = self.fields_of_rating()
        texts = {name: value for name, value in fields.items() if isinstance(value, str)}
        mistakes, bearing = judge_rating(texts, fields["figures"], fields["not_printed"])
        if bearing is not None and not mistakes:
            self._ask(entry_doubts(bearing))
        return data

    def _ask(self, doubts: Sequence[EntryDoubt]) -> None:
        self.doubts = list(doubts)
        asked = hash_body({"doubts": [doubt_sentence(one) for one in doubts]})
        seen = self.cleaned_data["doubts_seen"] == asked
        if not doubts or (seen and self.cleaned_data["as_printed"]):
            return
        words = _("Check these figures in the source. If printed so, tick “Entered as printed”.")
        self.add_error("as_printed", words)
        # The tick belongs to these doubts: with other figures it is asked for again.
        self.data = {**{name: self.data[name] for name in self.data}, "doubts_seen": asked, "as_printed": ""}

    def doubt_rows(self) -> list[dict[str, str]]:
        """Return what is asked, as the page shows it."""
        return [{"severity": "warn", "title": doubt_sentence(one)} for one in self.doubts]

    def groups(self) -> list[tuple[Any, list[dict[str, object]]]]:
        """Return the figures as the page shows them: field, unit, and the box that says “not printed”."""
        return [
            (
                title,
                [
                    {
                        "field": self[name],
                        "unit": _as_printed(field_spec("bearing", name)).sign,
                        "absent": self[_ticked(name)],
                    }
                    for name in names
                ],
            )
            for title, names in GROUPS
        ]

    def fields_of_rating(self) -> dict[str, Any]:
        """Return what the book's service takes."""
        data = self.cleaned_data
        texts = ("designation", "type", "variant", "cage", "speed_meaning", "note")
        return {
            **{name: data[name] for name in texts},
            "figures": {name: data[name] for name in FIGURES if data.get(name) not in (None, "")},
            "not_printed": [name for name in FIGURES if data.get(_ticked(name))],
        }


def _ticked(name: str) -> str:
    return f"{name}_not_printed"


def rating_initial(rating: Rating) -> dict[str, object]:
    """Return a stored rating as its form shows it, every digit kept."""
    texts = ("designation", "type", "variant", "cage", "speed_meaning", "note", "version")
    figures = {
        name: value if isinstance(value, str) else f"{value:.12g}"
        for name, value in rating_figures(rating).items()
    }
    absent = {_ticked(name): True for name in rating.not_printed}
    return {**{name: getattr(rating, name) for name in texts}, **figures, **absent}


def take_refusal(form: forms.Form, refusal: BookError) -> None:
    """Put the book's refusals beside their fields."""
    for name, text in refusal.mistakes.items() or {"": str(refusal)}.items():
        form.add_error(name if name in form.fields else None, text)
