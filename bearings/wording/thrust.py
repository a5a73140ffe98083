"""Names, questions and verdicts of a thrust sheet, in words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.engineering.thrust_figures import Question, Verdict
from bearings.wording.figures import NO_BREAK, Figures, significant
from bearings.wording.labels import enumeration

THRUST_INPUTS: Final[dict[str, Promise]] = {
    "thrust_factor_n_per_m": gettext_lazy("thrust factor K"),
    "head_duty_m": gettext_lazy("head at duty"),
    "head_shut_off_m": gettext_lazy("head at shut-off"),
    "specific_gravity": gettext_lazy("specific gravity"),
    "shaft_weight_n": gettext_lazy("weight of the line shaft"),
    "shaft_diameter_mm": gettext_lazy("diameter of the line shaft"),
    "shaft_length_m": gettext_lazy("length of the line shaft"),
    "impeller_weight_n": gettext_lazy("weight of impellers and couplings"),
    "suction_pressure_pa": gettext_lazy("pressure at the suction"),
    "suction_diameter_mm": gettext_lazy("shaft diameter that the suction pressure lifts"),
    "pump_up_thrust_n": gettext_lazy("up thrust by the pump maker"),
    "static_head_m": gettext_lazy("static head that can drain back"),
    "specific_speed": gettext_lazy("specific speed"),
    "operating_speed_rpm": gettext_lazy("working speed"),
    "pump_reverse_speed_rpm": gettext_lazy("reverse speed by the pump maker"),
    "pump_reverse_head_m": gettext_lazy("head that this reverse speed holds for"),
    "ratchet": gettext_lazy("non-reverse ratchet"),
    "plate_down_thrust_n": gettext_lazy("down thrust on the plate"),
    "plate_up_thrust_n": gettext_lazy("up thrust on the plate"),
    "plate_meaning": gettext_lazy("what the plate means by thrust"),
    "rotor_weight_n": gettext_lazy("weight of the motor's rotor"),
}
THRUST_FIGURES: Final[dict[str, Promise]] = {
    "shaft_weight": gettext_lazy("weight of the line shaft"),
    "rotating_weight": gettext_lazy("rotating weight of the pump"),
    "suction_lift": gettext_lazy("lift of the suction pressure"),
    "hydraulic_duty": gettext_lazy("hydraulic thrust at duty"),
    "hydraulic_shut_off": gettext_lazy("hydraulic thrust at shut-off"),
    "down_duty": gettext_lazy("down thrust at duty"),
    "down_shut_off": gettext_lazy("down thrust at shut-off"),
    "down_worst": gettext_lazy("down thrust, the worse of both"),
    "total_duty": gettext_lazy("with the rotor, at duty"),
    "total_shut_off": gettext_lazy("with the rotor, at shut-off"),
    "total_worst": gettext_lazy("with the rotor, the worse of both"),
    "plate_external": gettext_lazy("what the plate allows from outside"),
    "up_thrust": gettext_lazy("up thrust"),
    "up_limit": gettext_lazy("up thrust that the motor is built for"),
    "net_on_guide": gettext_lazy("up thrust less the rotor, on the guide bearing"),
    "runaway_speed": gettext_lazy("reverse speed, nothing holding it"),
    "reverse_speed": gettext_lazy("reverse speed"),
    "reverse_thrust": gettext_lazy("down thrust while the column drains"),
    "stretch_duty": gettext_lazy("stretch of the line shaft at duty"),
    "stretch_shut_off": gettext_lazy("stretch of the line shaft at shut-off"),
}
THRUST_VERDICTS: Final[dict[str, Promise]] = {
    "down_duty": gettext_lazy("down thrust at duty against the plate"),
    "down_worst": gettext_lazy("worst down thrust against the plate"),
    "up": gettext_lazy("up thrust of the pump against the motor"),
}
PLAIN: Final = frozenset({"specific_gravity", "specific_speed"})


def _four(number: float) -> str:
    """Return a number to four digits, without zeros that say nothing."""
    text = significant(number, 4)
    return text.rstrip("0").rstrip(".") if "." in text else text


def thrust_value(name: str, value: float | None, figures: Figures) -> str:
    """Return an input or a figure of a thrust sheet in the reader's units."""
    us = figures.units == "us"
    if value is None:
        return _("unknown")
    if name == "thrust_factor_n_per_m":
        unit = "lbf/ft" if us else "N/m"
        return f"{_four(value / (4.4482216152605 / 0.3048) if us else value)}{NO_BREAK}{unit}"
    if name.endswith("_m"):
        return f"{_four(value / 0.3048 if us else value)}{NO_BREAK}{'ft' if us else 'm'}"
    if name.endswith("_pa"):
        return f"{_four(value / 6894.757293168361 if us else value / 1000)}{NO_BREAK}{'psi' if us else 'kPa'}"
    if name == "specific_speed":
        return _("{number} (metric)").format(number=f"{value:.3g}")
    if name in PLAIN:
        return f"{value:.4g}"
    if name.startswith("stretch"):
        return figures.small_length(value * 1000) if us else f"{value:.2f}{NO_BREAK}mm"
    if name.endswith("_mm"):
        return f"{value / 25.4:.4g}{NO_BREAK}in" if us else f"{value:.4g}{NO_BREAK}mm"
    return figures.speed(value) if name.endswith(("_rpm", "_speed")) else figures.force(value)


def missing_words(names: Iterable[str]) -> str:
    """Return what is missing as one enumeration."""
    return enumeration([str(THRUST_INPUTS[name]) for name in names])


def verdict_sentence(verdict: Verdict, figures: Figures) -> str:
    """Return why a comparison fails or could not be made; nothing when it passes."""
    if verdict.reason == "upward":
        return _(
            "Running at duty, the pump lifts its shaft by %(force)s: that is a lasting up thrust, and no rating for "
            "down thrust answers it. Ask the pump maker."
        ) % {"force": figures.force(abs(verdict.value or 0.0))}
    if verdict.reason == "fallback":
        return _(
            "Only the fallback is there to compare with, and a rule of thumb approves nothing. Ask the motor's maker."
        )
    if verdict.missing:
        return _("Not known: %(names)s.") % {"names": missing_words(verdict.missing)}
    if verdict.verdict == "fail" and verdict.fallback:
        return _("More than even the fallback of 30 % allows. Ask both makers.")
    if verdict.verdict == "fail":
        return _("More than the motor is built for. Ask both makers before it runs.")
    return ""


def question_sentence(question: Question, figures: Figures) -> str:
    """Return what a person should look at again before the figure is taken."""

    def shown(name: str, value: float) -> str:
        return thrust_value(name, value, figures)

    value, against = question.value, question.against
    if question.code.startswith("factor"):
        return _factor_sentence(question, figures)
    if question.code == "shut-off-below-duty":
        text = _("The head at shut-off, %(value)s, is below the head at duty, %(against)s; a pump's head falls with "
                 "flow, with few exceptions.")  # fmt: skip
    elif question.code == "static-above-pump":
        text = _("The static head, %(value)s, is above the highest head of the pump, %(against)s; it could not lift "
                 "that far.")  # fmt: skip
    elif question.code == "rotor-above-plate":
        text = _("The rotor, %(value)s, weighs more than the plate's whole down thrust, %(against)s.")
    else:
        text = _("The up thrust, %(value)s, is above the down thrust, %(against)s; were the two exchanged?")
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
            "The head would press on a circle of %(value)s only, less than the line shaft of %(against)s itself."
        )
    elif question.reason == "plate":
        text = _("The hydraulic thrust comes to %(value)s, far from the %(against)s on the motor's plate.")
    elif small:
        text = _("A thrust factor of %(value)s is below the usual, from %(against)s.")
    else:
        text = _("A thrust factor of %(value)s is above the usual, up to %(against)s.")
    hint = (
        _("Is the unit right? 1 lbf/ft is 14.6 N/m: was it printed in pounds for each foot?")
        if small
        else _("Is the unit right? 1 lbf/ft is 14.6 N/m: was it printed in newtons for each metre?")
    )
    return f"{text % values} {hint}"


_FACTOR_UNIT: Final = {"shaft": "circle_mm", "plate": "thrust_n", "usual": "thrust_factor_n_per_m"}
