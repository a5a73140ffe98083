"""A property that is worked out when it is first asked for and then kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar, overload

Holder = TypeVar("Holder")
Value = TypeVar("Value")


class worked_once(Generic[Holder, Value]):  # noqa: N801 -- used as a decorator
    """What ``functools.cached_property`` does from Python 3.12 on: without its lock, a fiftieth of a whole check.

    Two threads that ask at the same moment both work it out and get equal answers.
    """

    def __init__(self, func: Callable[[Holder], Value]) -> None:
        self.func = func
        self.name = func.__name__
        self.__doc__ = func.__doc__

    @overload
    def __get__(self, holder: None, owner: type[Holder]) -> worked_once[Holder, Value]: ...

    @overload
    def __get__(self, holder: Holder, owner: type[Holder]) -> Value: ...

    def __get__(self, holder: Holder | None, owner: type[Holder]) -> worked_once[Holder, Value] | Value:
        if holder is None:
            return self
        value = holder.__dict__[self.name] = self.func(holder)
        return value
