"""Where a value comes from and how sure that is, in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.limits import Source
from repairs.measurements.words.source_texts import in_words

SURENESS: Final = {
    "standard": "",
    "secondary": gettext_lazy("as restated in a secondary copy"),
    "memory": gettext_lazy("from memory, unverified"),
    "common practice": gettext_lazy("common practice, no source"),
    "entered": "",
}


def source_words(source: Source) -> str:
    """Return a source in words: IEEE 43-2013, table 3 (from memory, unverified)."""
    standard = in_words(source.standard)
    if source.edition:
        standard = f"{standard}-{source.edition}"
    named = f"{standard}, {in_words(source.clause)}" if source.clause else standard
    sureness = str(SURENESS[source.sureness])
    if not named:
        return sureness
    return _("{source} ({sureness})").format(source=named, sureness=sureness) if sureness else named
