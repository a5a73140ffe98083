"""Read a request's content and clean it before anything else looks at it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.core.exceptions import BadRequest, RequestDataTooBig, SuspiciousOperation
from django.http import Http404, HttpRequest, HttpResponseBase, UnreadablePostError
from django.http.multipartparser import MultiPartParserError
from django.utils.translation import gettext as _

from repairs.edge.answers import refused
from repairs.edge.body import content_length, is_readable_type
from repairs.edge.numbers import MOST_KEY
from repairs.edge.text import clean_headers, cleaned, has_long_name, is_clean

LONGEST_IN_ADDRESS = 200


class EdgeMiddleware:
    """Refuse what cannot be read, in plain words and before it is read; hand on clean text alone."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return _refusal(request) or _read(request) or self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: dict[str, object]) -> None:
        """Find nothing at an address that names what no row can have."""
        for value in kwargs.values():
            if isinstance(value, int) and value > MOST_KEY:
                raise Http404("no row has this number")
            if isinstance(value, str) and (len(value) > LONGEST_IN_ADDRESS or not is_clean(value)):
                raise Http404("no row has this name")


def _refusal(request: HttpRequest) -> HttpResponseBase | None:
    """Refuse by what the request says of itself."""
    length, most = content_length(request.META), settings.REQUEST_MAX_BYTES
    if length is None:
        return refused(request, _("This request could not be read. Reload the page and try again."))
    if length > most:
        words = _("Too large to send at once: {size} MB, limit {most} MB. Send fewer files.")
        size = length // 1024**2
        return refused(request, words.format(size=size, most=most // 1024**2), 413)
    if request.path_info.startswith(settings.OPEN_PAGES) and length > settings.OPEN_PAGES_MAX_BYTES:
        return refused(request, _("This form is too large. Shorten the text and save again."), 413)
    if not is_readable_type(request.META.get("CONTENT_TYPE", "")):
        return refused(
            request, _("This form could not be read (not UTF-8). Reload the page and save again."), 415
        )
    if "charset" in (request.content_params or {}):
        # Another spelling of the same coding would be taken for a foreign one.
        request.encoding = "utf-8"
    return None


def _read(request: HttpRequest) -> HttpResponseBase | None:
    """Read the address's and the form's fields and clean them; refuse what cannot be read."""
    try:
        fields, posted = request.GET, request.POST
    except RequestDataTooBig:
        return refused(request, _("This form is too large. Shorten the text and save again."), 413)
    except UnreadablePostError:
        return refused(request, _("The connection dropped while sending. Send it again."))
    except (BadRequest, SuspiciousOperation, MultiPartParserError, ValueError, LookupError):
        return refused(request, _("This form could not be read. Reload the page and save again."))
    if has_long_name(fields) or has_long_name(posted):
        return refused(request, _("This form could not be read. Reload the page and save again."))
    clean_headers(request)
    request.GET, request.POST = cleaned(fields), cleaned(posted)
    return None
