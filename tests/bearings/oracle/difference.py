"""Where two answers to one stack file part, field by field."""

from __future__ import annotations

import math
from typing import Any

from tests.bearings.oracle.loads import CASES

RELATIVE, ABSOLUTE = 1e-6, 1e-6
PARTS = ("arrangement", "cases", "unloading_thrust_n", "life", "static", "speed", "thermal")
FORCE_NOISE_N = 1e-5
# Which subject tells of which code, as the contract lists them.
CODES = {
    "directions": ("down-thrust-not-carried", "up-thrust-not-carried", "washers-part"),
    "capacity": ("static-safety", "radial-load-on-thrust-roller"),
    "set": ("envelope", "not-a-matched-arrangement", "stand-out-mismatch"),
    "preload": ("preload-not-proven",),
    "guides": ("no-radial-guide",),
    "parts": ("spacer-pair", "thrust-through-snap-ring"),
}


def apart(path: str, oracle: Any, product: Any) -> list[str]:
    """Compare a value of the oracle with the product's; the oracle's NaN leaves it open."""
    if isinstance(oracle, float) and math.isnan(oracle):
        return []
    if isinstance(oracle, dict):
        if not isinstance(product, dict):
            return [f"{path}: {oracle} but {product}"]
        return [
            line for key, value in oracle.items() for line in apart(f"{path}.{key}", value, product.get(key))
        ]
    if isinstance(oracle, list):
        if not isinstance(product, list) or len(oracle) != len(product):
            return [f"{path}: {oracle} but {product}"]
        return [
            line
            for i, pair in enumerate(zip(oracle, product, strict=True))
            for line in apart(f"{path}[{i}]", *pair)
        ]
    plain = (bool, str, type(None))
    if isinstance(oracle, plain) or isinstance(product, plain):
        return (
            []
            if oracle is product or (isinstance(oracle, str) and oracle == product)
            else [f"{path}: {oracle} but {product}"]
        )
    near = FORCE_NOISE_N if path.endswith("axial_n") else ABSOLUTE * 1e-3
    close = math.isclose(oracle, product, rel_tol=RELATIVE, abs_tol=near)
    return [] if close else [f"{path}: {oracle} but {product}"]


# The rules that both implementations know alike; the others are newer than the second implementation.
COMMON = frozenset(
    {
        "down-thrust-not-carried",
        "up-thrust-not-carried",
        "washers-part",
        "static-safety",
        "radial-load-on-thrust-roller",
        "envelope",
        "not-a-matched-arrangement",
        "stand-out-mismatch",
        "preload-not-proven",
        "no-radial-guide",
        "spacer-pair",
        "thrust-through-snap-ring",
    }
)
# What a case that nobody entered can add where its whole range does.
OF_CASES = frozenset({"static-safety", "radial-load-on-thrust-roller", "washers-part"})
Finding = tuple[str, str, str | None]


def told(findings: list[dict[str, Any]]) -> set[Finding]:
    """Take findings about several bearings apart."""
    return {(f["code"], f["severity"], ref) for f in findings for ref in (f.get("refs") or [f["ref"]])}


def findings_apart(oracle: list[Finding], product: dict[str, Any]) -> list[str]:
    """Compare the findings of the rules that both know; those of severity "?" are open.

    Where the product calls a subject not proven it tells only what holds over every range, so it may tell less.
    """
    open_ones = {(code, ref) for code, severity, ref in oracle if severity == "?"}
    proven = {
        code
        for row in product["subjects"]
        if row["verdict"] != "not_proven"
        for code in CODES.get(row["subject"], ())
    }
    ours, theirs = (
        {f for f in found if f[0] in COMMON and not {(f[0], f[2]), (f[0], "*")} & open_ones}
        for found in (set(oracle), told(product["findings"]))
    )
    ranged = any(case["ranged"] for case in product["cases"])
    beyond = {f for f in theirs - ours if ranged and f[0] in OF_CASES}
    return [f"findings: oracle alone {f}" for f in sorted(ours - theirs, key=str) if f[0] in proven] + [
        f"findings: product alone {f}" for f in sorted(theirs - ours - beyond, key=str)
    ]


def answers_apart(oracle: dict[str, Any], product: dict[str, Any]) -> list[str]:
    """Compare all of an answer that both implementations give; cases over a range are the product's alone."""
    entered = [case for case in product["cases"] if not case["ranged"] and case["name"] in CASES]
    ranged = {case["name"] for case in product["cases"] if case["ranged"]}
    lines = [
        line for part in PARTS for line in apart(part, oracle[part], (product | {"cases": entered}).get(part))
    ]
    lines += findings_apart(oracle["findings"], product)
    return lines + [
        f"cases: {name} is known"
        for name in oracle["not_checked"]
        if name in {c["name"] for c in entered} - ranged
    ]
