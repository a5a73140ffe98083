"""A second, independent implementation of the stack checker, to hold the first one against.

It is written from the published rules of the stack file alone, slowly and plainly. A NaN in its answer and a finding
of severity "?" mark what those rules leave open; whoever compares must pass over them.
"""

from __future__ import annotations

import math
from itertools import pairwise

from tests.bearings.oracle.comparison import compare
from tests.bearings.oracle.findings import Findings
from tests.bearings.oracle.lives import life_answer, static_answer
from tests.bearings.oracle.loads import CASES, Case, net_thrusts, solve, unloading_thrust
from tests.bearings.oracle.parts import Row, Stack
from tests.bearings.oracle.speeds import speed_answer, thermal_answer

__all__ = ["answer", "compare"]


def answer(data: Row) -> Row:
    """Give the answer to a valid stack file, sentences and sources left out."""
    stack = Stack(data)
    cases = [solve(stack, name, net) for name, net in net_thrusts(stack).items()]
    running = next((c for c in cases if c.name == "running"), None)
    parts: Row = {
        "life": life_answer(stack, running),
        "static": {"bearings": static_answer(stack, cases)},
        "speed": speed_answer(stack, cases),
        "thermal": thermal_answer(stack, running),
    }
    findings = sorted(Findings(stack, cases, parts).found, key=str)
    if any(math.isnan(f or 0.0) for c in cases for f in c.guides.values()):
        parts["speed"] = math.nan  # whether a guide's speed counts depends on its load
    return {
        "arrangement": {
            "relations": [
                "DT" if a["sign"] == b["sign"] else "DB" if a["sign"] > 0 else "DF"
                for a, b in pairwise(stack.one_way)
            ],
            "carries_down": [b["ref"] for b in stack.facing(1)],
            "carries_up": [b["ref"] for b in stack.facing(-1)],
        },
        "cases": [_case_row(c) for c in cases],
        "unloading_thrust_n": unloading_thrust(stack),
        **parts,
        "findings": findings,
        "not_checked": [name for name in CASES if name not in {c.name for c in cases}],
    }


def _case_row(case: Case) -> Row:
    return {
        "name": case.name,
        "net_axial_n": case.net_n,
        "carried": case.carried,
        "bearings": [
            {"ref": ref, "axial_n": f, "unloaded": f if f is None or math.isnan(f) else f < 1.0}
            for ref, f in case.loads.items()
        ],
        "guides": [{"ref": ref, "axial_n": f} for ref, f in case.guides.items()],
    }
