"""Ask the command in this process: its status and its JSON."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path
from typing import Any
from unittest.mock import patch

from django.core.management import call_command

from repairs.management.commands.check_readings import Command


def ask(
    folder: Path, *tests: dict[str, Any], motor: dict[str, Any] | None = None, **more: Any
) -> tuple[int, Any]:
    """Return how the command ends on a file of these tests, and what it answers."""
    return ask_text(
        folder, json.dumps({"readings_file": 1, "motor": motor or {}, "tests": list(tests), **more})
    )


def ask_text(folder: Path, text: str | bytes, form: str = "json") -> tuple[int, Any]:
    """Return how the command ends on a file of this text, and what it answers."""
    path = folder / "readings.json"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    out, status = StringIO(), 0
    command = Command(stdout=out, stderr=out)
    # A fault of the program ends a process; here it is a fault of the test.
    with patch("bearings.management.file_command.os._exit", side_effect=AssertionError("the program failed")):
        try:
            call_command(command, str(path), format=form)
        except SystemExit as end:
            status = int(str(end.code))
    return status, json.loads(out.getvalue()) if form == "json" else out.getvalue()


def result(answer: Any, code: str) -> dict[str, Any]:
    """Return one result of an answer by its code."""
    return next(one for test in answer["tests"] for one in test["results"] if one["result"] == code)


def notes(answer: Any) -> dict[str, dict[str, Any]]:
    """Return the notes of an answer by code."""
    return {one["code"]: one for test in answer["tests"] for one in test["notes"]}


def missing(answer: Any) -> set[str]:
    """Return the fields that an answer misses."""
    return {one["field"] for test in answer["tests"] for one in test["missing"]}


def wrong(answer: Any) -> dict[str, str]:
    """Return what a refusal says of each field."""
    return {one["field"]: one["message"].replace("\u00a0", " ") for one in answer["errors"]}
