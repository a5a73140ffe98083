"""A worked figure: its value with the way to it, or what is missing. Unknown stays unknown through every sum."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, Literal

Judged = Literal["pass", "fail", "not_checked"]
STATIC: Final = "statics"
MAKER_SOURCE: Final = "pump maker"
COMMON_PRACTICE: Final = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Figure:
    """One result in SI. ``inputs`` are what went in, by name; ``missing`` names what was not known.

    ``fallback`` marks a figure that rests on a rule of thumb which somebody asked for in place of data.
    """

    name: str
    value: float | None
    formula: str
    source: str
    inputs: Mapping[str, float]
    missing: tuple[str, ...] = ()
    fallback: bool = False

    @property
    def known(self) -> bool:
        return self.value is not None


@dataclass(frozen=True, slots=True)
class Verdict:
    """One comparison. ``reason`` says why it was not made, or what is wrong beside the figures."""

    name: str
    verdict: Judged
    value: float | None
    limit: float | None
    margin: float | None
    missing: tuple[str, ...] = ()
    reason: str = ""
    fallback: bool = False


@dataclass(frozen=True, slots=True)
class Question:
    """Something entered that is possible but unlikely; a person says whether it is right. ``about`` is a field."""

    code: str
    about: str
    value: float
    against: float
    reason: str = ""


Need = float | Figure | None


def work_out(name: str, formula: str, source: str, work: Callable[..., float], **needs: Need) -> Figure:
    """Return the figure that ``work`` makes of its needs; with one of them unknown, name what is missing."""
    given: dict[str, float] = {}
    missing: dict[str, None] = {}
    fallback = False
    for key, need in needs.items():
        if isinstance(need, Figure):
            missing |= dict.fromkeys(need.missing)
            fallback = fallback or need.fallback
            if need.value is not None:
                given[need.name] = need.value
        elif need is None:
            missing[key] = None
        else:
            given[key] = need
    if missing:
        return Figure(name, None, formula, source, given, tuple(missing), fallback)
    values = {key: need.value if isinstance(need, Figure) else need for key, need in needs.items()}
    return Figure(name, work(**values), formula, source, given, (), fallback)


def all_missing(*figures: Figure) -> tuple[str, ...]:
    """Return what any of some figures lacks, each once, in order."""
    return tuple(dict.fromkeys(name for figure in figures for name in figure.missing))
