"""The commands as programs: what they print, and how they end."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from bearings.engineering.assessment import VERSION

ROOT = Path(__file__).parents[2]
TRIPLE = ROOT / "tests" / "reference" / "triple.json"
EXAMPLES = Path(__file__).parents[2] / "bearings" / "examples"


def run(*arguments: str, content: bytes = b"", **environment: str) -> tuple[int, str, str]:
    """Run a command without any setting of the project's own."""
    plain = {
        name: value for name, value in os.environ.items() if not name.startswith(("MOUNTSIDE", "DJANGO"))
    }
    done = subprocess.run(
        [sys.executable, "manage.py", *arguments],
        input=content,
        capture_output=True,
        cwd=ROOT,
        env=plain | environment,
        timeout=60,
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


@pytest.fixture
def changed(tmp_path):
    """Write the triple with some values of its motor changed, or with an item turned over."""

    def write(name: str, turn: int | None = None, **motor: object) -> str:
        values = json.loads(TRIPLE.read_text())
        values["motor"] |= motor
        if turn is not None:
            item = values["items"][turn]
            item["wide_face"] = "up" if item["wide_face"] == "down" else "down"
        path = tmp_path / name
        path.write_text(json.dumps(values))
        return str(path)

    return write


@pytest.mark.parametrize(
    ("name", "status", "verdicts", "asked"),
    [("nameplate", 3, {"not_proven"}, 3), ("normal", 0, {"ok", "warn"}, 0), ("complete", 0, {"ok"}, 0)],
)
def test_the_examples_have_their_answers(name, status, verdicts, asked):
    """A nameplate alone proves nothing and asks at most three things; book data and measured fits leave none."""
    found, output, errors = run("check_stack", str(EXAMPLES / f"{name}.json"), "--format", "json")
    answer = json.loads(output)

    assert (found, errors) == (status, "")
    assert answer["version"] == VERSION
    assert answer["headline"]["verdict"] in verdicts
    assert len(answer["headline"]["ask"]) == asked
    assert answer == json.loads((EXAMPLES / f"{name}.answer.json").read_text())


def test_a_complete_stack_leaves_notes_alone():
    _status, output, _errors = run("check_stack", str(EXAMPLES / "complete.json"), "--format", "json")
    answer = json.loads(output)

    assert {one["severity"] for one in answer["findings"]} == {"note"}
    assert all(one["verdict"] == "ok" for one in answer["subjects"])
    assert not any(one["missing"] for one in answer["settles"])


def test_a_version_1_file_without_what_a_set_needs_is_not_proven():
    status, output, errors = run("check_stack", str(TRIPLE), "--format", "json")

    assert (status, errors) == (3, "")
    assert json.loads(output)["answer"] == 2


def test_check_stack_reads_standard_input_and_answers_in_text():
    status, output, _errors = run("check_stack", "-", content=TRIPLE.read_bytes())

    assert status == 3
    assert output.startswith("NOT PROVEN.")
    assert "Universal, matched or single?" in output


def test_check_stack_writes_to_a_terminal_of_few_signs():
    status, output, errors = run("check_stack", str(TRIPLE), PYTHONIOENCODING="ascii")

    assert (status, errors) == (3, "")
    assert "Bearing set" in output


def test_check_stack_ends_with_1_at_a_stop(changed):
    status, output, _errors = run(
        "check_stack", changed("fast.json", rated_speed_rpm=3_000), "--format", "json"
    )

    assert status == 1
    assert "stop" in {finding["severity"] for finding in json.loads(output)["findings"]}


@pytest.mark.parametrize("form", [("--format", "json"), ("--format=json",)])
def test_a_refused_file_ends_with_2_and_one_json_document(changed, form):
    path = changed("wrong.json", rated_speed_rpm=-1, down_thrust_n=1e308)

    status, output, errors = run("check_stack", path, *form)

    assert (status, errors) == (2, "")
    assert [one["field"] for one in json.loads(output)["errors"]] == [
        "motor.rated_speed_rpm",
        "motor.down_thrust_n",
    ]
    assert set(json.loads(output)["errors"][0]) == {"field", "value", "message"}


def test_a_refused_file_is_told_on_standard_error_in_text(changed):
    status, output, errors = run("check_stack", changed("wrong.json", rated_speed_rpm=-1))

    assert (status, output) == (2, "")
    assert "motor.rated_speed_rpm" in errors


@pytest.mark.parametrize(
    "arguments",
    [
        ("check_stack", "--format", "json"),
        ("check_stack", "no-such-file.json", "--format", "json"),
        ("check_stack", "tests", "--format", "json"),
        ("check_stack", str(TRIPLE), str(TRIPLE), "--format", "json"),
        ("check_stack", str(TRIPLE), "--colour", "--format=json"),
        ("compare_stacks", str(TRIPLE), "--format", "json"),
        ("compare_stacks", "-", "-", "--format", "json"),
        ("compare_stacks", "no-such-file.json", str(TRIPLE), "--format", "json"),
    ],
)
def test_wrong_arguments_and_files_end_with_2_and_one_json_document(arguments):
    status, output, errors = run(*arguments)

    assert (status, errors) == (2, "")
    assert json.loads(output)["errors"]


def test_an_unknown_format_ends_with_2_and_a_message():
    status, output, errors = run("check_stack", str(TRIPLE), "--format", "yaml")

    assert (status, output) == (2, "")
    assert "yaml" in errors


def test_compare_stacks_ends_with_0_for_the_same_and_1_for_a_difference(changed):
    same, output, _errors = run("compare_stacks", str(TRIPLE), changed("same.json"), "--format", "json")
    status, text, _errors = run("compare_stacks", str(TRIPLE), changed("turned.json", turn=2))

    assert (same, json.loads(output)) == (0, {"same": True, "differences": []})
    assert status == 1
    assert "upside down" in text


def test_compare_stacks_names_the_file_of_a_mistake(changed):
    path = changed("wrong.json", rated_speed_rpm=-1)
    _status, output, _errors = run("compare_stacks", str(TRIPLE), path, "--format", "json")

    (error,) = json.loads(output)["errors"]
    assert error["field"] == "motor.rated_speed_rpm"
    assert error["message"].startswith(path)
