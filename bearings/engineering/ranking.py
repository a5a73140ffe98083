"""Candidates in their order: which of them stands first, and by which figure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final, Literal

from bearings.engineering.candidates import Match, Reason, Verdict

Order = Literal["margin", "life", "static", "height"]
ORDERS: Final[tuple[Order, ...]] = ("margin", "life", "static", "height")

_GROUPS: Final[dict[Verdict, int]] = {"fits": 0, "not_checked": 2, "refused": 4}
Falling = tuple[bool, float]


def _falling(value: float | None) -> Falling:
    """Sort the greatest first and what is not known last."""
    return (True, 0.0) if value is None else (False, -value)


def _margin_then_life(match: Match) -> tuple[Falling, ...]:
    return _falling(match.margin), _falling(match.l10h)


def _life_then_margin(match: Match) -> tuple[Falling, ...]:
    return _falling(match.l10h), _falling(match.margin)


def _static_then_margin(match: Match) -> tuple[Falling, ...]:
    return _falling(match.static_safety), *_margin_then_life(match)


def _height_then_margin(match: Match) -> tuple[Falling, ...]:
    difference = match.height_difference_mm
    return _falling(None if difference is None else -abs(difference)), *_margin_then_life(match)


_BY: Final[dict[Order, Callable[[Match], tuple[Falling, ...]]]] = {
    "margin": _margin_then_life,
    "life": _life_then_margin,
    "static": _static_then_margin,
    "height": _height_then_margin,
}


def _rank(match: Match, order: Order) -> tuple[int, tuple[Falling, ...], bool, str, str, int]:
    group = _GROUPS[match.verdict]
    if match.verdict == "fits":
        group += bool(match.warnings)
    elif match.verdict == "not_checked":
        # One whose own source leaves a gap comes after those that wait for an answer about the job alone.
        group += match.lacks_data
    bearing = match.candidate.bearing
    return (
        group,
        _BY[order](match),
        match.candidate.older,
        bearing.designation or "",
        bearing.maker or "",
        match.candidate.key,
    )


def ranked(matches: Iterable[Match], order: Order = "margin") -> list[Match]:
    """Return matches in their order: those that fit without a warning, with one, not checked, refused.

    Within each the figure asked for decides, the greatest first (of the height the least difference), then margin and
    life, then the newer edition, designation, maker and key: no two candidates share a rank.
    """
    return sorted(matches, key=lambda match: _rank(match, order))


def shared_reasons(matches: Sequence[Match]) -> tuple[Reason, ...]:
    """Return what refuses or leaves open every candidate alike: the question or the pattern must change for it."""
    if not matches:
        return ()
    every = [(*match.refusals, *match.missing) for match in matches]
    return tuple(reason for reason in every[0] if all(reason in own for own in every[1:]))
