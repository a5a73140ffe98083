"""The findings: one small function for each code, entered in a registry."""

from __future__ import annotations

# Importing the modules enters their checks in the registry, in the order in which findings are listed.
from bearings.engineering.checks import (
    directions,
    fitting,
    heat,
    inside,
    matching,
    running,
    sharing,
    speeds,
    springs,
    strength,
)
from bearings.engineering.checks.registry import FINDING_CODES, all_findings

__all__ = [
    "FINDING_CODES",
    "all_findings",
    "directions",
    "fitting",
    "heat",
    "inside",
    "matching",
    "running",
    "sharing",
    "speeds",
    "springs",
    "strength",
]
