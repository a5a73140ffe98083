"""A job's history says every act in words, never by its code."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import repairs
from repairs.office.event_words import VERBS

CODE = Path(repairs.__file__).parent


def verbs_of_jobs() -> Iterator[str]:
    """Yield the verbs of events that name a job, wherever one is recorded."""
    for path in CODE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or getattr(node.func, "id", "") != "record_event":
                continue
            given = {one.arg: one.value for one in node.keywords}
            if "job_number" in given and "verb" in given:
                for part in ast.walk(given["verb"]):
                    if isinstance(part, ast.Constant) and "." in str(part.value):
                        yield str(part.value)


def test_every_act_on_a_job_has_words():
    found = set(verbs_of_jobs())
    assert len(found) > 30
    # An entry that came late ends with what became of it, which has words of its own.
    assert not sorted(verb for verb in found - VERBS.keys() if not verb.endswith("."))
