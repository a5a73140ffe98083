"""How long a check takes, alone and against one root search of the same equation by scipy.

Run: .venv/bin/python -m tests.benchmarks.bench_check_stack
"""

from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

from scipy.optimize import brentq

from bearings.engineering.arrangement import mount_of
from bearings.engineering.assessment import check_stack
from bearings.engineering.quantities import Stack
from bearings.engineering.sharing import sharing_of
from bearings.stack_file import parse_stack

TRIPLE = Path(__file__).parents[1] / "reference" / "triple.json"
MOST_MS = 5.0
MOST_RATIO = 60.0
ROUNDS = 15
CALLS = 100


def seconds(call: Callable[[], object]) -> float:
    """Time of one call, the mean of a round."""
    start = perf_counter()
    for _ in range(CALLS):
        call()
    return (perf_counter() - start) / CALLS


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


def main() -> None:
    """Alternate both in one run and print medians."""
    stack = parse_stack(TRIPLE.read_bytes())
    search = root_search(stack)
    checks, searches = [], []
    for _ in range(ROUNDS):
        checks.append(seconds(lambda: check_stack(stack)))
        searches.append(seconds(search))
    check, root = median(checks), median(searches)
    print(f"check_stack of a triple: {check * 1e3:.3f} ms (at most {MOST_MS} ms)")
    print(f"scipy brentq, same equation: {root * 1e6:.1f} us")
    print(f"ratio: {check / root:.1f} (at most {MOST_RATIO})")


if __name__ == "__main__":
    main()
