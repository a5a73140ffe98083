"""The form of an observation: what one sees first, the suspected cause in a part of its own."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import exact
from repairs.measurements.engineering.tables.damage_modes import MODES
from repairs.measurements.forms import ReadingNumberField
from repairs.measurements.models import Observation
from repairs.measurements.observations.parts import StackPart
from repairs.measurements.observations.services import ObservationEntry, part_words
from repairs.measurements.words.damage import mode_words
from repairs.work_orders.models import JobPhoto

PRINTS = gettext_lazy("Prints on the customer's report.")


class ObservationForm(forms.Form):
    """One part, what is seen on it, and what may have caused it."""

    part = forms.ChoiceField(label=gettext_lazy("Part"), required=False)
    part_name = forms.CharField(
        label=gettext_lazy("Other part"), max_length=120, required=False, help_text=PRINTS
    )
    mode = forms.ChoiceField(label=gettext_lazy("What you see"), widget=forms.RadioSelect)
    element = forms.ChoiceField(
        label=gettext_lazy("Where on the part"),
        choices=Observation.Element.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    load_zone_deg = ReadingNumberField(
        at_least=Decimal(0),
        label=gettext_lazy("Load zone"),
        required=False,
        help_text=gettext_lazy("Up to 360°: how far around the track reaches."),
    )
    location = forms.CharField(
        label=gettext_lazy("Location"), max_length=120, required=False, help_text=PRINTS
    )
    extent = forms.CharField(
        label=gettext_lazy("Extent"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("Number, size or share of the track. Prints on the customer's report."),
    )
    confidence = forms.ChoiceField(
        label=gettext_lazy("How sure"), choices=Observation.Confidence.choices, widget=forms.RadioSelect
    )
    photo = forms.TypedChoiceField(
        label=gettext_lazy("Photo"), coerce=int, empty_value=None, required=False, widget=forms.RadioSelect
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        max_length=300,
        required=False,
        help_text=gettext_lazy("For the shop. Does not print for the customer."),
    )
    cause = forms.CharField(
        label=gettext_lazy("Suspected cause"), max_length=300, required=False, help_text=PRINTS
    )
    cause_evidence = forms.CharField(
        label=gettext_lazy("Evidence for this cause"), max_length=300, required=False, help_text=PRINTS
    )
    cause_confidence = forms.ChoiceField(
        label=gettext_lazy("How sure of the cause"),
        choices=Observation.Confidence.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    mounted_by_us = forms.ChoiceField(
        label=gettext_lazy("Mounted by this shop"),
        choices=Observation.Mounted.choices,
        widget=forms.RadioSelect,
        required=False,
        help_text=gettext_lazy("For the shop. Does not print for the customer."),
    )
    reason = forms.CharField(label=gettext_lazy("Reason for correction"), max_length=300, required=False)

    def __init__(
        self,
        *args: Any,
        parts: Sequence[StackPart] = (),
        photos: Sequence[JobPhoto] = (),
        corrected: Observation | None = None,
        **kwargs: Any,
    ) -> None:
        if corrected is not None:
            kwargs["initial"] = {**initial_of(corrected), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)
        listed = [(part.uid, part.name) for part in parts]
        if corrected is not None and corrected.item_uid and corrected.item_uid not in dict(listed):
            # Off the list since then; the correction is still about it.

            listed.append((corrected.item_uid, part_words(corrected)))
        self._choose("part", [*listed, ("", _("Other part, not in the stack"))])
        self._choose("mode", [(mode.code, mode_words(mode.code)) for mode in MODES])
        self._choose("photo", [("", _("No photo")), *((one.pk, str(one.photo)) for one in photos)])
        if corrected is None:
            del self.fields["reason"]

    def _choose(self, name: str, choices: list[tuple[Any, str]]) -> None:
        self.fields[name].choices = choices  # type: ignore[attr-defined]

    def entry(self) -> ObservationEntry:
        """Return what was entered."""
        return ObservationEntry(
            **{name: value for name, value in self.cleaned_data.items() if name != "reason"}
        )


def initial_of(row: Observation) -> dict[str, Any]:
    """Return what a correction starts with."""
    names = (
        "part_name", "mode", "element", "load_zone_deg", "location", "extent", "confidence", "note", "cause",
        "cause_evidence", "cause_confidence", "mounted_by_us",
    )  # fmt: skip
    values: dict[str, Any] = {name: getattr(row, name) for name in names}
    zone = row.load_zone_deg
    return {
        **values,
        "part": row.item_uid,
        "photo": row.photo_id or "",
        "load_zone_deg": "" if zone is None else exact(zone),
    }
