"""The sentence of every difference between a stack found and a stack built."""

from __future__ import annotations

from django.utils.translation import gettext as _

from bearings.engineering.comparison import Comparison, Difference
from bearings.wording.field_values import field_value
from bearings.wording.figures import Figures, Units
from bearings.wording.labels import enumeration, field_label, part_label


def _changes(difference: Difference, figures: Figures) -> str:
    """Each field that differs with its value before and after."""
    fields, values = difference.params.get("fields"), difference.params.get("values")
    if not isinstance(fields, tuple) or not isinstance(values, tuple):
        return ""
    words = []
    for field, was, now in zip(fields, values[::2], values[1::2], strict=True):
        name = str(field)
        found, built = (field_value(name, str(value), figures) for value in (was, now))
        if found == built:
            # The rounding for the eye hides what differs.
            found, built = str(was), str(now)
        words.append(
            _("%(field)s %(found)s, now %(built)s")
            % {"field": field_label(name), "found": found, "built": built}
        )
    return enumeration(words)


def _place(difference: Difference) -> str:
    """Return where a moved part now stands: between bearings 2 and 3, above bearing 1, below part b."""
    above, below = (str(difference.params.get(name) or "") for name in ("above", "below"))
    if above and below:
        if above.isdigit() == below.isdigit():
            return _("between %(both)s") % {"both": part_label((above, below))}
        return _("between %(above)s and %(below)s") % {
            "above": part_label((above,)),
            "below": part_label((below,)),
        }
    if above:
        return _("below %(above)s") % {"above": part_label((above,))}
    return _("above %(below)s") % {"below": part_label((below,))} if below else ""


def _named(ref: str | None) -> str:
    return "" if ref is None else part_label((ref,))


def difference_sentence(
    difference: Difference, comparison: Comparison | None = None, units: Units = "si"
) -> str:
    """Return what changed, naming the parts of both stacks; both possibilities where a turn is ambiguous."""
    values = {
        "found": _named(difference.ref_found),
        "built": _named(difference.ref_built),
        "changes": _changes(difference, Figures(units)),
        "place": _place(difference),
    }
    sentences = {
        "turned-over": _("%(found)s is upside down.")
        if difference.ref_found == difference.ref_built
        else _("%(found)s is upside down (now %(built)s)."),
        "moved": _("%(found)s changed position: now %(built)s, %(place)s."),
        "replaced": _("%(found)s does not match %(built)s of the second stack: %(changes)s."),
        "missing": _("%(found)s is missing."),
        "added": _("%(built)s was added."),
        "rating-changed": _(
            "The ratings of %(found)s and %(built)s of the second stack differ: %(changes)s."
        ),
        "not-shown": _("Not recorded for %(built)s: %(changes)s."),
    }
    text = sentences[difference.code] % values
    text = text[:1].upper() + text[1:]
    either = difference.code in ("turned-over", "moved")
    if either and comparison is not None and comparison.upside_down == "possible":
        return _(
            "%(text)s Or the whole stack is upside down: identical bearings without a serial "
            "or mark look the same both ways. Check marks and photos."
        ) % {"text": text}
    if either and comparison is not None and comparison.upside_down == "possible_in_place":
        return _(
            "%(text)s Or the whole bearing set is upside down: identical bearings without a serial "
            "or mark look the same both ways. Check marks and photos."
        ) % {"text": text}
    return text


def upside_down_sentence(comparison: Comparison) -> str | None:
    """Return the one sentence about a whole stack or set that was turned over; None where it was not."""
    if comparison.upside_down == "yes":
        return _("The whole stack is upside down. It carries up what it should carry down.")
    if comparison.upside_down == "in_place":
        return _("The whole bearing set is upside down. It carries up what it should carry down.")
    return None
