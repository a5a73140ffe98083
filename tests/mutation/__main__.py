"""Change the code a little, run the tests that stand for it, and tell which changes no test noticed.

``python -m tests.mutation A`` changes all of group A, ``B`` 600 places drawn by seed. See DEVELOPERS.md.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import Any

from tests.mutation.areas import AREAS, Area
from tests.mutation.mutants import Mutant, mutants_of

ROOT = Path(__file__).resolve().parents[2]
EXCUSES = Path(__file__).with_name("excused.json")
DRAWN_IN_ALL = 600


def main() -> None:
    asked = _arguments()
    state = Path(asked.state)
    state.mkdir(parents=True, exist_ok=True)
    answers = state / "answers.jsonl"
    known = _known(answers)
    chosen = [(area, _chosen(area, asked)) for area in AREAS if asked.area in ("", area.name)]
    chosen = [(area, mutants) for area, mutants in chosen if area.group == asked.group and mutants]
    if not asked.report:
        tree = _private_copy(state)
        deadline = time.time() + 60 * asked.minutes
        for area, mutants in chosen:
            _run(area, mutants, known, tree, answers, deadline, asked)
        known = _known(answers)
    _report(chosen, known)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("group", choices=["A", "B"])
    parser.add_argument("--area", default="", choices=["", *(one.name for one in AREAS)])
    parser.add_argument("--seed", type=int, default=2026)
    parser.add_argument("--draw", type=int, default=DRAWN_IN_ALL, help="how many of group B in all")
    parser.add_argument(
        "--minutes", type=float, default=600, help="stop after so long; run it again to go on"
    )
    parser.add_argument("--jobs", type=int, default=1, help="how many changes to ask at once")
    parser.add_argument("--again", action="store_true", help="ask the survivors again, after new tests")
    parser.add_argument("--report", action="store_true", help="only print what is known")
    parser.add_argument("--state", default=str(Path(tempfile.gettempdir()) / "mountside-mutation"))
    return parser.parse_args()


def _known(answers: Path) -> dict[str, dict[str, Any]]:
    if not answers.exists():
        return {}
    rows = (json.loads(line) for line in answers.read_text().splitlines())
    return {row["key"]: row for row in rows}


def _chosen(area: Area, asked: argparse.Namespace) -> list[Mutant]:
    """Return all changes of an area of group A; of one of group B as many as are drawn from it."""
    own = (
        {path for one in AREAS if one.group == "A" for path in one.paths(ROOT)}
        if area.group == "B"
        else set()
    )
    found = [
        mutant
        for path in area.paths(ROOT)
        if path not in own
        for mutant in mutants_of(path, (ROOT / path).read_text())
    ]
    if area.group == "A":
        return found
    number = min(len(found), round(area.drawn * asked.draw / DRAWN_IN_ALL))
    # By a number of its own each, so that a change of one module draws no other ones elsewhere.
    return sorted(found, key=lambda one: _drawn_by(asked.seed, one.key))[:number]


def _drawn_by(seed: int, key: str) -> str:
    return hashlib.sha256(f"{seed} {key}".encode()).hexdigest()


def _private_copy(state: Path) -> Path:
    """Copy what git lists or would add, so that a change touches nothing of the repository."""
    tree = state / f"tree-{os.getpid()}"
    listing = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    for name in listing.stdout.splitlines():
        source = ROOT / name
        if source.is_file() and not source.is_symlink():
            (tree / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(source, tree / name)
    return tree


def _run(
    area: Area,
    mutants: list[Mutant],
    known: dict[str, dict[str, Any]],
    tree: Path,
    answers: Path,
    deadline: float,
    asked: argparse.Namespace,
) -> None:
    open_ones = [one for one in mutants if _is_open(known.get(one.key), asked.again)]
    print(f"{area.name}: {len(open_ones)} of {len(mutants)} changes to ask", flush=True)
    # What acts on import is tried by binding it anew first, where the project's modules take long to load.
    shop = any(path.startswith("repairs") for path in area.paths(ROOT))
    inside = [one for one in open_ones if one.function or (shop and not _not_swapped(known.get(one.key)))]
    if inside:
        _ask(area, inside, tree, answers, deadline, jobs=asked.jobs)
    known, asked_inside = _known(answers), {one.key for one in inside}
    cold = [one for one in open_ones if one.key not in asked_inside or _not_swapped(known.get(one.key))]
    if cold:
        _ask(area, cold, tree, answers, deadline, jobs=0)


def _is_open(row: dict[str, Any] | None, again: bool) -> bool:
    return row is None or _not_swapped(row) or (again and row["result"] == "survived")


def _not_swapped(row: dict[str, Any] | None) -> bool:
    return row is not None and row["result"] == "not swapped"


def _ask(area: Area, mutants: list[Mutant], tree: Path, answers: Path, deadline: float, *, jobs: int) -> None:
    if time.time() > deadline:
        return
    folder = tree.parent / f"{tree.name}-shop"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    tests = area.test_paths(ROOT, on_import=not jobs)
    questions: dict[str, Any] = {
        "keys": [one.key for one in mutants],
        # All of the area's: what was traced once holds for every run.
        "paths": area.paths(ROOT),
        "answers": str(answers),
        "deadline": deadline,
        "tests": tests,
        "jobs": jobs,
    }
    environment = {
        **os.environ,
        "PYTHONDONTWRITEBYTECODE": "1",
        "MOUNTSIDE_FOLDER": str(folder),
        "MUTATION_QUESTIONS": str(tree.parent / f"{tree.name}-questions.json"),
        "DJANGO_SETTINGS_MODULE": "tests.settings",
    }
    quiet = ["-q", "-p", "no:cacheprovider", "--no-header"]
    if not jobs and any(path.startswith("repairs") for path in questions["paths"]):
        # One test makes the database that each of the others gets a copy of.
        maker = ["--create-db", "--reuse-db", "tests/repairs/test_once.py"]
        made = [sys.executable, "-m", "pytest", "-x", *quiet, *maker]
        subprocess.run(made, cwd=tree, env=environment, check=True, stdout=subprocess.DEVNULL)
        questions["database"] = str(folder / "test.sqlite3")
    Path(environment["MUTATION_QUESTIONS"]).write_text(json.dumps(questions))
    if jobs:
        command = [sys.executable, "-m", "pytest", "-p", "tests.mutation.session", *quiet, *tests]
    else:
        command = [sys.executable, "-m", "tests.mutation.cold", environment["MUTATION_QUESTIONS"]]
    subprocess.run(command, cwd=tree, env=environment, check=True, stdout=subprocess.DEVNULL)


def _report(chosen: list[tuple[Area, list[Mutant]]], known: dict[str, dict[str, Any]]) -> None:
    excuses = json.loads(EXCUSES.read_text()) if EXCUSES.exists() else {}
    total: Counter[str] = Counter()
    for area, mutants in chosen:
        counts: Counter[str] = Counter()
        for one in mutants:
            row = known.get(one.key)
            result = "not asked" if row is None else row["result"]
            excuse = excuses.get(one.key, "")
            counts["excused" if result == "survived" and excuse else result] += 1
            if result in {"survived", "not swapped"} and not excuse:
                place = f"{one.key} {one.path}:{one.lines[0]}"
                print(f"  {place} {one.kind}: {one.before!r} -> {one.after!r} ({row['tests']} tests)")
        total += counts
        print(f"{area.name}: {_line(counts)}", flush=True)
    print(f"in all: {_line(total)}")


def _line(counts: Counter[str]) -> str:
    asked = sum(count for result, count in counts.items() if result not in {"not asked", "excused"})
    killed = counts["killed"] + counts["timeout"]
    share = f"{100 * killed / asked:.1f} %" if asked else "-"
    return f"{dict(sorted(counts.items()))}, noticed {killed} of {asked} ({share})"


if __name__ == "__main__":
    main()
