"""The form of one row of a run, and of what is said when the run ends."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from django import forms
from django.utils.translation import gettext_lazy

from bearings.public import Units
from repairs.measurements.engineering.shape import Subject
from repairs.measurements.engineering.subjects.run_temperatures import COLUMNS, KINDS, SUBJECT
from repairs.measurements.shop_tests.forms import YES_NO, MeasuredField
from repairs.measurements.shop_tests.run_services import RowEntry
from repairs.measurements.words.run_temperatures import WORDS

FACTS: Final = ("top_kind", "bottom_kind", "uncoupled")
# What the end of a run is asked: the rows were taken before, the facts with them.
FINISH: Final[Subject] = SUBJECT._replace(
    fields=tuple(one for one in SUBJECT.fields if one.code != "temperatures")
)


class RunRowForm(forms.Form):
    """One reading of a run: its time and what was read. Boxes that were not read stay empty."""

    time = forms.CharField(
        label=gettext_lazy("Time"),
        max_length=20,
        help_text=gettext_lazy("Minutes since start (45), or the clock (14:05)."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "data-row": ""}),
    )

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        units: Units = "si",
        initial: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__(data, initial=dict(initial or {}))
        for column in COLUMNS[1:]:
            self.fields[column.code] = MeasuredField(column, units, label=WORDS.fields[column.code])
        for code in FACTS:
            choices = YES_NO if code == "uncoupled" else [(one, WORDS.choices[one]) for one in KINDS]
            self.fields[code] = forms.ChoiceField(
                label=WORDS.fields[code], required=False, choices=choices, widget=forms.RadioSelect
            )

    @property
    def readings(self) -> Iterator[forms.BoundField]:
        """The boxes of one reading, for the page."""
        for column in COLUMNS[1:]:
            yield self[column.code]

    @property
    def facts(self) -> Iterator[forms.BoundField]:
        """What holds for the run, for the page."""
        for code in FACTS:
            yield self[code]

    def entry(self) -> RowEntry:
        """Return what was entered."""
        read = {column.code: self.cleaned_data.get(column.code) for column in COLUMNS[1:]}
        return RowEntry(
            time=self.cleaned_data["time"],
            values={code: found[0] for code, found in read.items() if found is not None},
            typed={code: found[1] for code, found in read.items() if found is not None},
            facts={code: self.cleaned_data[code] for code in FACTS if self.cleaned_data.get(code)},
        )
