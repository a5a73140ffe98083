"""Does anybody wait while the shop does something large? Run: python -m tests.benchmarks.bench_nobody_waits

One person writes readings and reads the board, over the server as DEVELOPERS.md starts it, first alone and then while
another one has something large done. Every answer must be the right one; of each kind of request the 99th percentile
may be ten times its own median alone, or 250 ms, whichever is more, and no request may take longer than a second.
``--database URL`` names an empty PostgreSQL database to be used instead of SQLite; ``--only cd`` runs some of the work.
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from uuid import uuid4

from tests.benchmarks.large_work import LARGE_WORK, LargeWork, Shop
from tests.benchmarks.measuring import ROOT
from tests.benchmarks.real_server import Person, expect, served_as_documented, shop_environment

ALONE_S, AT_LEAST_S = 15.0, 5.0
# A person at a tablet who never stops to think would be a load test, not a person.
THINKING_S = 0.05
TIMES_MEDIAN, LEAST_LIMIT_S, LONGEST_S = 10.0, 0.25, 1.0
FILL = """
import json, sys, django
django.setup()
from tests.benchmarks.large_work import seed
print(json.dumps(seed(sys.argv[1])))
"""


@dataclass(slots=True)
class Taken:
    """The seconds that each kind of request took, and what went wrong."""

    seconds: dict[str, list[float]] = field(default_factory=lambda: {"reading": [], "board": []})
    errors: list[str] = field(default_factory=list)


def live(person: Person, job: str, stop: Callable[[], bool]) -> Taken:
    """Write a reading, look at the board, think, and so on until it is enough."""
    taken = Taken()
    for number in _numbers(stop):
        for kind, ask in (("reading", _write_reading), ("board", _read_board)):
            try:
                taken.seconds[kind].append(ask(person, job, number))
            except Exception as error:
                taken.errors.append(f"{kind} {number}: {error!r}")
            time.sleep(THINKING_S)
    return taken


def _numbers(stop: Callable[[], bool]) -> Iterator[int]:
    number = 0
    while not stop():
        number += 1
        yield number


def _write_reading(person: Person, job: str, number: int) -> float:
    fields = {
        "quantity": f"runout {number}", "value": "0.02", "unit": "mm", "moment": "as_found", "limit_high": "0.05",
        "limit_source": "benchmark", "form_key": uuid4().hex,
    }  # fmt: skip
    return expect(person.post(f"/bench/jobs/{job}/reading/", fields), 302).seconds


def _read_board(person: Person, _job: str, _number: int) -> float:
    answer = expect(person.get("/office/"), 200)
    if "<title>Board" not in answer.body:
        raise AssertionError("the answer is not the board")
    return answer.seconds


def beside(work: LargeWork, shop: Shop) -> tuple[Taken, float]:
    """Live on while somebody has something large done; return what it took, and how long the work lasted."""
    failed: list[str] = []

    def do() -> None:
        try:
            work.do(shop)
        except Exception as error:
            failed.append(f"the work itself: {error!r}")

    work.prepare(shop)
    begun = time.monotonic()
    doing = threading.Thread(target=do)
    doing.start()
    least = begun + AT_LEAST_S
    taken = live(shop.other, shop.job, lambda: not doing.is_alive() and time.monotonic() > least)
    doing.join()
    taken.errors += failed
    return taken, time.monotonic() - begun


def percentile(seconds: list[float], share: float) -> float:
    """Return the smallest value that at least such a share of the values does not pass."""
    ordered = sorted(seconds)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def judge(name: str, lasted: float, taken: Taken, medians: dict[str, float]) -> bool:
    """Print the rows of one piece of work; return whether everything stayed within its limits."""
    fine = not taken.errors
    for kind, seconds in taken.seconds.items():
        if not seconds:
            print(f"{name:<34}{kind:<9} no answer at all")
            fine = False
            continue
        limit = max(TIMES_MEDIAN * medians[kind], LEAST_LIMIT_S)
        at_99, longest = percentile(seconds, 0.99), max(seconds)
        within = at_99 <= limit and longest <= LONGEST_S
        fine = fine and within
        print(
            f"{name:<34}{kind:<9}{lasted:>6.0f} s{len(seconds):>7}{1000 * statistics.median(seconds):>9.0f}"
            f"{1000 * at_99:>9.0f}{1000 * longest:>9.0f}{1000 * limit:>9.0f}{'' if within else '  MISSED'}",
            flush=True,
        )
    for error in taken.errors[:5]:
        print(f"    ERROR {error}")
    if len(taken.errors) > 5:
        print(f"    and {len(taken.errors) - 5} more errors")
    return fine


def main() -> int:
    """Measure, print the table; return 1 when somebody had to wait."""
    parser = argparse.ArgumentParser(description="Does anybody wait while the shop does something large?")
    parser.add_argument("--database", default="", help="an empty PostgreSQL database; without it, SQLite")
    parser.add_argument("--only", default="", metavar="LETTERS", help="such as cd; without it, all")
    options = parser.parse_args()
    chosen = [work for work in LARGE_WORK if not options.only or work.letter in options.only]
    with tempfile.TemporaryDirectory(prefix="mountside-benchmark-") as folder:
        environment = shop_environment(Path(folder), options.database)
        told = _filled(environment, "".join(work.letter for work in chosen))
        with served_as_documented(environment) as port:
            shop = Shop(
                folder=Path(folder), job=told["job"], other=Person(port, told["other"]),
                asking=Person(port, told["asking"]), told=told,
            )  # fmt: skip
            return 0 if _measured(chosen, shop) else 1


def _filled(environment: dict[str, str], letters: str) -> dict[str, Any]:
    """Fill the shop in a process of its own and return what it tells."""
    begun = time.monotonic()
    for command in (["migrate", "--verbosity", "0"], ["collectstatic", "--verbosity", "0", "--no-input"]):
        subprocess.run([sys.executable, "manage.py", *command], env=environment, cwd=ROOT, check=True)
    done = subprocess.run(
        [sys.executable, "-c", FILL, letters],
        env=environment, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    told: dict[str, Any] = json.loads(done.stdout.strip().splitlines()[-1])
    print(f"the shop is filled after {time.monotonic() - begun:.0f} s", flush=True)
    return told


def _measured(chosen: list[LargeWork], shop: Shop) -> bool:
    heads = f"{'beside':<34}{'request':<9}{'lasted':>8}{'number':>7}{'median':>9}{'p99':>9}{'longest':>9}{'limit':>9}"
    print(f"{heads}  (milliseconds)")
    warm = time.monotonic() + 3
    live(shop.other, shop.job, lambda: time.monotonic() > warm)
    end = time.monotonic() + ALONE_S
    alone = live(shop.other, shop.job, lambda: time.monotonic() > end)
    if not all(alone.seconds.values()):
        raise SystemExit(f"Alone already nothing is answered: {alone.errors[:3]}")
    medians = {kind: statistics.median(seconds) for kind, seconds in alone.seconds.items()}
    fine = [judge("nothing", ALONE_S, alone, medians)]
    for work in chosen:
        taken, lasted = beside(work, shop)
        fine.append(judge(f"({work.letter}) {work.name}", lasted, taken, medians))
    print("nobody waited" if all(fine) else "SOMEBODY WAITED")
    return all(fine)


if __name__ == "__main__":
    sys.exit(main())
