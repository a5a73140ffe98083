"""Names, questions and verdicts of a thrust sheet, in words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.engineering.thrust_figures import Question, Verdict
from bearings.wording.figures import NO_BREAK, Figures, four_figures, grouped, plain
from bearings.wording.labels import enumeration

THRUST_INPUTS: Final[dict[str, Promise]] = {
    "thrust_factor_n_per_m": gettext_lazy("thrust factor K"),
    "head_duty_m": gettext_lazy("head at duty"),
    "head_shut_off_m": gettext_lazy("shutoff head"),
    "specific_gravity": gettext_lazy("specific gravity"),
    "shaft_weight_n": gettext_lazy("line shaft weight"),
    "shaft_diameter_mm": gettext_lazy("line shaft diameter"),
    "shaft_length_m": gettext_lazy("line shaft length"),
    "impeller_weight_n": gettext_lazy("impeller and coupling weight"),
    "suction_pressure_pa": gettext_lazy("suction pressure"),
    "suction_diameter_mm": gettext_lazy("shaft diameter at suction seal"),
    "pump_up_thrust_n": gettext_lazy("upthrust (pump maker)"),
    "static_head_m": gettext_lazy("static head (drains back)"),
    "specific_speed": gettext_lazy("specific speed"),
    "operating_speed_rpm": gettext_lazy("operating speed"),
    "pump_reverse_speed_rpm": gettext_lazy("reverse speed (pump maker)"),
    "pump_reverse_head_m": gettext_lazy("head for that reverse speed"),
    "ratchet": gettext_lazy("non-reverse ratchet"),
    "plate_down_thrust_n": gettext_lazy("nameplate downthrust"),
    "plate_up_thrust_n": gettext_lazy("nameplate upthrust"),
    "plate_meaning": gettext_lazy("nameplate thrust basis"),
    "rotor_weight_n": gettext_lazy("rotor weight"),
}
THRUST_FIGURES: Final[dict[str, Promise]] = {
    "shaft_weight": gettext_lazy("line shaft weight"),
    "rotating_weight": gettext_lazy("pump rotating weight"),
    "suction_lift": gettext_lazy("suction pressure lift"),
    "hydraulic_duty": gettext_lazy("hydraulic thrust at duty"),
    "hydraulic_shut_off": gettext_lazy("hydraulic thrust at shutoff"),
    "down_duty": gettext_lazy("downthrust at duty"),
    "down_shut_off": gettext_lazy("downthrust at shutoff"),
    "down_worst": gettext_lazy("maximum downthrust"),
    "total_duty": gettext_lazy("downthrust plus rotor, at duty"),
    "total_shut_off": gettext_lazy("downthrust plus rotor, at shutoff"),
    "total_worst": gettext_lazy("maximum downthrust plus rotor"),
    "plate_external": gettext_lazy("external thrust the plate allows"),
    "up_thrust": gettext_lazy("upthrust"),
    "up_limit": gettext_lazy("motor upthrust rating"),
    "net_on_guide": gettext_lazy("net upthrust on guide bearing"),
    "runaway_speed": gettext_lazy("runaway reverse speed"),
    "reverse_speed": gettext_lazy("reverse speed"),
    "reverse_thrust": gettext_lazy("downthrust during backspin"),
    "stretch_duty": gettext_lazy("line shaft stretch at duty"),
    "stretch_shut_off": gettext_lazy("line shaft stretch at shutoff"),
}
THRUST_VERDICTS: Final[dict[str, Promise]] = {
    "down_duty": gettext_lazy("Downthrust at duty vs. plate"),
    "down_worst": gettext_lazy("Maximum downthrust vs. plate"),
    "up": gettext_lazy("Pump upthrust vs. motor"),
}
PLAIN: Final = frozenset({"specific_gravity"})


def thrust_value(name: str, value: float | None, figures: Figures) -> str:
    """Return an input or a figure of a thrust sheet in the reader's units."""
    us = figures.units == "us"
    if value is None:
        return _("unknown")
    if name == "thrust_factor_n_per_m":
        unit = "lbf/ft" if us else "N/m"
        return f"{four_figures(value / (4.4482216152605 / 0.3048) if us else value)}{NO_BREAK}{unit}"
    if name.endswith("_m"):
        return f"{four_figures(value / 0.3048 if us else value)}{NO_BREAK}{'ft' if us else 'm'}"
    if name.endswith("_pa"):
        return f"{four_figures(value / 6894.757293168361 if us else value / 1000)}{NO_BREAK}{'psi' if us else 'kPa'}"
    if name == "specific_speed":
        return _("{number} (metric)").format(number=plain(value, 3))
    if name in PLAIN:
        return four_figures(value)
    if name.startswith("stretch"):
        return figures.small_length(value * 1000) if us else f"{grouped(value, 2)}{NO_BREAK}mm"
    if name.endswith("_mm"):
        return f"{four_figures(value / 25.4 if us else value)}{NO_BREAK}{'in' if us else 'mm'}"
    return figures.speed(value) if name.endswith(("_rpm", "_speed")) else figures.force(value)


def missing_words(names: Iterable[str]) -> str:
    """Return what is missing as one enumeration."""
    return enumeration([str(THRUST_INPUTS[name]) for name in names])


def verdict_sentence(verdict: Verdict, figures: Figures) -> str:
    """Return why a comparison fails or could not be made; nothing when it passes."""
    if verdict.reason == "upward":
        return _(
            "At duty the pump lifts its shaft with %(force)s. That is continuous upthrust; a downthrust rating "
            "does not cover it. Ask the pump maker."
        ) % {"force": figures.force(abs(verdict.value or 0.0))}
    if verdict.reason == "fallback":
        return _("Only the 30% rule of thumb is available; it approves nothing. Ask the motor maker.")
    if verdict.missing:
        return _("Not checked. Enter %(names)s.") % {"names": missing_words(verdict.missing)}
    if verdict.verdict == "fail" and verdict.fallback:
        return _("Above even the 30% rule of thumb. Ask both makers.")
    if verdict.verdict == "fail":
        return _("Above the motor's rating. Ask both makers before it runs.")
    return ""


def question_sentence(question: Question, figures: Figures) -> str:
    """Return what a person should look at again before the figure is taken."""

    def shown(name: str, value: float) -> str:
        return thrust_value(name, value, figures)

    value, against = question.value, question.against
    if question.code.startswith("factor"):
        return _factor_sentence(question, figures)
    if question.code == "shut-off-below-duty":
        text = _(
            "Shutoff head %(value)s is below head at duty %(against)s. Pump head normally falls with flow. "
            "Check both.")  # fmt: skip
    elif question.code == "static-above-pump":
        text = _(
            "Static head %(value)s is above the pump's highest head %(against)s. The pump could not lift that "
            "far. Check both.")  # fmt: skip
    elif question.code == "rotor-above-plate":
        text = _("Rotor weight %(value)s is above the nameplate downthrust %(against)s. Check both.")
    else:
        text = _("Upthrust %(value)s is above downthrust %(against)s. Were they swapped?")
    unit = question.about
    return text % {"value": shown(unit, value), "against": shown(unit, against)}


def _factor_sentence(question: Question, figures: Figures) -> str:
    small = question.code == "factor-small"
    values = {
        "value": thrust_value(_FACTOR_UNIT[question.reason], question.value, figures),
        "against": thrust_value(_FACTOR_UNIT[question.reason], question.against, figures),
    }
    if question.reason == "shaft":
        text = _(
            "This factor implies a %(value)s circle under pressure, smaller than the %(against)s line shaft."
        )
    elif question.reason == "plate":
        text = _("Hydraulic thrust comes to %(value)s; the nameplate says %(against)s.")
    elif small:
        text = _("Thrust factor %(value)s is below the usual range (from %(against)s).")
    else:
        text = _("Thrust factor %(value)s is above the usual range (up to %(against)s).")
    hint = (
        _("Check the unit: 1 lbf/ft is 14.6 N/m. Was it printed in lb/ft?")
        if small
        else _("Check the unit: 1 lbf/ft is 14.6 N/m. Was it printed in N/m?")
    )
    return f"{text % values} {hint}"


_FACTOR_UNIT: Final = {"shaft": "circle_mm", "plate": "thrust_n", "usual": "thrust_factor_n_per_m"}
