"""Candidates for the place of a stack's thrust bearings: each is tried as a whole stack and ranked.

The pattern says how the set stands: order, faces, parts, guides, duty, oil, policy. A candidate takes the place of
every bearing of the set, so that what is judged is what would be built. Reasons are codes with figures.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final, Literal, NamedTuple

from bearings.engineering.assessment import Assessment, check_stack, not_checked_of
from bearings.engineering.headline import SubjectResult
from bearings.engineering.judgement import Judgement
from bearings.engineering.quantities import ONE_WAY_TYPES, Assembly, Bearing, Part, Stack
from bearings.engineering.results import NO_PARAMS, Finding, NotChecked, Params, SpeedName, params
from bearings.engineering.subjects import SUBJECTS

Verdict = Literal["fits", "not_checked", "refused"]

# Two sizes are one when they differ by no more than an inch size with four decimals is off its millimetres.
# A 3 15/16 in bore (100.0125 mm) is not a 100 mm bore.
SAME_SIZE_MM: Final = 0.002
SPACERS: Final = frozenset({"spacer", "shim"})
# Fields of a bearing that its source answers for; a candidate that lacks one of them is shown apart.
OF_THE_BOOK: Final = frozenset(
    {
        "designation", "maker", "variant", "contact_angle_deg", "bore_mm", "outside_diameter_mm", "height_mm",
        "dynamic_rating_n", "static_rating_n", "fatigue_load_limit_n", "limiting_speed_rpm", "oil_speed_rpm",
        "grease_speed_rpm", "reference_speed_rpm", "minimum_load_factor_n", "cage_material", "stabilised_to_c",
        "temperature_limit_c",
    }
)  # fmt: skip
# Subjects that need no load to be solved; a candidate that they refuse is not judged further.
JUDGED_FIRST: Final = frozenset({"directions", "speed", "parts"})
# What belongs to a place in the mount, not to the bearing that lies there.
# How the set is paired and fitted is part of the pattern: what is bought is bought so.
OF_THE_PLACE: Final = (
    "wide_face", "spring_force_n", "spring_rate_n_per_mm", "spring_travel_mm", "pairing", "set_id",
    "fit_interference_um", "stand_out_tolerance_um",
)  # fmt: skip


class Reason(NamedTuple):
    """Why a candidate is refused, not checked or warned of: a code with figures, or the checker's own words."""

    code: str
    value: float | None = None
    limit: float | None = None
    params: Params = NO_PARAMS
    finding: Finding | None = None
    not_checked: NotChecked | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A bearing of the book without a face, and what its owner knows it by."""

    key: int
    bearing: Bearing
    older: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a candidate would stand: the pattern, and the envelope of one bearing of its set.

    ``tolerance_mm`` is what spacers can make up over the whole set.
    """

    pattern: Stack
    bore_mm: float
    outside_diameter_mm: float | None = None
    height_mm: float | None = None
    tolerance_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """What came of one candidate. Figures are None where they are not known."""

    candidate: Candidate
    verdict: Verdict
    refusals: tuple[Reason, ...] = ()
    missing: tuple[Reason, ...] = ()
    warnings: tuple[Reason, ...] = ()
    lacks_data: bool = False
    height_difference_mm: float | None = None
    permissible_rpm: float | None = None
    margin: float | None = None
    margin_at: SpeedName | None = None
    l10h: float | None = None
    l10mh: float | None = None
    static_safety: float | None = None


class Figures(NamedTuple):
    """What the checker says of a stack, as far as a match shows it."""

    headline: str
    lacks: bool
    stops: tuple[Reason, ...]
    missing: tuple[Reason, ...]
    warnings: tuple[Reason, ...]
    permissible_rpm: float | None
    margin: float | None
    margin_at: SpeedName | None
    l10h: float | None
    l10mh: float | None
    static_safety: float | None


def set_places(stack: Assembly) -> tuple[int, ...]:
    """Return where the set's bearings stand on the list: those of one kind that carry the thrust.

    The kind is that of the topmost one-way bearing that carries down, else of the topmost one-way bearing, else of
    the topmost deep groove bearing. Bearings of another kind stay as they are.
    """
    bearings = [(place, item) for place, item in enumerate(stack.items) if isinstance(item, Bearing)]
    one_way = [one for _, one in bearings if one.type in ONE_WAY_TYPES]
    down = [one for one in one_way if one.wide_face == "down"]
    both = [one for _, one in bearings if one.type == "deep_groove_ball"]
    leading = next(iter((*down, *one_way, *both)), None)
    if leading is None:
        return ()
    return tuple(place for place, one in bearings if one.type == leading.type)


def set_bearing(stack: Stack) -> Bearing | None:
    """Return the topmost bearing of the set: its type and angle are what the pattern asks for."""
    places = set_places(stack)
    item = stack.items[places[0]] if places else None
    return item if isinstance(item, Bearing) else None


def stack_with(pattern: Stack, bearing: Bearing) -> Stack:
    """Return the pattern with a bearing at every place of the set, without marks and serial numbers."""
    places = frozenset(set_places(pattern))
    return replace(
        pattern,
        items=tuple(
            replace(bearing, **{name: getattr(item, name) for name in OF_THE_PLACE})
            if place in places
            else item
            for place, item in enumerate(pattern.items)
        ),
    )


def spacer_height_mm(stack: Stack) -> float:
    """Return the height of the spacers and shims on the list: as much can be taken off for a higher set."""
    total = Decimal(0)
    for item in stack.items:
        if isinstance(item, Part) and item.kind in SPACERS:
            heights = (item.height_mm, item.inner_height_mm, item.outer_height_mm)
            total += min((_exact(one) for one in heights if one is not None), default=Decimal(0))
    return float(total)


def _exact(number: float) -> Decimal:
    return Decimal(repr(float(number)))


def _same_size(one: float, other: float) -> bool:
    return abs(_exact(one) - _exact(other)) <= _exact(SAME_SIZE_MM)


def set_height_difference_mm(place: Place, bearing: Bearing) -> float | None:
    """Return how much higher than its space the set would be; None when a height is not known."""
    if place.height_mm is None or bearing.height_mm is None:
        return None
    count = len(set_places(place.pattern))
    return float((_exact(bearing.height_mm) - _exact(place.height_mm)) * count)


def envelope_refusals(place: Place, bearing: Bearing) -> tuple[Reason, ...]:
    """Return what does not fit of type, angle and size."""
    asked = set_bearing(place.pattern)
    found: list[Reason] = []
    if asked is not None and bearing.type != asked.type:
        found.append(Reason("type-differs", params=params(found=bearing.type, asked=asked.type)))
    elif asked is not None and _angles_differ(bearing.contact_angle_deg, asked.contact_angle_deg):
        found.append(Reason("contact-angle-differs", bearing.contact_angle_deg, asked.contact_angle_deg))
    for code, value, limit in (
        ("bore-differs", bearing.bore_mm, place.bore_mm),
        ("outside-diameter-differs", bearing.outside_diameter_mm, place.outside_diameter_mm),
    ):
        if value is not None and limit is not None and not _same_size(value, limit):
            found.append(Reason(code, value, limit))
    return (*found, *_height_refusals(place, bearing))


def _angles_differ(one: float | None, other: float | None) -> bool:
    return one is not None and other is not None and one != other


def _height_refusals(place: Place, bearing: Bearing) -> tuple[Reason, ...]:
    """A set that is too low is made up by spacers; one that is too high only by what can come off them."""
    difference = set_height_difference_mm(place, bearing)
    if difference is None or place.height_mm is None or bearing.height_mm is None:
        return ()
    count = len(set_places(place.pattern))
    sizes = params(
        count=count,
        set_mm=float(_exact(bearing.height_mm) * count),
        space_mm=float(_exact(place.height_mm) * count),
    )
    takes_off = min(place.tolerance_mm, spacer_height_mm(place.pattern))
    if difference > takes_off:
        return (Reason("set-too-high", difference, takes_off, sizes),)
    if -difference > place.tolerance_mm:
        return (Reason("set-too-low", -difference, place.tolerance_mm, sizes),)
    return ()


def envelope_gaps(place: Place, bearing: Bearing) -> tuple[Reason, ...]:
    """Return what is not known of type and size, by the book or by the question."""
    asked = set_bearing(place.pattern)
    angle_asked = asked is not None and asked.contact_angle_deg is not None and bearing.type == asked.type
    gaps = [
        ("bore-unknown", bearing.bore_mm is None),
        ("outside-diameter-not-asked", place.outside_diameter_mm is None),
        (
            "outside-diameter-unknown",
            place.outside_diameter_mm is not None and bearing.outside_diameter_mm is None,
        ),
        ("height-not-asked", place.height_mm is None),
        ("height-unknown", place.height_mm is not None and bearing.height_mm is None),
        ("contact-angle-unknown", angle_asked and bearing.contact_angle_deg is None),
    ]
    return tuple(Reason(code) for code, missing in gaps if missing)


def figures_of(assessment: Assessment) -> Figures:
    """Return what a match shows of a checked stack.

    A match tries many. What needs no load is judged first: one that turns too fast is refused for that, and not tried
    over the ranges of everything else that nobody entered; nor is one that lacks a needed figure whatever they hold.
    """
    at_once = tuple(finding for result in _without_loads(assessment) for finding in result.findings)
    if any(one.severity == "stop" for one in at_once):
        return _figures(assessment, "stop", (), at_once)
    lacking = needed_in_the_middle(assessment.judgement)
    if lacking:
        sure = tuple(one for one in at_once if one.severity == "warn")
        return _figures(assessment, "not_proven", not_checked_of(lacking), sure)
    headline = assessment.headline
    open_ones = [one for one in assessment.not_checked if one.check in headline.because]
    missing = open_ones if headline.verdict == "not_proven" else []
    return _figures(assessment, headline.verdict, tuple(missing), assessment.findings)


def needed_in_the_middle(judgement: Judgement) -> tuple[SubjectResult, ...]:
    """Return the deciding subjects that lack a needed figure, where that alone leaves a candidate open.

    Looked at with every range in its middle: what is open there stays open over the ranges, and nothing stops over
    them that does not stop there. Empty where a subject stops there, or nothing needed is missing: then the ranges
    decide.
    """
    found = []
    for subject in SUBJECTS:
        if not subject.applies(judgement.middle):
            continue
        look = judgement.look(subject, judgement.middle_point)
        if look.verdict == "stop":
            return ()
        if subject.decides and look.missing:
            found.append(
                SubjectResult(subject.name, True, "not_proven", subject.decides, missing=look.missing)
            )
    return tuple(found)


def _without_loads(assessment: Assessment) -> list[SubjectResult]:
    return [assessment.judgement.result(one) for one in SUBJECTS if one.name in JUDGED_FIRST]


def _figures(
    assessment: Assessment, headline: str, missing: tuple[NotChecked, ...], findings: tuple[Finding, ...]
) -> Figures:
    continuous = [one for one in assessment.speed.margins if one.speed != "reverse"]
    worst = min(continuous, key=lambda one: one.margin, default=None)
    return Figures(
        headline=headline,
        lacks=any(_of_the_book(one) for one in missing),
        stops=_findings(findings, "stop"),
        missing=tuple(Reason("not-checked", not_checked=one) for one in missing),
        warnings=_findings(findings, "warn"),
        permissible_rpm=assessment.speed.permissible_rpm,
        margin=None if worst is None else worst.margin,
        margin_at=None if worst is None else worst.speed,
        l10h=assessment.life.stack_l10h,
        l10mh=assessment.life.stack_l10mh,
        static_safety=min((row.safety for row in assessment.static if row.safety is not None), default=None),
    )


def _of_the_book(one: NotChecked) -> bool:
    """Whether a bearing's source could answer for something that is missing."""
    fields = one.params.get("fields")
    return isinstance(fields, tuple) and not OF_THE_BOOK.isdisjoint(str(name) for name in fields)


def _findings(findings: tuple[Finding, ...], severity: str) -> tuple[Reason, ...]:
    return tuple(Reason("finding", finding=one) for one in findings if one.severity == severity)


def match_candidates(place: Place, candidates: Iterable[Candidate]) -> list[Match]:
    """Try every candidate as a whole stack, in the order given.

    Like figures are checked once: an edition often repeats the one before. A bearing of another type is refused for
    that and not put where it cannot stand.
    """
    asked = set_bearing(place.pattern)
    known: dict[Bearing, Figures] = {}
    found = []
    for candidate in candidates:
        figures = None
        if asked is not None and candidate.bearing.type == asked.type:
            bare = _without_remarks(candidate.bearing)
            figures = known.get(bare)
            if figures is None:
                figures = known[bare] = figures_of(check_stack(stack_with(place.pattern, candidate.bearing)))
        found.append(_match(place, candidate, figures))
    return found


def _without_remarks(bearing: Bearing) -> Bearing:
    """Return a bearing with what can change its verdict: its designation does, its source and remarks do not."""
    return replace(bearing, cage=None, source=None, note=None)


def _match(place: Place, candidate: Candidate, figures: Figures | None) -> Match:
    refusals, missing = envelope_refusals(place, candidate.bearing), envelope_gaps(place, candidate.bearing)
    difference = set_height_difference_mm(place, candidate.bearing)
    if figures is None:
        return Match(candidate=candidate, verdict="refused", refusals=refusals, missing=missing)
    lacks = bool(missing) or figures.lacks
    refusals, missing = (*refusals, *figures.stops), (*missing, *figures.missing)
    verdict: Verdict = "fits"
    if refusals or missing or figures.headline == "not_proven":
        verdict = "refused" if refusals else "not_checked"
    return Match(
        candidate=candidate,
        verdict=verdict,
        refusals=refusals,
        missing=missing,
        warnings=figures.warnings,
        lacks_data=lacks,
        height_difference_mm=difference,
        permissible_rpm=figures.permissible_rpm,
        margin=figures.margin,
        margin_at=figures.margin_at,
        l10h=figures.l10h,
        l10mh=figures.l10mh,
        static_safety=figures.static_safety,
    )
