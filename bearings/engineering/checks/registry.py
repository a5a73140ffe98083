"""The registry of checks."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from bearings.engineering.evidence import Evidence
from bearings.engineering.results import Finding

Check = Callable[[Evidence], Iterable[Finding]]

_CHECKS: Final[dict[str, Check]] = {}
SHOP_POLICY: Final = "shop policy"
COMMON_PRACTICE: Final = "common practice, no source"
STATICS: Final = "statics"

# Every code an answer can hold, in the order of the published list.
FINDING_CODES: Final = (
    "down-thrust-not-carried",
    "up-thrust-not-carried",
    "washers-part",
    "speed-margin",
    "reference-speed",
    "speed-not-rated",
    "life",
    "static-safety",
    "unloaded-in-running",
    "minimum-load",
    "not-a-matched-arrangement",
    "mixed-set",
    "stand-out-mismatch",
    "preload-not-proven",
    "spacer-pair",
    "thrust-through-snap-ring",
    "radial-load-on-thrust-roller",
    "no-radial-guide",
    "viscosity",
    "envelope",
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
)
_RANK: Final = {"stop": 0, "warn": 1, "note": 2}


def check(code: str) -> Callable[[Check], Check]:
    """Enter a function as the check that draws the findings of one code."""

    def enter(function: Check) -> Check:
        if code not in FINDING_CODES or code in _CHECKS:
            raise ValueError(f"finding code {code!r} is not published or has its check already")
        _CHECKS[code] = function
        return function

    return enter


def registered_codes() -> frozenset[str]:
    """Return the codes that have a check."""
    return frozenset(_CHECKS)


def all_findings(evidence: Evidence) -> tuple[Finding, ...]:
    """Return what every check finds: stops first, then warnings, then notes, each in the published order."""
    found = [finding for code in FINDING_CODES for finding in _CHECKS[code](evidence)]
    return tuple(sorted(found, key=lambda finding: _RANK[finding.severity]))
