"""The headline: the verdict of a whole stack, the subjects it rests on, and at most three things to enter."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple

from bearings.engineering.load_gaps import Missing
from bearings.engineering.results import Finding
from bearings.engineering.subjects.subject import SubjectName, Verdict

MOST_ASKED: Final = 3
# What one line of a maker's catalog answers.
LOOKED_UP: Final = (
    "bore_mm", "outside_diameter_mm", "height_mm", "contact_angle_deg", "dynamic_rating_n", "static_rating_n",
    "fatigue_load_limit_n", "minimum_load_factor_n", "limiting_speed_rpm", "grease_speed_rpm", "reference_speed_rpm",
)  # fmt: skip
_ONE_LOOK_UP: Final = "catalog"


class SubjectResult(NamedTuple):
    """What came of one subject. ``stop_in_range`` says that some of what is possible would stop the stack."""

    subject: SubjectName
    applies: bool
    verdict: Verdict
    decides: bool
    findings: tuple[Finding, ...] = ()
    missing: tuple[Missing, ...] = ()
    stop_in_range: bool = False


class Ask(NamedTuple):
    """One thing to enter: a field with every part it is missing of, and what the same look-up answers."""

    field: str
    refs: tuple[str, ...]
    also: tuple[str, ...] = ()


class Headline(NamedTuple):
    """The one line: verdict, the subjects it rests on, and at most three things to enter."""

    verdict: Verdict
    because: tuple[SubjectName, ...]
    ask: tuple[Ask, ...]


def headline_verdict(results: Iterable[SubjectResult]) -> tuple[Verdict, tuple[SubjectName, ...]]:
    """Return the verdict of the whole stack, and the subjects that it rests on."""
    results = tuple(results)
    stopping = tuple(one.subject for one in results if one.verdict == "stop")
    if stopping:
        return "stop", stopping
    open_ones = tuple(
        one.subject for one in results if one.verdict == "not_proven" and (one.decides or one.stop_in_range)
    )
    if open_ones:
        return "not_proven", open_ones
    warned = tuple(one.subject for one in results if one.verdict in ("warn", "not_proven"))
    return ("warn", warned) if warned else ("ok", ())


def headline_of(results: tuple[SubjectResult, ...]) -> Headline:
    """Return the headline of all subjects: what decides, and the fields that settle most of what is open."""
    verdict, because = headline_verdict(results)
    asked: dict[str, dict[str, None]] = {}
    fields: dict[str, set[str]] = {}
    weight: dict[str, int] = {}
    unproven = [one for one in results if one.verdict == "not_proven"]
    for result in sorted(unproven, key=lambda one: not one.decides):
        counted = set()
        for gap in result.missing:
            key = _ONE_LOOK_UP if gap.field in LOOKED_UP else gap.field
            fields.setdefault(key, set()).add(gap.field)
            refs = asked.setdefault(key, {})
            if gap.ref is not None:
                refs[gap.ref] = None
            if key not in counted:
                counted.add(key)
                weight[key] = weight.get(key, 0) + (len(results) + 1 if result.decides else 1)
    # Python's sort is stable: of fields that settle as much the first that was asked comes first.
    order = sorted(asked, key=lambda key: -weight[key])[:MOST_ASKED]
    asks = []
    for key in order:
        field, *also = look_up_order(fields[key])
        asks.append(Ask(field, tuple(asked[key]), tuple(also)))
    return Headline(verdict, because, tuple(asks))


def look_up_order(fields: Iterable[str]) -> list[str]:
    """Return fields in the order in which a catalog prints them."""
    return sorted(fields, key=lambda field: LOOKED_UP.index(field) if field in LOOKED_UP else -1)
