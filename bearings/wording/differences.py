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
    texts = [_("unknown") if value == "None" else str(value) for value in values]
    return enumeration(
        [
            _("%(field)s %(found)s, now %(built)s")
            % {"field": field_label(str(name)), "found": found, "built": built}
            for name, found, built in zip(fields, texts[::2], texts[1::2], strict=True)
        ]
    )


def difference_sentence(difference: Difference, comparison: Comparison | None = None) -> str:
    """Return what changed, with the refs of both stacks; both possibilities where a turn is ambiguous."""
    values = {"found": difference.ref_found, "built": difference.ref_built, "changes": _changes(difference)}
    if difference.code == "turned-over":
        text = _("Found %(found)s is turned over, now %(built)s.") % values
        if comparison is not None and comparison.upside_down == "possible":
            return _(
                "%(text)s Or the whole stack is upside down: like bearings without serial number or mark read the "
                "same both ways. Check the marks and the photos."
            ) % {"text": text}
        return text
    sentences = {
        "moved": _("Found %(found)s has changed places, now %(built)s."),
        "replaced": _("Found %(found)s is not the same as built %(built)s: %(changes)s."),
        "missing": _("Found %(found)s is missing from the stack built."),
        "added": _("Built %(built)s was not in the stack found."),
        "rating-changed": _("The data of found %(found)s differ from built %(built)s: %(changes)s."),
    }
    return sentences[difference.code] % values


def upside_down_sentence(comparison: Comparison) -> str | None:
    """Return the one sentence about a whole stack that was turned over; None where it was not."""
    if comparison.upside_down == "yes":
        return _("The whole stack is upside down: it carries up what it carried down.")
    return None
