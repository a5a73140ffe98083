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
