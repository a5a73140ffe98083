"""From the bytes of a file to plain JSON values, with everything refused that JSON readers let pass."""

from __future__ import annotations

import json
import re
from typing import Final, NoReturn

from django.utils.translation import gettext as _

from bearings.stack_file.mistakes import StackFileError, mistake
from bearings.stack_file.specs import DEEPEST_NESTING, MOST_BYTES
from bearings.wording.figures import grouped

WHOLE_FILE: Final = "file"
BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"
MOST_DIGITS: Final = 400
_TOKENS: Final = re.compile(r'"(?:[^"\\]|\\.)*"|[\[{]|[\]}]', re.DOTALL)


class JsonObject(dict[str, object]):
    """An object of the file that remembers which of its keys came more than once."""

    repeated: tuple[str, ...] = ()


def _refuse(value: object, message: str) -> NoReturn:
    raise StackFileError((mistake(WHOLE_FILE, value, message),))


def _object(pairs: list[tuple[str, object]]) -> JsonObject:
    read = JsonObject(pairs)
    if len(read) < len(pairs):
        seen: set[str] = set()
        repeated: list[str] = []
        for key, _value in pairs:
            if key in seen and key not in repeated:
                repeated.append(key)
            seen.add(key)
        read.repeated = tuple(repeated)
    return read


def _whole_number(digits: str) -> int | float:
    return int(digits) if len(digits) <= MOST_DIGITS else float("-inf" if digits[0] == "-" else "inf")


def nesting(text: str) -> int:
    """Return how deep objects and lists stand inside each other."""
    depth = deepest = 0
    for token in _TOKENS.finditer(text):
        sign = token[0]
        if sign in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif sign in "]}":
            depth -= 1
    return deepest


def _decoded(content: bytes) -> str:
    if len(content) > MOST_BYTES:
        message = _("File has %(bytes)s bytes. Accepted: at most %(most)s bytes (1 MiB).")
        _refuse(
            f"{len(content)} bytes", message % {"bytes": grouped(len(content)), "most": grouped(MOST_BYTES)}
        )
    if content.startswith(BYTE_ORDER_MARK):
        _refuse("EF BB BF", _("File starts with a byte-order mark. Save it as UTF-8 without one."))
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        message = _("Byte %(place)d is not UTF-8. Save the file as UTF-8 without a byte-order mark.")
        _refuse(f"{content[error.start]:02X}", message % {"place": error.start})


def read_json(content: bytes) -> object:
    """Return the values of a file; raise :class:`StackFileError` when it is no acceptable JSON."""
    text = _decoded(content)
    depth = nesting(text)
    if depth > DEEPEST_NESTING:
        message = _("JSON is nested %(depth)s deep. Accepted: at most %(most)s.")
        _refuse(f"{depth} deep", message % {"depth": grouped(depth), "most": grouped(DEEPEST_NESTING)})
    try:
        return json.loads(text, object_pairs_hook=_object, parse_int=_whole_number)
    except json.JSONDecodeError as error:
        message = _("Not valid JSON. Check line %(line)d, column %(column)d.")
        _refuse(text[error.pos : error.pos + 20], message % {"line": error.lineno, "column": error.colno})
