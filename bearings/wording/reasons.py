"""Why something was not checked, and the sentence that describes an arrangement."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from bearings.engineering.results import ArrangementResult, NotChecked
from bearings.wording.labels import enumeration, field_label, part_label, subject_label


def _texts(reason: NotChecked, name: str) -> list[str]:
    found = reason.params.get(name)
    return [str(one) for one in found] if isinstance(found, tuple) else []


def reason_sentence(reason: NotChecked, *, with_names: bool = False, refs: Sequence[str] = ()) -> str:
    """Return what is missing for a subject; ``with_names`` adds the names of the fields for programs.

    ``refs`` are all the parts that lack the same, where they are told in one.
    """
    own = reason.params.get("ref")
    named = list(refs) or ([] if own is None else [str(own)])
    if reason.reason != "missing":
        return _("outside the range of the method")
    names = _texts(reason, "fields")
    if names == ["items"]:
        return _("load sharing in this stack is not modeled")
    labels = enumeration([f"{field_label(one)} ({one})" if with_names else field_label(one) for one in names])
    if not named:
        return _("%(fields)s not entered") % {"fields": labels}
    return _("%(fields)s not entered for %(part)s") % {"part": part_label(named), "fields": labels}


def not_checked_sentence(reason: NotChecked) -> str:
    """Return one line for a list: the subject by its name, and what is missing."""
    return _("%(subject)s: %(reason)s") % {
        "subject": subject_label(reason.check),
        "reason": reason_sentence(reason),
    }


RELATIONS: Final[dict[str, Promise]] = {
    "DB": gettext_lazy("back to back"),
    "DF": gettext_lazy("face to face"),
    "DT": gettext_lazy("in tandem"),
}


def arrangement_sentence(arrangement: ArrangementResult) -> str:
    """Return the arrangement in one sentence, and which bearings it leaves out because their face is not known."""
    if not arrangement.unfaced:
        return _arranged(arrangement)
    unknown = ngettext(
        "The face of %(parts)s is not known.",
        "The faces of %(parts)s are not known.",
        len(arrangement.unfaced),
    ) % {"parts": part_label(arrangement.unfaced)}
    known = arrangement.carries_down or arrangement.carries_up or arrangement.both_ways
    return f"{_arranged(arrangement)} {unknown}" if known else unknown


def _arranged(arrangement: ArrangementResult) -> str:
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
        return _("No bearing in the stack carries thrust.")
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
