"""How long a check takes, alone and against one root search of the same equation by scipy.

Two stacks: one of which everything is known, its balls too, every case cold and warm; and one as a shop usually has
it, with what nobody entered tried over its ranges and with the figures that matter.

Run: .venv/bin/python -m tests.benchmarks.bench_check_stack
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import process_time

from scipy.optimize import brentq

from bearings.engineering.arrangement import mount_of
from bearings.engineering.assessment import check_stack
from bearings.engineering.judgement import Judgement
from bearings.engineering.quantities import Stack
from bearings.engineering.sharing import sharing_of
from bearings.stack_file import parse_stack

ROOT = Path(__file__).parents[2]
TRIPLE = ROOT / "tests" / "reference" / "triple.json"
EXAMPLES = ROOT / "bearings" / "examples"
MOST_RATIO = {"complete": 60.0, "normal": 1_500.0}
CALLS = {"complete": 50, "normal": 5}
ROUNDS = 15


def seconds(call: Callable[[], object], calls: int) -> float:
    """Return this process's own time for one call, the mean of a round."""
    start = process_time()
    for _ in range(calls):
        call()
    return (process_time() - start) / calls


def root_search(stack: Stack) -> Callable[[], float]:
    """One search for the displacement of the running case."""
    contacts = sharing_of(mount_of(stack)).contacts
    net = (stack.motor.down_thrust_n or 0.0) + (stack.motor.rotor_weight_n or 0.0)

    def excess(x: float) -> float:
        total = -net
        for one in contacts:
            approach = one.sign * x + one.overlap
            if approach > 0:
                total += one.sign * one.stiffness * approach**1.5
        return total

    return lambda: float(brentq(excess, -1.0, 1.0))


def whole(stack: Stack) -> None:
    """Ask for everything that an answer holds but the figures that matter."""
    found = check_stack(stack)
    assert found.headline
    assert found.judged_cases
    assert found.subjects


def with_settles(stack: Stack) -> None:
    """Ask for the figures that matter too."""
    found = check_stack(stack)
    assert found.headline
    assert found.judged_cases
    assert found.settles


def complete() -> Stack:
    """Return the example of which everything is known, with its balls."""
    values = json.loads((EXAMPLES / "complete.json").read_text())
    for item in values["items"]:
        if item["kind"] == "bearing":
            item |= {"ball_count": 13, "ball_diameter_mm": 34.925}
    return parse_stack(values)


def main() -> int:
    """Alternate checks and searches in one run, print medians, return 1 where a budget is passed."""
    stacks = {"complete": complete(), "normal": parse_stack((EXAMPLES / "normal.json").read_bytes())}
    asked = {"complete": whole, "normal": with_settles}
    search = root_search(parse_stack(TRIPLE.read_bytes()))
    checks: dict[str, list[float]] = {name: [] for name in stacks}
    searches = []
    for _ in range(ROUNDS):
        searches.append(seconds(search, 300))
        for name, stack in stacks.items():
            checks[name].append(seconds(lambda: asked[name](stack), CALLS[name]))  # noqa: B023
    root = median(searches)
    print(f"scipy brentq, same equation: {root * 1e6:.1f} us")
    passed = False
    for name, stack in stacks.items():
        ratio = median(checks[name]) / root
        passed = passed or ratio > MOST_RATIO[name]
        print(
            f"{name}, {len(Judgement(stack).unknown)} fields unknown: {median(checks[name]) * 1e3:.2f} ms, "
            f"{ratio:.0f} root searches (at most {MOST_RATIO[name]:.0f})"
        )
    return int(passed)


if __name__ == "__main__":
    raise SystemExit(main())
