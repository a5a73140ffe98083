"""Forms of the shop policy and of the route templates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import FieldSpec, field_spec
from repairs.motors.models import Motor
from repairs.motors.spec_figures import SpecFigure, figure_of, says_unit
from repairs.work_orders.models import ShopPolicy, StepKind
from repairs.work_orders.services.policy import DEFAULTS

PRACTICE: Final = gettext_lazy("common practice, no source")
ASSUMED: Final = gettext_lazy("shop assumption, printed as such")
BY_HAND: Final = "none"


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit of the checker: what it is called here, and where its default comes from."""

    label: str | Promise
    source: str | Promise


LIMITS: Final = {
    "minimum_speed_margin": Limit(gettext_lazy("Minimum speed margin"), PRACTICE),
    "stop_l10h": Limit(gettext_lazy("STOP below stack life of"), PRACTICE),
    "warn_l10h": Limit(gettext_lazy("WARN below stack life of"), PRACTICE),
    "minimum_static_safety_ball": Limit(gettext_lazy("Minimum static safety, ball bearings"), "ISO 76:2006"),
    "minimum_static_safety_spherical_roller_thrust": Limit(
        gettext_lazy("Minimum static safety, spherical roller thrust bearings"), "ISO 76:2006"
    ),
    "tandem_stand_out_um": Limit(gettext_lazy("Maximum face-offset difference in tandem"), PRACTICE),
    "spacer_pair_um": Limit(gettext_lazy("Maximum inner/outer spacer height difference"), PRACTICE),
    "unloaded_warn_ndm": Limit(gettext_lazy("WARN on unloaded bearing above n × dm of"), PRACTICE),
    "warm_preload_share": Limit(gettext_lazy("Maximum warm preload, part of dynamic rating"), PRACTICE),
    "gauge_force_n": Limit(gettext_lazy("End play check force"), PRACTICE),
    "assumed_shaft_warmer_k": Limit(
        gettext_lazy("Assumed shaft warmer than housing, if not measured"), ASSUMED
    ),
    "assumed_temperature_c": Limit(gettext_lazy("Assumed oil temperature, if not measured"), ASSUMED),
}
SET_FACTORS: Final = {
    "single": Limit(gettext_lazy("single bearing"), PRACTICE),
    "tandem_pair": Limit(gettext_lazy("tandem pair"), PRACTICE),
    "tandem_many": Limit(gettext_lazy("tandem of three or more"), PRACTICE),
    "opposed_pair": Limit(gettext_lazy("opposed pair"), PRACTICE),
    "opposed_single_side": Limit(gettext_lazy("opposed set, one bearing on one side"), PRACTICE),
    "opposed_many": Limit(gettext_lazy("other opposed sets"), PRACTICE),
    "spring": Limit(gettext_lazy("bearing on springs"), PRACTICE),
}


class LimitField(forms.CharField):
    """A limit in the reader's unit; what still reads as it is stored stays stored to the last digit."""

    def __init__(self, figure: SpecFigure, limit: Limit, default: float | None, stored: float | None) -> None:
        self.figure, self.known = figure, (stored, default)
        wrong = _("Enter {range}.").format(range=figure.range())
        super().__init__(
            label=str(limit.label),
            required=default is not None,
            max_length=40,
            help_text=_hint(figure, limit, default),
            error_messages={"required": wrong, "range": wrong},
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        )

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        number = float(self.figure.read(text))
        for known in self.known:
            number = self.figure.kept(number, known)
        checked, wrong = self.figure.checked(number)
        if wrong is not None:
            raise forms.ValidationError(self.error_messages["range"])
        return checked


class PolicyForm(forms.Form):
    """The name on the papers, and the limits of the checker under the names that the stack file uses."""

    name = forms.CharField(label=gettext_lazy("Shop name"), max_length=120, required=False)
    address = forms.CharField(
        label=gettext_lazy("Address"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data: Mapping[str, Any] | None = None, *, policy: ShopPolicy, units: str) -> None:
        kept = {"name": policy.name, "address": policy.address, "version": policy.version}
        super().__init__(data, initial=kept)
        stored, factors = {**DEFAULTS, **policy.limits}, policy.limits.get("set_factors", {})
        for name, limit in LIMITS.items():
            self._add(field_spec("policy", name), limit, DEFAULTS[name], stored[name], units)
        for name, limit in SET_FACTORS.items():
            default = DEFAULTS["set_factors"][name]
            self._add(field_spec("set_factors", name), limit, default, factors.get(name, default), units)

    def _add(
        self, spec: FieldSpec, limit: Limit, default: float | None, stored: float | None, units: str
    ) -> None:
        field = LimitField(figure_of(spec, units), limit, default, stored)
        self.fields[spec.name] = field
        if stored is not None:
            self.initial[spec.name] = field.figure.text(stored)

    def limits(self) -> dict[str, float | None]:
        return {name: self.cleaned_data[name] for name in LIMITS}

    def set_factors(self) -> dict[str, float]:
        return {name: self.cleaned_data[name] for name in SET_FACTORS}

    def limit_rows(self) -> list[tuple[forms.BoundField, str]]:
        return self._rows(LIMITS)

    def factor_rows(self) -> list[tuple[forms.BoundField, str]]:
        return self._rows(SET_FACTORS)

    def _rows(self, names: Iterable[str]) -> list[tuple[forms.BoundField, str]]:
        """Return fields with the unit that stands behind them, unless what was typed says its own."""
        rows = []
        for name in names:
            field: Any = self.fields[name]
            rows.append((self[name], "" if says_unit(str(self[name].value() or "")) else field.figure.sign))
        return rows


def _hint(figure: SpecFigure, limit: Limit, default: float | None) -> str:
    words = _("{range}; leave empty for none; {source}")
    if default is not None:
        words = _("{range}; default {default}; {source}")
    return words.format(
        range=figure.range(),
        default="" if default is None else figure.words(default),
        source=limit.source,
    )


def builds() -> list[tuple[str, str | Promise]]:
    """Return which motors a template may serve."""
    return [("", _("any motor")), *Motor.Build.choices, (BY_HAND, _("only when chosen"))]


class TemplateForm(forms.Form):
    """What a route template is called, and which motors it serves."""

    name = forms.CharField(label=gettext_lazy("Name"), max_length=80)
    for_build = forms.ChoiceField(label=gettext_lazy("For"), choices=builds, required=False)


class NewTemplateForm(TemplateForm):
    """A template that does not exist yet."""

    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64)


class TemplateStepForm(forms.Form):
    """One step of a template."""

    title = forms.CharField(label=gettext_lazy("Title"), max_length=120)
    kind = forms.ChoiceField(label=gettext_lazy("Type"), choices=StepKind.choices)
    chargeable = forms.BooleanField(label=gettext_lazy("Chargeable"), required=False)
