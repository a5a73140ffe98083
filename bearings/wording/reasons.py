"""Why something was not checked, and the sentence that describes an arrangement."""

from __future__ import annotations

from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.engineering.results import ArrangementResult, NotChecked
from bearings.wording.figures import significant
from bearings.wording.labels import case_label, check_label, enumeration, field_label

REASONS: Final[dict[str, Promise]] = {
    "stand-out-without-geometry": gettext_lazy(
        "stand-out is given, but ball count, ball diameter or contact angle of a bearing is not"
    ),
    "unlike-without-geometry": gettext_lazy(
        "the bearings are unlike, and ball count, ball diameter or contact angle of one is not given"
    ),
    "deep-groove-beside-one-way": gettext_lazy(
        "a deep groove bearing stands beside one-way bearings of the same direction"
    ),
    "thrust-roller-beside-one-way": gettext_lazy(
        "a spherical roller thrust bearing shares its direction with another one-way bearing"
    ),
    "preload-against-thrust-roller": gettext_lazy(
        "a preloaded ball bearing stands with a spherical roller thrust bearing, whose stiffness is not known"
    ),
    "spring-force-unknown": gettext_lazy("the force of the springs under a bearing is not given"),
    "equal-stiffness-assumed": gettext_lazy(
        "ball count, ball diameter or contact angle is not given: the bearings are alike, so equal stiffness is assumed"
    ),
    "springs-not-in-sharing": gettext_lazy(
        "rests on springs whose force on the other bearings of the stack is not counted in the load sharing"
    ),
    "end-play-unknown": gettext_lazy("the end play of a guide is not given: none is assumed"),
    "running-unknown": gettext_lazy("the running case is not known"),
    "running-not-carried": gettext_lazy("nothing carries the thrust of the running case"),
    "nothing-loaded": gettext_lazy("no bearing is loaded in the running case"),
    "no-case-known": gettext_lazy("no load case is known"),
    "no-rule-for-type": gettext_lazy("there is no rule for this type of bearing under thrust"),
    "viscosity-outside-table": gettext_lazy("the oil is thinner than the viscosity index table covers"),
    "life-not-checked": gettext_lazy("the basic life is not known"),
    "friction-unknown": gettext_lazy("the friction of a bearing is not known"),
    "balls-impossible": gettext_lazy("the balls that are entered cannot be in the bearing"),
    "growth-not-modelled": gettext_lazy(
        "growth is computed for stacks of angular contact bearings without springs only"
    ),
    "stiffness-unknown": gettext_lazy("ball count, ball diameter or contact angle of a bearing is not given"),
    "raceway-below-bore": gettext_lazy("the balls that are entered leave no inner ring"),
    "duty-not-shared": gettext_lazy(
        "in a part of the duty nothing carries the thrust, or its sharing is not known"
    ),
    "duty-life-unknown": gettext_lazy("the life of a bearing in a part of the duty is not known"),
    "duty-beyond-cases": gettext_lazy(
        "a part of it turns faster or presses harder than the speeds and thrusts of the motor, which margins and "
        "static safety are checked for"
    ),
    "no-printed-reference-speed": gettext_lazy("no reference speed is given"),
}


def _texts(reason: NotChecked, name: str) -> list[str]:
    found = reason.params.get(name)
    return [str(one) for one in found] if isinstance(found, tuple) else []


def reason_sentence(reason: NotChecked, *, with_names: bool = False) -> str:
    """Return what is missing for a check; ``with_names`` adds the names of the fields for programs."""
    ref = reason.params.get("ref")
    refs = [str(ref)] if ref else _texts(reason, "refs")
    if reason.reason == "missing":
        names = _texts(reason, "fields")
        labels = enumeration(
            [f"{field_label(one)} ({one})" if with_names else field_label(one) for one in names]
        )
        text = _("not given: %(fields)s") % {"fields": labels}
    elif reason.reason == "kappa-below-method":
        kappa = reason.params.get("kappa")
        number = significant(float(kappa)) if isinstance(kappa, int | float) else "-"
        text = _("the viscosity ratio %(kappa)s is below 0.1, where the method ends") % {"kappa": number}
    else:
        text = str(REASONS[reason.reason])
    cases = enumeration([case_label(name) for name in _texts(reason, "cases")])
    if cases:
        text = _("%(text)s (cases: %(cases)s)") % {"text": text, "cases": cases}
    if refs:
        # Bearings are numbered, guides begin with g and a number, other parts are letters.
        named = _("part %(refs)s: %(text)s") if refs[0].isalpha() else _("bearing %(refs)s: %(text)s")
        return named % {"refs": enumeration(refs), "text": text}
    return text


def not_checked_sentence(reason: NotChecked) -> str:
    """Return one line for a list: the check by its name, and what is missing."""
    return _("%(check)s: %(reason)s") % {
        "check": check_label(reason.check),
        "reason": reason_sentence(reason),
    }


RELATIONS: Final[dict[str, Promise]] = {
    "DB": gettext_lazy("back to back"),
    "DF": gettext_lazy("face to face"),
    "DT": gettext_lazy("in tandem"),
}


def arrangement_sentence(arrangement: ArrangementResult) -> str:
    """Return the arrangement in one sentence."""
    clauses = []
    if arrangement.carries_down:
        clauses.append(_("%(refs)s down") % {"refs": enumeration(list(arrangement.carries_down))})
    if arrangement.carries_up:
        clauses.append(_("%(refs)s up") % {"refs": enumeration(list(arrangement.carries_up))})
    if arrangement.both_ways:
        clauses.append(_("%(refs)s both ways") % {"refs": enumeration(list(arrangement.both_ways))})
    if arrangement.radial_only:
        clauses.append(_("%(refs)s none") % {"refs": enumeration(list(arrangement.radial_only))})
    if not clauses:
        return _("No bearing of the stack carries thrust.")
    order = arrangement.carries_down + arrangement.carries_up
    refs = sorted(order, key=int)
    pairs = [
        _("%(upper)s and %(lower)s %(relation)s")
        % {"upper": upper, "lower": lower, "relation": RELATIONS[relation]}
        for upper, lower, relation in zip(refs, refs[1:], arrangement.relations, strict=False)
    ]
    thrust = _("Thrust is carried by %(clauses)s") % {"clauses": "; ".join(clauses)}
    if not pairs:
        return f"{thrust}."
    return _("%(thrust)s, with %(pairs)s.") % {"thrust": thrust, "pairs": enumeration(pairs)}
