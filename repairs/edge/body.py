"""What is looked at before a request's content is read: its size and the coding of its text."""

from __future__ import annotations

import codecs
from collections.abc import Mapping
from typing import Any, Final

from django.utils.http import parse_header_parameters

from repairs.edge.numbers import whole_number

# Where the coding cannot even be read, the entry point leaves this word in its place.
UNREADABLE_TYPE: Final = "text/plain; charset=unreadable"
MOST_LENGTH: Final = 2**53


def content_length(environ: Mapping[str, Any]) -> int | None:
    """Return how many bytes a request says it has, 0 where it says nothing, None where that is no number."""
    text = environ.get("CONTENT_LENGTH") or "0"
    return whole_number(text, most=MOST_LENGTH)


def is_readable_type(text: str) -> bool:
    """Whether a Content-Type can be taken apart and names no other coding than UTF-8."""
    try:
        params = parse_header_parameters(text)[1]
        coding = codecs.lookup(params.get("charset", "utf-8")).name
    except (ValueError, LookupError, TypeError, AttributeError):
        return False
    return coding in {"utf-8", "ascii"}


def plain_type(text: str) -> str:
    """Return a Content-Type that the framework takes as it is: without the coding, which can only be UTF-8.

    The framework reads the address under a coding that is named before anything could answer a mistake in it.
    """
    if not is_readable_type(text):
        return UNREADABLE_TYPE
    kind, params = parse_header_parameters(text)
    if "charset" not in params:
        return text
    edge = params.get("boundary", "").replace("\\", "\\\\").replace('"', '\\"')
    return f'{kind}; boundary="{edge}"' if edge else kind
