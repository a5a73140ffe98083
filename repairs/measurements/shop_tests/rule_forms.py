"""The form of the rules that tests are judged by: one box a rule, grouped by test, for the shop or for one job."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Units, plain
from repairs.measurements.models import TestSetting
from repairs.measurements.shop_tests.forms import MeasuredField, value_words
from repairs.measurements.shop_tests.machine import WINDING_KEY
from repairs.measurements.shop_tests.shop_services import SETTINGS, setting_field
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.units import preferred_unit

WINDINGS = {"random": gettext_lazy("random wound"), "form": gettext_lazy("form wound")}


class RulesForm(forms.Form):
    """Every rule with what holds now; of a job, with what the shop's says where the job says nothing."""

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        units: Units,
        own: Mapping[str, TestSetting],
        shop: Mapping[str, TestSetting],
        of_job: bool,
    ) -> None:
        initial = {key: self._shown(key, row.value, units) for key, row in own.items()}
        super().__init__(data, initial=initial)
        self.units, self.of_job, self.shop = units, of_job, shop
        for key in SETTINGS:
            if key != WINDING_KEY or of_job:
                self.fields[key] = self._field(key)

    def _shown(self, key: str, value: str, units: Units) -> str:
        field = setting_field(key)
        if SETTINGS[key] or field is None:
            return value
        return plain(preferred_unit(field.quantity, units).from_si(float(value)))

    def _field(self, key: str) -> forms.Field:
        label, field = self._label(key), setting_field(key)
        if not SETTINGS[key] and field is not None:
            unit = preferred_unit(field.quantity, self.units).name
            return MeasuredField(field, self.units, label=f"{label} ({unit})" if unit else label)
        choices = [("", self._unsaid(key)), *((one, self._choice(key, one)) for one in SETTINGS[key])]
        return forms.ChoiceField(label=label, required=False, choices=choices)

    def _label(self, key: str) -> str:
        if key == WINDING_KEY:
            return _("Winding")
        test, _dot, code = key.partition(".")
        return str(WORDS[test].fields[code])

    def _choice(self, key: str, value: str) -> str:
        if key == WINDING_KEY:
            return str(WINDINGS[value])
        return value_words(value, "choice", self.units, WORDS[key.partition(".")[0]])

    def _unsaid(self, key: str) -> str:
        of_shop = self.shop.get(key)
        if not self.of_job or of_shop is None:
            return _("not set")
        return _("as the shop: {value}").format(value=self._choice(key, of_shop.value))

    @property
    def groups(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """The rules of each test, for the page."""
        if WINDING_KEY in self.fields:
            yield _("Motor"), [self[WINDING_KEY]]
        for test, words in WORDS.items():
            found = [self[key] for key in SETTINGS if key.partition(".")[0] == test]
            if found:
                yield str(words.title), found

    def values(self) -> dict[str, str]:
        """Return every rule as it is kept, an empty text where nothing is said."""
        found = {}
        for key in self.fields:
            value = self.cleaned_data.get(key)
            found[key] = repr(value[0]) if isinstance(value, tuple) else str(value or "")
        return found
