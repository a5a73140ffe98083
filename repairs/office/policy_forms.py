"""Forms of the shop policy and of the route templates."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import field_spec, plain
from repairs.motors.models import Motor
from repairs.work_orders.models import ShopPolicy, StepKind
from repairs.work_orders.services.policy import DEFAULTS

PRACTICE: Final = gettext_lazy("common practice, no source")
ASSUMED: Final = gettext_lazy("shop assumption, printed as such")
BY_HAND: Final = "none"


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit of the checker: what it is called here, its unit, and where its default comes from."""

    label: str | Promise
    source: str | Promise
    unit: str = ""


LIMITS: Final = {
    "minimum_speed_margin": Limit(gettext_lazy("Minimum speed margin"), PRACTICE),
    "stop_l10h": Limit(
        gettext_lazy("STOP below stack life of"),
        PRACTICE,
        "h",
    ),
    "warn_l10h": Limit(gettext_lazy("WARN below stack life of"), PRACTICE, "h"),
    "minimum_static_safety_ball": Limit(gettext_lazy("Minimum static safety, ball bearings"), "ISO 76:2006"),
    "minimum_static_safety_spherical_roller_thrust": Limit(
        gettext_lazy("Minimum static safety, spherical roller thrust bearings"), "ISO 76:2006"
    ),
    "tandem_stand_out_um": Limit(gettext_lazy("Maximum face-offset difference in tandem"), PRACTICE, "µm"),
    "spacer_pair_um": Limit(gettext_lazy("Maximum inner/outer spacer height difference"), PRACTICE, "µm"),
    "unloaded_warn_ndm": Limit(
        gettext_lazy("WARN on unloaded bearing above n × dm of"), PRACTICE, "mm/min"
    ),
    "warm_preload_share": Limit(
        gettext_lazy("Maximum warm preload, part of dynamic rating"), PRACTICE
    ),
    "gauge_force_n": Limit(gettext_lazy("End play check force"), PRACTICE, "N"),
    "assumed_shaft_warmer_k": Limit(
        gettext_lazy("Assumed shaft warmer than housing, if not measured"), ASSUMED, "K"
    ),
    "assumed_temperature_c": Limit(gettext_lazy("Assumed oil temperature, if not measured"), ASSUMED, "°C"),
}  # fmt: skip
# The limits that are parts of one; people read them in percent.
SHARES: Final = frozenset({"minimum_speed_margin", "warm_preload_share"})
SET_FACTORS: Final = {
    "single": Limit(gettext_lazy("single bearing"), PRACTICE),
    "tandem_pair": Limit(gettext_lazy("tandem pair"), PRACTICE),
    "tandem_many": Limit(gettext_lazy("tandem of three or more"), PRACTICE),
    "opposed_pair": Limit(gettext_lazy("opposed pair"), PRACTICE),
    "opposed_single_side": Limit(gettext_lazy("opposed set, one bearing on one side"), PRACTICE),
    "opposed_many": Limit(gettext_lazy("other opposed sets"), PRACTICE),
    "spring": Limit(gettext_lazy("bearing on springs"), PRACTICE),
}


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

    def __init__(self, data: Mapping[str, Any] | None = None, *, policy: ShopPolicy) -> None:
        factors = policy.limits.get("set_factors", {})
        numbers = {**DEFAULTS, **policy.limits, **DEFAULTS["set_factors"], **factors}
        held = {
            name: _whole(value)
            for name, value in numbers.items()
            if name != "set_factors" and value is not None
        }
        kept = {"name": policy.name, "address": policy.address, "version": policy.version}
        super().__init__(data, initial={**held, **kept})
        for name, limit in LIMITS.items():
            self.fields[name] = _number_field("policy", name, limit, DEFAULTS[name])
        for name, limit in SET_FACTORS.items():
            self.fields[name] = _number_field("set_factors", name, limit, DEFAULTS["set_factors"][name])

    def limits(self) -> dict[str, float | None]:
        return {name: self.cleaned_data[name] for name in LIMITS}

    def set_factors(self) -> dict[str, float]:
        return {name: self.cleaned_data[name] for name in SET_FACTORS}

    def limit_rows(self) -> list[tuple[forms.BoundField, str]]:
        return [(self[name], limit.unit) for name, limit in LIMITS.items()]

    def factor_rows(self) -> list[forms.BoundField]:
        return [self[name] for name in SET_FACTORS]


def _number_field(room: Any, name: str, limit: Limit, default: float | None) -> forms.FloatField:
    spec = field_spec(room, name)
    text = _("{low} to {high}; leave empty for none; {source}")
    if default is not None:
        text = _("{low} to {high}; default {default}; {source}")
    hint = text.format(
        low=_plain(spec.minimum or 0),
        high=_plain(spec.maximum or 0),
        default="" if default is None else _plain(default),
        source=limit.source,
    )
    wrong = _("Enter {low} to {high}{unit}.").format(
        low=_plain(spec.minimum or 0),
        high=_plain(spec.maximum or 0),
        unit=f"\u00a0{limit.unit}" if limit.unit else "",
    )
    return forms.FloatField(
        required=default is not None,
        error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), wrong),
        label=_("{limit} (0.10 = 10%)").format(limit=limit.label) if name in SHARES else str(limit.label),
        min_value=spec.minimum,
        max_value=spec.maximum,
        help_text=hint,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )


def _whole(number: float) -> float:
    """Return a whole number as one, so that a field shows 8800 and not 8800.0."""
    return int(number) if number == int(number) else number


def _plain(number: float) -> str:
    return plain(number)


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
