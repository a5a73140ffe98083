"""A pytest plugin: one session that loads project and tests once, then forks a child for each wrong change.

The child swaps the code of the functions concerned and runs the tests that come by the changed lines, quickest first,
until one fails. Which tests come by is traced in a child beforehand, nothing changed. The test database is a file of
its own, put back before each child.
"""

from __future__ import annotations

import ast
import builtins
import contextlib
import gc
import hashlib
import importlib
import itertools
import json
import os
import shutil
import signal
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

import hypothesis

from tests.mutation.mutants import mutants_of

KILLED, SURVIVED, NOT_SWAPPED = 10, 11, 12
CPU_LIMIT_S, WALL_LIMIT_S = 15.0, 240.0
# Tests that come by a line are run up to this much of a processor's time: what they all miss is called unnoticed.
BUDGET_S = 40.0


class _Top:
    """Stands for the next test of all, so that nothing of the session is torn down."""

    def __init__(self, session: Any) -> None:
        self.session = session

    def listchain(self) -> list[Any]:
        return [self.session]


class _Outcome:
    """Whether a test failed, as its reports say."""

    def __init__(self) -> None:
        self.failed = False
        self.where = ""

    def pytest_runtest_logreport(self, report: Any) -> None:
        if report.failed:
            self.failed, self.where = True, report.nodeid


def pytest_runtestloop(session: Any) -> bool:
    """Take pytest's place: run the questions of ``MUTATION_QUESTIONS`` instead of the tests."""
    if session.testsfailed:
        raise session.Interrupted("the tests cannot be collected")
    hypothesis.settings.register_profile("mutation", hypothesis.settings(), database=None, derandomize=True)
    hypothesis.settings.load_profile("mutation")
    _Run(session, json.loads(Path(os.environ["MUTATION_QUESTIONS"]).read_text())).go()
    return True


class _Run:
    def __init__(self, session: Any, questions: dict[str, Any]) -> None:
        self.session, self.top = session, _Top(session)
        self.items = {item.nodeid: item for item in session.items}
        self.keys, self.answers = set(questions["keys"]), Path(questions["answers"])
        self.deadline = questions["deadline"]
        self.jobs = questions["jobs"]
        self.noticed: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
        self.root = Path.cwd()
        self.when_ready = "".join(path.read_text() for path in self.root.glob("repairs/*/apps.py"))
        self.sources = {path: (self.root / path).read_text() for path in questions["paths"]}
        for path in self.sources:
            importlib.import_module(path.removesuffix(".py").removesuffix("/__init__").replace("/", "."))
        self.outcome = _Outcome()
        session.config.pluginmanager.register(self.outcome)

    def go(self) -> None:
        self.prepare_database()
        gc.collect()
        gc.freeze()
        self.functions = self.loaded_functions()
        came_by, seconds, broken = self.traced()
        asked = []
        for path, source in self.sources.items():
            for mutant in mutants_of(path, source):
                if mutant.key in self.keys:
                    lines = mutant.lines if mutant.function else self.lines_with(path, _bound(source, mutant))
                    tests = {one for line in lines for one in came_by.get((path, line), ())}
                    asked.append((mutant, source, tests - broken))
        # A pipe hands the next question to whichever worker is free.
        taking, giving = os.pipe()
        workers = []
        for number in range(self.jobs):
            if (worker := os.fork()) == 0:
                os.close(giving)
                self.own_database(number)
                self.work(asked, taking, seconds)
                os._exit(0)
            workers.append(worker)
        os.close(taking)
        with open(giving, "wb") as pipe, contextlib.suppress(BrokenPipeError):
            pipe.write(b"".join(number.to_bytes(4, "big") for number in range(len(asked))))
        for worker in workers:
            os.waitpid(worker, 0)

    def work(self, asked: list[tuple[Any, str, set[str]]], taking: int, seconds: dict[str, float]) -> None:
        """Answer questions until none is left, first by the tests that noticed another change of the function."""
        while (number := os.read(taking, 4)) and time.time() < self.deadline:
            mutant, source, tests = asked[int.from_bytes(number, "big")]
            noticed = self.noticed[mutant.path, mutant.function]
            ordered = sorted(tests, key=lambda one: (-noticed[one], seconds[one]))
            used = itertools.accumulate(seconds[one] for one in ordered)
            self.answer(
                mutant, source, [one for one, sum_s in zip(ordered, used, strict=True) if sum_s < BUDGET_S]
            )

    def own_database(self, number: int) -> None:
        if self.database is not None:
            from django.db import connections

            self.database = self.database.with_name(f"test-{number}.sqlite3")
            connections["default"].settings_dict["NAME"] = str(self.database)

    def answer(self, mutant: Any, source: str, tests: list[str]) -> None:
        began = time.time()
        noticed = self.noticed[mutant.path, mutant.function]
        # What no test comes by may have run on import, such as a decorator: a process of its own asks it.
        code, where = self.in_child(mutant, source, tests) if tests else (NOT_SWAPPED, "")
        if code == SURVIVED and (not mutant.function or f".{mutant.function}(" in self.when_ready):
            code = NOT_SWAPPED  # who took the value, or was set up by it, on import may notice it
        noticed[where] += code == KILLED
        words = {KILLED: "killed", SURVIVED: "survived", NOT_SWAPPED: "not swapped"}
        row = {
            "key": mutant.key, "path": mutant.path, "line": mutant.lines[0], "function": mutant.function,
            "kind": mutant.kind, "before": mutant.before, "after": mutant.after,
            "result": words.get(code, "timeout"), "tests": len(tests), "by": where,
            "seconds": round(time.time() - began, 2),
        }  # fmt: skip
        with self.answers.open("a") as file:
            file.write(json.dumps(row) + "\n")

    def prepare_database(self) -> None:
        """Let one test make the database, close it, and keep a copy."""
        self.database: Path | None = None
        wanting = next((item for item in self.session.items if "django_db_setup" in item.fixturenames), None)
        if wanting is None:
            return
        from django.db import connections

        wanting.config.hook.pytest_runtest_protocol(item=wanting, nextitem=self.top)
        for connection in connections.all():
            connection.close()
        self.database = Path(str(connections["default"].settings_dict["NAME"]))
        self.template = self.database.with_suffix(".template")
        shutil.copy(self.database, self.template)

    def fresh_database(self) -> None:
        if self.database is not None:
            for end in ("-wal", "-shm"):
                Path(f"{self.database}{end}").unlink(missing_ok=True)
            shutil.copy(self.template, self.database)

    def loaded_functions(self) -> dict[str, list[FunctionType]]:
        """Return the live functions of the modules that are changed."""
        names = {str(self.root / path): path for path in self.sources}
        found: dict[str, list[FunctionType]] = defaultdict(list)
        gc.unfreeze()
        for one in gc.get_objects():
            if type(one) is FunctionType and one.__code__.co_filename in names:
                found[names[one.__code__.co_filename]].append(one)
        gc.freeze()
        return found

    def traced(self) -> tuple[dict[tuple[str, int], set[str]], dict[str, float], set[str]]:
        """Run the tests unchanged in a child that writes down, test by test, which lines each comes by.

        What was written down for the same modules and the same file of tests is not traced again, unless the test
        failed: that may have been a full disk.
        """
        modules = _digest("".join(self.sources.values()))
        files = {item.nodeid: modules + _digest(item.path.read_text()) for item in self.session.items}
        kept = self.answers.with_name("traced.jsonl")
        rows = self._traced_before(kept, files, failed=False)
        missing = [nodeid for nodeid in files if nodeid not in rows]
        if missing:
            self.fresh_database()
            if (child := os.fork()) == 0:
                self.quiet()
                self._trace(missing, files, kept)
                os._exit(0)
            os.waitpid(child, 0)
            rows = self._traced_before(kept, files, failed=True)
        came_by: dict[tuple[str, int], set[str]] = defaultdict(set)
        for nodeid, row in rows.items():
            for path, line in row["lines"]:
                came_by[path, line].add(nodeid)
        broken = {nodeid for nodeid, row in rows.items() if row["failed"]}
        if broken:
            sys.stderr.write(f"left out, for they fail unchanged: {sorted(broken)}\n")
        return came_by, {nodeid: row["seconds"] for nodeid, row in rows.items()}, broken

    def _traced_before(self, kept: Path, files: dict[str, str], *, failed: bool) -> dict[str, dict[str, Any]]:
        if not kept.exists():
            return {}
        rows = (json.loads(line) for line in kept.read_text().splitlines())
        found = {row["test"]: row for row in rows if files.get(row["test"]) == row["of"]}
        return found if failed else {name: row for name, row in found.items() if not row["failed"]}

    def _trace(self, nodeids: list[str], files: dict[str, str], kept: Path) -> None:
        lines: set[tuple[str, int]] = set()
        builtins.mutation_probe = lambda path, line: lines.add((path, line))  # type: ignore[attr-defined]
        for path, source in self.sources.items():
            self.put_in(path, source, _with_probes(path, source))
        for nodeid in nodeids:
            lines.clear()
            began = time.process_time()
            failed = self.run_test(nodeid)
            row = {
                "test": nodeid,
                "of": files[nodeid],
                "seconds": time.process_time() - began,
                "failed": failed,
            }
            with kept.open("a") as file:
                file.write(json.dumps({**row, "lines": sorted(lines)}) + "\n")

    def run_test(self, nodeid: str) -> bool:
        self.outcome.failed = False
        item = self.items[nodeid]
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=self.top)
        return self.outcome.failed

    def in_child(self, mutant: Any, source: str, tests: list[str]) -> tuple[int, str]:
        self.fresh_database()
        told = self.answers.with_suffix(f".{os.getpid()}.by")
        told.unlink(missing_ok=True)
        if (child := os.fork()) == 0:
            self.quiet()
            signal.signal(signal.SIGPROF, signal.SIG_DFL)
            signal.signal(signal.SIGALRM, signal.SIG_DFL)
            signal.setitimer(signal.ITIMER_PROF, CPU_LIMIT_S + 2 * len(tests))
            signal.setitimer(signal.ITIMER_REAL, WALL_LIMIT_S + 4 * len(tests))
            if not (self.swap if mutant.function else self.rebind)(mutant, source):
                os._exit(NOT_SWAPPED)
            for nodeid in tests:
                if self.run_test(nodeid):
                    told.write_text(nodeid)
                    os._exit(KILLED)
            os._exit(SURVIVED)
        _pid, status = os.waitpid(child, 0)
        by = told.read_text() if told.exists() else ""
        return (os.WEXITSTATUS(status) if os.WIFEXITED(status) else -1), by

    def quiet(self) -> None:
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, 1)
        os.dup2(null, 2)

    def swap(self, mutant: Any, source: str) -> bool:
        return self.put_in(mutant.path, source, ast.parse(mutant.apply(source)))

    def lines_with(self, path: str, name: str) -> set[int]:
        """Return the lines of the functions of a module that use one of its names."""
        return {
            line
            for function in self.functions[path]
            for code in _codes(function.__code__).values()
            if name in code.co_names
            for _start, _end, line in function.__code__.co_lines()
            if line is not None
        }

    def rebind(self, mutant: Any, source: str) -> bool:
        """Bind a changed constant anew, what the module makes of it, and the same in whoever imported it."""
        module = sys.modules[mutant.path.removesuffix(".py").replace("/", ".")]
        names = {_bound(source, mutant)} - {""}
        for statement in ast.parse(mutant.apply(source)).body:
            target, value = _binding(statement)
            used = {one.id for one in ast.walk(value) if isinstance(one, ast.Name)} if value else set()
            if not target or value is None or not (target in names or used & names):
                continue
            names.add(target)
            old = module.__dict__[target]
            code = compile(ast.Expression(value), module.__file__ or "", "eval")
            new = eval(code, module.__dict__)
            for other in list(sys.modules.values()):
                if getattr(other, "__dict__", {}).get(target) is old:
                    other.__dict__[target] = new
        return bool(names)

    def put_in(self, path: str, source: str, tree: ast.Module) -> bool:
        """Give the loaded functions of a module the code of a changed one; say whether any took it."""
        filename = str(self.root / path)
        changed = _codes(compile(tree, filename, "exec", dont_inherit=True))
        plain = _codes(compile(source, filename, "exec", dont_inherit=True))
        swapped = False
        for function in self.functions[path]:
            place = (function.__code__.co_qualname, function.__code__.co_firstlineno)
            code = changed.get(place)
            if code is None or plain.get(place) is None or code == plain[place]:
                continue
            try:
                function.__code__ = code
            except ValueError:
                return False
            swapped = True
        return swapped


def _binding(statement: ast.stmt) -> tuple[str, ast.expr | None]:
    """Return name and value of a statement that binds one name."""
    if isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name):
        return statement.target.id, statement.value
    if isinstance(statement, ast.Assign) and isinstance(statement.targets[0], ast.Name):
        return statement.targets[0].id, statement.value
    return "", None


def _bound(source: str, mutant: Any) -> str:
    """Return the name that the changed statement of a module binds; nothing where it is no such statement."""
    for statement in ast.parse(source).body:
        if statement.lineno <= mutant.lines[0] <= (statement.end_lineno or 0):
            return _binding(statement)[0]
    return ""


class _Probes(ast.NodeTransformer):
    """Puts before each statement of a function a call that notes its line."""

    def __init__(self, path: str) -> None:
        self.path, self.inside = path, 0

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.AST:
        self.inside += 1
        self.generic_visit(node)
        self.inside -= 1
        return node

    def generic_visit(self, node: ast.AST) -> ast.AST:
        super().generic_visit(node)
        if self.inside and not isinstance(node, ast.ClassDef):
            for name in ("body", "orelse", "finalbody"):
                rows = getattr(node, name, None)
                if isinstance(rows, list) and rows:
                    setattr(node, name, [one for row in rows for one in (self.probe(row), row)])
        return node

    def probe(self, statement: ast.stmt) -> ast.stmt:
        call = ast.parse(f"mutation_probe({self.path!r}, {statement.lineno})").body[0]
        for one in ast.walk(call):
            if hasattr(one, "lineno"):
                ast.copy_location(one, statement)
        return call


def _with_probes(path: str, source: str) -> ast.Module:
    tree: ast.Module = _Probes(path).visit(ast.parse(source))
    return ast.fix_missing_locations(tree)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _codes(code: CodeType) -> dict[tuple[str, int], CodeType]:
    found = {(code.co_qualname, code.co_firstlineno): code}
    for one in code.co_consts:
        if isinstance(one, CodeType):
            found |= _codes(one)
    return found
