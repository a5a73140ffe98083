"""The one cleaner of what a request carries as text, applied before any view sees it."""

from __future__ import annotations

import re
from typing import Final, TypeVar, cast
from urllib.parse import urlsplit

from django.http import HttpRequest, QueryDict

# Names of the forms' fields have at most some thirty characters; values are bounded by their own fields.
LONGEST_NAME: Final = 200
# The header in which a part of a page names its page.
SENT_FROM: Final = "HTTP_HX_CURRENT_URL"
# PostgreSQL keeps no NUL and no file or answer can be written with half a surrogate pair; the other control
# characters come from broken scanners and pasted terminals and nobody sees them. Tabs and line ends stay.
Fields = TypeVar("Fields", bound=QueryDict)
_UNWANTED: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")


def is_clean(text: str) -> bool:
    """Whether a text holds no control characters but tabs and line ends, and no halves of surrogate pairs."""
    return text.isprintable() or _UNWANTED.search(text) is None


def clean_text(text: str) -> str:
    """Return a text without control characters (tabs and line ends stay) and halves of surrogate pairs."""
    return text if is_clean(text) else _UNWANTED.sub("", text)


def has_long_name(data: QueryDict) -> bool:
    """Whether a field has a name that no form of the shop gives."""
    return any(len(name) > LONGEST_NAME for name in data)


def cleaned(data: Fields) -> Fields:
    """Return a form's fields with clean names and values; what is clean already is returned as it is."""
    if all(is_clean(name) and all(map(is_clean, values)) for name, values in data.lists()):
        return data
    fresh = QueryDict(mutable=True)
    for name, values in data.lists():
        for value in values:
            fresh.appendlist(clean_text(name), clean_text(value))
    fresh._mutable = False
    return cast(Fields, fresh)


def _is_address(text: str) -> bool:
    try:
        urlsplit(text)
    except ValueError:
        return False
    return True


def clean_headers(request: HttpRequest) -> None:
    """Clean a request's headers; a cookie that holds what no cookie of the shop holds is left aside.

    So is the page that a request says it was sent from, when that is no address at all.
    """
    if not _is_address(request.META.get(SENT_FROM, "")):
        del request.META[SENT_FROM]
    for name, value in request.META.items():
        if name.startswith("HTTP_") and isinstance(value, str) and not is_clean(value):
            request.META[name] = clean_text(value)
    for name, value in list(request.COOKIES.items()):
        if not is_clean(value):
            del request.COOKIES[name]
