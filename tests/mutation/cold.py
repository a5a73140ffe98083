"""Runs an area's tests anew for each wrong change of what acts on import, such as tables and decorators.

Only packages of others are loaded beforehand; each change is a process of its own that loads the project's modules.
"""

from __future__ import annotations

import importlib
import json
import os
import shutil
import signal
import sys
import time
from pathlib import Path
from typing import Any

from tests.mutation.mutants import mutants_of

# No plugin of pytest: one that is loaded before pytest itself is warned of, and a warning ends the run.
OTHERS = (
    "django.db.models", "django.forms", "django.test", "django.template", "PIL.Image", "weasyprint",
    "pytest", "_pytest.assertion.rewrite", "scipy.optimize", "scipy.special", "numpy", "csp", "segno", "zxingcpp",
    "django.contrib.auth.hashers", "django.contrib.staticfiles", "django_htmx",
)  # fmt: skip
CPU_LIMIT_S, WALL_LIMIT_S = 600, 2400
COLLECTED_NOTHING = 5


def main(questions: dict[str, Any]) -> None:
    """Answer each question in a child of its own."""
    for name in OTHERS:
        try:
            importlib.import_module(name)
        except ImportError:
            continue
    root = Path.cwd()
    # Otherwise whatever keeps pytest from starting is taken for a test that noticed the change.
    result, by = _ask(root, questions)
    if result != "survived":
        raise SystemExit(f"the tests fail unchanged: {by}")
    for path in questions["paths"]:
        source = (root / path).read_text()
        for mutant in mutants_of(path, source):
            if mutant.key not in questions["keys"]:
                continue
            if time.time() > questions["deadline"]:
                return
            began = time.time()
            (root / path).write_text(mutant.apply(source))
            try:
                result, by = _ask(root, questions)
            finally:
                (root / path).write_text(source)
            row = {
                "key": mutant.key, "path": path, "line": mutant.lines[0], "function": mutant.function,
                "kind": mutant.kind, "before": mutant.before, "after": mutant.after, "result": result,
                "tests": -1, "by": by, "seconds": round(time.time() - began, 2),
            }  # fmt: skip
            with Path(questions["answers"]).open("a") as file:
                file.write(json.dumps(row) + "\n")


def _ask(root: Path, questions: dict[str, Any]) -> tuple[str, str]:
    folder = root.parent / f"shop-{os.getpid()}"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    if questions.get("database"):
        shutil.copy(questions["database"], folder / "test.sqlite3")
    log = folder / "log"
    if (child := os.fork()) == 0:
        out = os.open(log, os.O_WRONLY | os.O_CREAT)
        os.dup2(out, 1)
        os.dup2(out, 2)
        signal.signal(signal.SIGPROF, signal.SIG_DFL)
        signal.signal(signal.SIGALRM, signal.SIG_DFL)
        signal.setitimer(signal.ITIMER_PROF, CPU_LIMIT_S)
        signal.setitimer(signal.ITIMER_REAL, WALL_LIMIT_S)
        os.environ["MOUNTSIDE_FOLDER"] = str(folder)
        import pytest

        reuse = ["--reuse-db"] if questions.get("database") else []
        code = pytest.main(["-x", "-q", "-p", "no:cacheprovider", "--no-header", *reuse, *questions["tests"]])
        sys.stdout.flush()
        os._exit(int(code))
    _pid, status = os.waitpid(child, 0)
    if not os.WIFEXITED(status):
        return "timeout", ""
    code = os.WEXITSTATUS(status)
    failed = [
        line for line in log.read_text(errors="replace").splitlines() if line.startswith(("FAILED", "ERROR"))
    ]
    if code == COLLECTED_NOTHING:
        raise SystemExit(f"no tests: {questions['tests']}")
    return ("survived" if code == 0 else "killed"), (failed[0].split(" - ")[0] if failed else f"exit {code}")


if __name__ == "__main__":
    main(json.loads(Path(sys.argv[1]).read_text()))
