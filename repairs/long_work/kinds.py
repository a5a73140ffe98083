"""The kinds of long work. Each app that has one registers it when it is ready."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from django.utils.functional import Promise

from repairs.long_work.models import LongWork
from repairs.people.permissions import Permission


class Report(Protocol):
    """Say how far the work is. Call it as often as you like, outside any transaction, at least every few seconds."""

    def __call__(self, done: int, total: int, /) -> None: ...


# What the function returns is kept as the outcome. It may be called again for the same row after a failure.
Function = Callable[[LongWork, Report], dict[str, object] | None]


@dataclass(frozen=True, slots=True)
class Result:
    """What people read when the work is done, and where the rest stands."""

    words: str
    url: str = ""


def _no_result(_work: LongWork) -> Result:
    return Result("")


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of work: what it is called, what it does, who may watch it and start it again, what came of it."""

    name: str
    label: str | Promise
    function: Function
    permission: Permission = Permission.VIEW_SHOP
    result: Callable[[LongWork], Result] = field(default=_no_result)


_KINDS: dict[str, Kind] = {}


class UnknownKindError(LookupError):
    """No app registered this kind."""


def register(
    kind: str,
    label: str | Promise,
    function: Function,
    *,
    permission: Permission = Permission.VIEW_SHOP,
    result: Callable[[LongWork], Result] = _no_result,
) -> None:
    """Make a kind of work known under its name."""
    _KINDS[kind] = Kind(kind, label, function, permission, result)


def kind_of(name: str) -> Kind:
    """Return a registered kind."""
    if name not in _KINDS:
        raise UnknownKindError(name)
    return _KINDS[name]
