"""Where two answers to one stack file part, field by field."""

from __future__ import annotations

import math
from typing import Any

RELATIVE, ABSOLUTE = 1e-6, 1e-6
PARTS = ("arrangement", "cases", "unloading_thrust_n", "life", "static", "speed", "thermal")
FORCE_NOISE_N = 1e-5


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


# What the checker says beyond the rules that the second implementation was written from.
BEYOND = frozenset(
    {
        "heat-balance",
        "reference-speed-differs",
        "rating-estimated",
        "rating-geometry",
        "geometry-impossible",
        "sharing-models-differ",
        "mismatch-sensitive",
        "thermal-preload",
        "duty-life",
        "duty-not-carried",
        "duty-speed",
        "spring-solid",
        "spring-too-weak",
        "guide-without-thrust",
        "groove-thrust-limit",
    }
)


def findings_apart(oracle: list[tuple[str, str, str | None]], product: list[dict[str, Any]]) -> list[str]:
    """Compare the findings as a set; those of severity "?" are open."""
    open_ones = {(code, ref) for code, severity, ref in oracle if severity == "?"}
    theirs = {(f["code"], f["severity"], f["ref"]) for f in product if f["code"] not in BEYOND}
    ours, theirs = (
        {f for f in found if not {(f[0], f[2]), (f[0], "*")} & open_ones} for found in (set(oracle), theirs)
    )
    return [f"findings: oracle alone {f}" for f in sorted(ours - theirs, key=str)] + [
        f"findings: product alone {f}" for f in sorted(theirs - ours, key=str)
    ]


def answers_apart(oracle: dict[str, Any], product: dict[str, Any]) -> list[str]:
    """Compare all of an answer that both implementations give."""
    lines = [line for part in PARTS for line in apart(part, oracle[part], product.get(part))]
    lines += findings_apart(oracle["findings"], product["findings"])
    named = " ".join(entry["check"] for entry in product["not_checked"])
    return lines + [
        f"not_checked: {name} is not named" for name in oracle["not_checked"] if name not in named
    ]
