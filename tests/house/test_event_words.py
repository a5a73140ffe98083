"""What happened to a job is told in words on its page: no event of a job goes by its code."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

from repairs.office.event_words import VERBS

ROOT = Path(__file__).resolve().parents[2] / "repairs"


def _texts(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from (*_texts(node.body), *_texts(node.orelse))


def verbs_of_jobs() -> set[str]:
    """Return the verbs of every event that names a job."""
    found: set[str] = set()
    for path in ROOT.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if not isinstance(node, ast.Call) or getattr(node.func, "id", "") != "record_event":
                continue
            words = {word.arg: word.value for word in node.keywords}
            if "job_number" in words and "verb" in words:
                found |= set(_texts(words["verb"]))
    return found


def test_every_event_of_a_job_has_words():
    found = verbs_of_jobs()
    assert len(found) > 50
    assert found - set(VERBS) == set()
