"""What a person reads on a page: its text, and the words of attributes that are shown or spoken."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Final

SILENT: Final = frozenset({"script", "style", "template"})
SHOWN: Final = frozenset(
    {"title", "placeholder", "aria-label", "alt", "aria-description", "aria-roledescription"}
)
# Attributes that list names for a script.
NAMES: Final = frozenset({"data-outbox-detail", "data-style"})
BUTTONS: Final = frozenset({"submit", "button", "reset"})


def _is_said(name: str, value: str) -> bool:
    """Tell whether an attribute holds words that a script shows."""
    return name.startswith("data-") and name not in NAMES and " " in value.strip()


VOID: Final = frozenset(
    ["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"]
)


class _Reader(HTMLParser):
    """Collects text; leaves out what is said to be English in any language (``lang="en"`` below the page itself)."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self.silent = 0
        self.open: list[bool] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        left_out = tag in SILENT or (given.get("lang") == "en" and tag != "html")
        if tag not in VOID:
            self.open.append(left_out)
            self.silent += left_out
        if self.silent:
            return
        self.found += [value for name, value in attrs if value and (name in SHOWN or _is_said(name, value))]
        if tag == "input" and given.get("type") in BUTTONS and given.get("value"):
            self.found.append(given["value"] or "")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in VOID:
            self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID and self.open:
            self.silent -= self.open.pop()

    def handle_data(self, data: str) -> None:
        if not self.silent and data.strip():
            self.found.append(" ".join(data.split()))


def visible_text(page: str) -> list[str]:
    """Return the pieces of text of a page in their order."""
    reader = _Reader()
    reader.feed(page)
    reader.close()
    return reader.found
