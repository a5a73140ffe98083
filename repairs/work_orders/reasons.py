"""A reason why a step may not be signed, with the fact that it rests on."""

from __future__ import annotations


class Reason(str):
    """A sentence fit to show, and what an override of it would cover.

    ``key`` names the fact: an override given for it covers this fact and nothing that comes later. Without a key no
    override opens it. ``never`` marks what two people cannot open either: it is put right, or specified anew.
    """

    key: str
    never: bool
    __slots__ = ("key", "never")

    def __new__(cls, text: str, key: str = "", *, never: bool = False) -> Reason:
        made = super().__new__(cls, text)
        made.key, made.never = key, never
        return made


def key_of(reason: str) -> str:
    """Return the fact that a reason rests on; a plain sentence names none."""
    return reason.key if isinstance(reason, Reason) else ""


def is_never_overridden(reason: str) -> bool:
    """Whether two people cannot open it either."""
    return isinstance(reason, Reason) and reason.never
