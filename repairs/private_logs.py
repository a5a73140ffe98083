"""What a log may not hold: a customer's private link, and a page of traceback for each refused request.

Settings and the entry point need this module before Django is set up, so it imports the standard library alone.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Iterable
from typing import Final

# A link is /my/<token>/...; in a query it may be written with percent signs, even twice.
_LINK: Final = re.compile(r"(?i)((?:/|%(?:25)*2F)my(?:/|%(?:25)*2F))(?!\[link\])[^\s/?#\"'<>%&]+")
_SHOWN: Final = r"\1[link]"
_SERVER_FAULT: Final = 500
_TRACEBACKS: Final = logging.Formatter()


def without_links(text: str) -> str:
    """Return a text with the token of every private link taken out."""
    return _LINK.sub(_SHOWN, text)


class PrivateLog(logging.Filter):
    """Take the tokens of private links out of a record, and the traceback off a request that was merely refused."""

    def filter(self, record: logging.LogRecord) -> bool:
        if getattr(record, "status_code", _SERVER_FAULT) < _SERVER_FAULT or record.name.startswith(
            "django.security"
        ):
            # Anybody can send what is refused, as often as they like.
            record.exc_info = record.exc_text = None
        self._take_links_out(record)
        return True

    @staticmethod
    def _take_links_out(record: logging.LogRecord) -> None:
        try:
            text = record.getMessage()
        except (TypeError, ValueError, KeyError):
            # The server's own handler says what is wrong with a record that cannot be written.
            return
        if (kept := without_links(text)) != text:
            record.msg, record.args = kept, None
        if record.exc_info:
            record.exc_text = without_links(_TRACEBACKS.formatException(record.exc_info))
        if record.stack_info:
            record.stack_info = without_links(record.stack_info)


def keep_links_out_of(names: Iterable[str]) -> None:
    """Guard loggers that are set up elsewhere, such as the server's own for access and errors."""
    for name in names:
        logging.getLogger(name).addFilter(PrivateLog())
