"""The catalog of every sentence that people read, drawn out of code and templates: English (US), the source language.

Python is read by Babel; a template is turned into calls of gettext by Django itself, as its own command does it.
The text is the same on every machine: sorted, no dates, no line numbers. For whoever translates it, files
are named beside each sentence, and what its trade words mean.
Babel comes with the requirements of the tests, since serving needs no catalog of the source language.
"""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Final, NamedTuple

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import write_po
from django.utils.translation.template import templatize

from repairs.management.trade_terms import terms_in

ROOT: Final = Path(__file__).resolve().parents[2]
CATALOG: Final = ROOT / "repairs" / "locale" / "django.pot"
CODE: Final = ("bearings", "repairs")
TEMPLATES: Final = "templates"
# What marks a sentence, with the places of its singular, its plural and its context among the arguments.
Places = tuple[int | tuple[int, str], ...] | None
MARKS: Final[dict[str, Places]] = {
    "_": None,
    "_L": None,
    "gettext": None,
    "gettext_lazy": None,
    "gettext_noop": None,
    "ngettext": (1, 2),
    "ngettext_lazy": (1, 2),
    "pgettext": ((1, "c"), 2),
    "pgettext_lazy": ((1, "c"), 2),
    "npgettext": ((1, "c"), 2, 3),
    "npgettext_lazy": ((1, "c"), 2, 3),
}
TO_TRANSLATORS: Final = "Translators:"
HEADER: Final = """\
Mountside: every sentence that people read, in English (US), the source language.
Written by: manage.py write_catalog. Do not edit."""


class Sentence(NamedTuple):
    """One marked sentence with the file that it stands in."""

    path: str
    words: str | tuple[str, ...]
    context: str | None
    comments: list[str]

    @property
    def singular(self) -> str:
        """The words, of a plural its singular."""
        return self.words if isinstance(self.words, str) else self.words[0]


def sentences() -> Iterator[Sentence]:
    """Yield every marked sentence of code and templates."""
    for folder in CODE:
        for path in sorted((ROOT / folder).rglob("*.py")):
            if "migrations" not in path.parts:
                yield from _marked_in(path, path.read_text(encoding="utf-8"))
    for path in sorted((ROOT / TEMPLATES).rglob("*")):
        if path.is_file():
            name = path.relative_to(ROOT).as_posix()
            # In brackets, so that the indents of a page are none of Python's.
            yield from _marked_in(path, f"(\n{templatize(path.read_text(encoding='utf-8'), name)}\n)")


def _marked_in(path: Path, code: str) -> Iterator[Sentence]:
    name = path.relative_to(ROOT).as_posix()
    found = extract(
        "python",
        BytesIO(code.encode()),
        MARKS,
        (TO_TRANSLATORS,),
        {"encoding": "utf-8"},
        strip_comment_tags=True,
    )
    for _line, words, comments, context in found:
        yield Sentence(name, words, context, comments)


def catalog_text() -> str:
    """Return the catalog as it is stored."""
    catalog = Catalog(header_comment="", charset="utf-8", fuzzy=False)
    for one in sentences():
        catalog.add(
            one.words,
            locations=[(one.path, 0)],
            auto_comments=[*(" ".join(comment.split()) for comment in one.comments), *terms_in(one.singular)],
            context=one.context,
        )
    written = BytesIO()
    write_po(written, catalog, width=110, omit_header=True, sort_output=True, include_lineno=False)
    header = "".join(f"# {line}\n" for line in HEADER.splitlines())
    head = 'msgid ""\nmsgstr ""\n"Language: en_US\\n"\n"Content-Type: text/plain; charset=utf-8\\n"\n'
    plurals = '"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n'
    return f"{header}{head}{plurals}\n{written.getvalue().decode()}"
