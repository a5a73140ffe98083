"""How names and numbers are compared, however people type them."""

from __future__ import annotations

import unicodedata


def normalized(text: str) -> str:
    """Fold case, accents and spaces, so that people find what they would have typed otherwise."""
    plain = unicodedata.normalize("NFKD", text.replace("\x00", " ").casefold())
    return " ".join("".join(c for c in plain if not unicodedata.combining(c)).split())


def squeezed(text: str) -> str:
    """Leave out what people leave out when they type a number: dashes, dots, slashes and spaces."""
    return "".join(c for c in text if c.isalnum())


def number_key(text: str) -> str:
    """Return what a serial number comes to: SF-20871, sf 20871 and SF20871 are the same."""
    return squeezed(normalized(text))
