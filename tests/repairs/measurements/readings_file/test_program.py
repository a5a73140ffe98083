"""The command as a program: no database, no secret, its examples, its ends."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from repairs.management.commands.write_readings_schemas import FOLDER
from tests.repairs.measurements.readings_file.asking import ask_text

ROOT = Path(__file__).resolve().parents[4]
EXAMPLES = {"incoming_test": 3, "final_run": 0}


def _run(*arguments: str, content: bytes = b"", full: bool = False) -> tuple[int, str, str]:
    """Run the command without any setting of the project's own, at a database that is not there."""
    plain = {key: value for key, value in os.environ.items() if not key.startswith(("MOUNTSIDE", "DJANGO"))}
    nowhere = {"MOUNTSIDE_FOLDER": "/no/such/folder", "DATABASE_URL": "postgres://nobody@127.0.0.1:1/none"}
    with open("/dev/full" if full else os.devnull, "w") as sink:
        done = subprocess.run(
            [sys.executable, "manage.py", "check_readings", *arguments],
            input=content,
            stdout=sink if full else subprocess.PIPE,
            stderr=subprocess.PIPE,
            cwd=ROOT,
            env=plain | nowhere,
            timeout=60,
            check=False,
        )
    return done.returncode, (done.stdout or b"").decode(), done.stderr.decode()


@pytest.mark.parametrize(("name", "status"), EXAMPLES.items())
def test_the_examples_have_their_answers(tmp_path: Path, name: str, status: int) -> None:
    content = (FOLDER / f"{name}.json").read_bytes()
    assert "Invented" in json.loads(content)["note"]
    found, answer = ask_text(tmp_path, content)
    assert found == status
    assert answer == json.loads((FOLDER / f"{name}.answer.json").read_text())


def test_it_needs_no_database_and_reads_standard_input() -> None:
    content = (FOLDER / "final_run.json").read_bytes()
    status, output, errors = _run("-", "--format", "json", content=content)
    assert (status, errors) == (0, "")
    assert json.loads(output) == json.loads((FOLDER / "final_run.answer.json").read_text())


def test_in_text_it_is_read_by_people(tmp_path: Path) -> None:
    status, text = ask_text(tmp_path, (FOLDER / "incoming_test.json").read_bytes(), "text")
    lines = [" ".join(line.split()) for line in text.replace("\u00a0", " ").splitlines()]
    assert status == 3
    assert lines[0] == "Verdict: Not checked"
    assert "Insulation resistance: Not checked" in lines
    assert "Missing: Winding temperature" in lines
    assert "Recorded Polarization index (10 min / 1 min): 1.28" in lines
    assert any(line.startswith("Pass Resistance unbalance, line to line: 0.8") for line in lines)
    assert "Not measured PTC thermistor resistance" in lines


def test_wrong_arguments_end_with_2_and_one_json_document() -> None:
    status, output, errors = _run("no-such-file.json", "--format=json")
    assert (status, errors) == (2, "")
    assert [one["field"] for one in json.loads(output)["errors"]] == ["file"]


def test_a_fault_of_the_program_is_no_verdict() -> None:
    status, _output, errors = _run(str(FOLDER / "final_run.json"), full=True)
    assert status == 70
    assert "This is not a verdict." in errors
