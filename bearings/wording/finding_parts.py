"""What the sentences of findings are made of: refs, numbers and cases out of a finding's parameters."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext as _

from bearings.engineering.results import Finding
from bearings.wording.figures import Figures
from bearings.wording.labels import case_label, enumeration, part_label

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
    """Return the name of the load case, or of the part of the duty, that a finding is about."""
    part = number_of(finding, "part")
    if part is not None:
        return _("part %(number)s of the duty") % {"number": round(part)}
    found = finding.params.get("case")
    return case_label(found if isinstance(found, str) else None)


def part_of(finding: Finding, *, at_start: bool = True) -> str:
    """Return the bearings or parts that a finding is about: Bearing 1, Bearings 1 and 2."""
    refs = finding.refs or ((finding.ref,) if finding.ref is not None else ())
    text = part_label(refs)
    return text[:1].upper() + text[1:] if at_start else text
