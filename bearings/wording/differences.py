"""The sentence of every difference between a stack found and a stack built."""

from __future__ import annotations

from django.utils.translation import gettext as _

from bearings.engineering.comparison import Comparison, Difference
from bearings.wording.labels import enumeration, field_label


def _changes(difference: Difference) -> str:
    """Each field that differs with its value before and after."""
    fields, values = difference.params.get("fields"), difference.params.get("values")
    if not isinstance(fields, tuple) or not isinstance(values, tuple):
        return ""
    texts = [_("not known") if value == "None" else str(value) for value in values]
    return enumeration(
        [
            _("%(field)s %(found)s, now %(built)s")
            % {"field": field_label(str(name)), "found": found, "built": built}
            for name, found, built in zip(fields, texts[::2], texts[1::2], strict=True)
        ]
    )


def _place(difference: Difference) -> str:
    """Return where a moved part now stands: between 2 and 3, above 1, below b."""
    above, below = difference.params.get("above"), difference.params.get("below")
    if above and below:
        return _("between %(above)s and %(below)s") % {"above": above, "below": below}
    if above:
        return _("below %(above)s") % {"above": above}
    return _("above %(below)s") % {"below": below} if below else ""


def difference_sentence(difference: Difference, comparison: Comparison | None = None) -> str:
    """Return what changed, with the refs of both stacks; both possibilities where a turn is ambiguous."""
    values = {
        "found": difference.ref_found,
        "built": difference.ref_built,
        "changes": _changes(difference),
        "place": _place(difference),
    }
    sentences = {
        "turned-over": _("%(found)s is upside down (now %(built)s)."),
        "moved": _("%(found)s changed position: now %(built)s, %(place)s."),
        "replaced": _("%(found)s does not match %(built)s: %(changes)s."),
        "missing": _("%(found)s is missing."),
        "added": _("%(built)s was added."),
        "rating-changed": _("The ratings of %(found)s and %(built)s differ: %(changes)s."),
        "not-shown": _("Not recorded for %(built)s: %(changes)s."),
    }
    text = sentences[difference.code] % values
    either = difference.code in ("turned-over", "moved")
    if either and comparison is not None and comparison.upside_down == "possible":
        return _(
            "%(text)s Or the whole stack is upside down: identical bearings without a serial "
            "or mark look the same both ways. Check marks and photos."
        ) % {"text": text}
    return text


def upside_down_sentence(comparison: Comparison) -> str | None:
    """Return the one sentence about a whole stack that was turned over; None where it was not."""
    if comparison.upside_down == "yes":
        return _("The whole stack is upside down. It carries up what it should carry down.")
    return None
