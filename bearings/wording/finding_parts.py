"""What the sentences of findings are made of: refs, numbers and cases out of a finding's parameters."""

from __future__ import annotations

from collections.abc import Callable

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.labels import case_label, enumeration

Sentence = Callable[[Finding, Figures], str]


def refs_of(finding: Finding, name: str = "refs") -> str:
    """Return the refs of a finding as an enumeration."""
    found = finding.params.get(name)
    return enumeration([str(one) for one in found]) if isinstance(found, tuple) else ""


def number_of(finding: Finding, name: str) -> float | None:
    """Return a number among a finding's parameters."""
    found = finding.params.get(name)
    return float(found) if isinstance(found, int | float) else None


def case_of(finding: Finding) -> str:
    """Return the name of the load case that a finding is about."""
    found = finding.params.get("case")
    return case_label(found if isinstance(found, str) else None)
