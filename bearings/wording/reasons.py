"""Why something was not checked, and the sentence that describes an arrangement."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

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


def not_checked_sentence(reason: NotChecked, refs: Sequence[str] = ()) -> str:
    """Return one line for a list: the subject by its name, and what is missing, of all ``refs`` that lack the same."""
    return _("%(subject)s: %(reason)s") % {
        "subject": subject_label(reason.check),
        "reason": reason_sentence(reason, refs=refs),
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
    """Return who carries what and how neighbors face, a whole sentence for each."""
    down, up = arrangement.carries_down, arrangement.carries_up
    carried = (
        (
            down,
            ngettext(
                "Bearing %(refs)s carries downthrust.", "Bearings %(refs)s carry downthrust.", len(down)
            ),
        ),
        (up, ngettext("Bearing %(refs)s carries upthrust.", "Bearings %(refs)s carry upthrust.", len(up))),
        (arrangement.both_ways, _both_ways(len(arrangement.both_ways))),
        (arrangement.radial_only, _no_thrust(len(arrangement.radial_only))),
    )
    sentences = [words % {"refs": enumeration(list(refs))} for refs, words in carried if refs]
    if not sentences:
        return _("No bearing in the stack carries thrust.")
    return " ".join([*sentences, *_relations(arrangement)])


def _both_ways(count: int) -> str:
    return ngettext(
        "Bearing %(refs)s carries thrust both ways.", "Bearings %(refs)s carry thrust both ways.", count
    )


def _no_thrust(count: int) -> str:
    return ngettext("Bearing %(refs)s carries no thrust.", "Bearings %(refs)s carry no thrust.", count)


def _relations(arrangement: ArrangementResult) -> list[str]:
    """Return a sentence for each way in which neighbors face each other, with its pairs from the top."""
    words = {
        "DT": _("In tandem: %(pairs)s."),
        "DB": _("Back to back: %(pairs)s."),
        "DF": _("Face to face: %(pairs)s."),
    }
    refs = sorted(arrangement.carries_down + arrangement.carries_up, key=int)
    pairs: dict[str, list[str]] = {}
    for upper, lower, relation in zip(refs, refs[1:], arrangement.relations, strict=False):
        pairs.setdefault(relation, []).append(_("%(upper)s and %(lower)s") % {"upper": upper, "lower": lower})
    return [words[relation] % {"pairs": "; ".join(two)} for relation, two in pairs.items()]
