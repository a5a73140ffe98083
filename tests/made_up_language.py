"""A language that nobody speaks, a third longer than English: what stays plain English in it cannot be translated.

It is made from the stored catalog and Django's own, and only while a test asks for it. The shop never offers it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Final

import django
from babel.messages.pofile import read_po
from django.utils import formats, translation
from django.utils.translation import trans_real

from repairs.management.catalog import CATALOG

# Letters that the shop's own fonts have (Latin-1); each word with one of them is seen to be translated.
ACCENTED: Final = str.maketrans("aeiouyncAEIOUNC", "áéíóúýñçÁÉÍÓÚÑÇ")
PLAIN: Final = re.compile(r"[aeiouyncAEIOUNC]")
# What a sentence holds a place for, and marks of pages, stay as they are.
KEPT: Final = re.compile(
    r"%\(\w+\)\d*\.?\d*[sdgf]|%%|%[sd]|\{[^{}]*\}|<[^>]+>|&#?\w+;"
)  # fmt: skip
OWN_CODE: Final = "xx"
OF_DJANGO: Final = ("conf", "contrib/auth", "contrib/contenttypes", "contrib/sessions", "contrib/humanize")


def made_up(text: str) -> str:
    """Return a sentence in the made-up language: accents, every third letter doubled, places kept."""
    parts, at = [], 0
    for match in KEPT.finditer(text):
        parts += [_words(text[at : match.start()]), match.group()]
        at = match.end()
    return "".join([*parts, _words(text[at:])])


def _words(text: str) -> str:
    return re.sub(r"[A-Za-z]+", lambda found: _longer(found.group()), text).translate(ACCENTED)


def _longer(word: str) -> str:
    """Return a word with every third letter doubled, from the second on."""
    return "".join(letter * (2 if at % 3 == 1 else 1) for at, letter in enumerate(word))


@cache
def known() -> frozenset[tuple[str | None, str]]:
    """Every sentence that a translator is given, by context and English words."""
    places = [CATALOG]
    for part in OF_DJANGO:
        places.append(Path(django.__path__[0]) / part / "locale" / "en" / "LC_MESSAGES" / "django.po")
    found: set[tuple[str | None, str]] = set()
    for place in places:
        if place.is_file():
            with place.open("rb") as file:
                for message in read_po(file):
                    ids = (message.id,) if isinstance(message.id, str) else message.id
                    found |= {(message.context, one) for one in ids}
    return frozenset(found)


class MadeUpLanguage(trans_real.DjangoTranslation):
    """What Django asks for words."""

    def __init__(self) -> None:
        self.asked_in_vain: set[str] = set()
        super().__init__("en")

    def to_language(self) -> str:
        """Return its own name, so that words put by in English are none of its."""
        return OWN_CODE

    def _in(self, context: str | None, message: str) -> str:
        if (context, message) in known():
            return made_up(message)
        self.asked_in_vain.add(message)
        return message

    def gettext(self, message: str) -> str:
        if trans_real.CONTEXT_SEPARATOR in message:
            context, _mark, message = message.partition(trans_real.CONTEXT_SEPARATOR)
            return self._in(context, message)
        return self._in(None, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


@contextmanager
def in_the_made_up_language() -> Iterator[MadeUpLanguage]:
    """Have the whole process, its server's threads too, speak the made-up language."""
    spoken, before = MadeUpLanguage(), translation.get_language()
    kept, default = dict(trans_real._translations), trans_real._default
    try:
        trans_real._default = None
        for code in ("en", "en-us"):
            trans_real._translations[code] = spoken
        # Its days and times look like English ones, with its own names of months.
        formats._format_modules_cache[OWN_CODE] = formats.get_format_modules("en")
        translation.activate("en")
        yield spoken
    finally:
        trans_real._translations.clear()
        trans_real._translations.update(kept)
        trans_real._default = default
        translation.activate(before or "en")
