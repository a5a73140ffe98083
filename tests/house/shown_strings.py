"""Every string that a person may read: what is marked for translation in the code, the templates and the scripts."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
MARKERS = frozenset(
    {"_", "_L", "gettext", "gettext_lazy", "ngettext", "ngettext_lazy", "pgettext", "pgettext_lazy"}
)
_TRANSLATE = re.compile(r"{%\s*translate\s+(\"(?:[^\"\\]|\\.)*\"|'(?:[^'\\]|\\.)*')")
_BLOCK = re.compile(r"{%\s*blocktranslate[^%]*%}(.*?){%\s*endblocktranslate\s*%}", re.DOTALL)
_BUTTON = re.compile(r"<(button|a)\b((?:[^>%{]|{%.*?%}|{{.*?}})*)>(.*?)</\1>", re.DOTALL)
_UNSEEN = re.compile(r'<span class="visually-hidden">.*?</span>', re.DOTALL)
_TRANSLATED = re.compile(
    r"{%\s*translate\s+(\"(?:[^\"\\]|\\.)*\"|'(?:[^'\\]|\\.)*')\s*%}"
    r"|{%\s*blocktranslate[^%]*%}(.*?){%\s*endblocktranslate\s*%}",
    re.DOTALL,
)
_LABEL = re.compile(r"<label[^>]*>\s*{%\s*translate\s+(\"(?:[^\"\\]|\\.)*\"|'(?:[^'\\]|\\.)*')")
# The nameplate's table of fields: number, choice, text.
PLATE_FIELDS = frozenset({"_n", "_c", "_t"})


class Shown(NamedTuple):
    """One string with its file and line."""

    path: str
    line: int
    text: str


def shown_strings() -> Iterator[Shown]:
    """Yield every marked string of the product."""
    for folder in ("repairs", "bearings"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            if "migrations" not in path.parts:
                yield from _of_code(path)
    for path in sorted((ROOT / "templates").rglob("*.html")):
        yield from _of_template(path)


def _of_code(path: Path) -> Iterator[Shown]:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call) and _name(node.func) in MARKERS:
            for given in node.args:
                if isinstance(given, ast.Constant) and isinstance(given.value, str):
                    yield Shown(str(path.relative_to(ROOT)), given.lineno, given.value)


def labels() -> Iterator[Shown]:
    """Yield the labels of fields: of forms, of the nameplate's table, of templates."""
    for folder in ("repairs", "bearings"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            if "migrations" not in path.parts:
                yield from _labels_of(path)
    for path in sorted((ROOT / "templates").rglob("*.html")):
        text = path.read_text()
        for match in _LABEL.finditer(text):
            yield Shown(_path(path), text.count("\n", 0, match.start()) + 1, match[1][1:-1])


def _labels_of(path: Path) -> Iterator[Shown]:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call):
            given = [one.value for one in node.keywords if one.arg == "label"]
            given += node.args[1:2] if _name(node.func) in PLATE_FIELDS else []
            for one in given:
                if isinstance(one, ast.Call) and _name(one.func) in MARKERS:
                    words = one.args[0]
                    if isinstance(words, ast.Constant) and isinstance(words.value, str):
                        yield Shown(_path(path), one.lineno, words.value)


def buttons() -> Iterator[Shown]:
    """Yield what buttons say, without what only a screen reader says; of a plural the one form and the other."""
    for path in sorted((ROOT / "templates").rglob("*.html")):
        text = path.read_text()
        for match in _BUTTON.finditer(text):
            if match[1] == "a" and not re.search(r'class="[^"]*\bbutton', match[2]):
                continue
            line = text.count("\n", 0, match.start()) + 1
            for said in _TRANSLATED.finditer(_UNSEEN.sub("", match[3])):
                for part in re.split(r"{%\s*plural\s*%}", said[1][1:-1] if said[1] else said[2]):
                    yield Shown(_path(path), line, " ".join(part.split()))


def _path(path: Path) -> str:
    return str(path.relative_to(ROOT))


def _name(function: ast.expr) -> str:
    if isinstance(function, ast.Name):
        return function.id
    return function.attr if isinstance(function, ast.Attribute) else ""


def _of_template(path: Path) -> Iterator[Shown]:
    text = path.read_text()
    for match in _TRANSLATE.finditer(text):
        yield Shown(str(path.relative_to(ROOT)), text.count("\n", 0, match.start()) + 1, match[1][1:-1])
    for match in _BLOCK.finditer(text):
        for part in re.split(r"{%\s*plural\s*%}", match[1]):
            words = " ".join(part.split())
            yield Shown(str(path.relative_to(ROOT)), text.count("\n", 0, match.start()) + 1, words)
