"""Modes of damage of rolling bearings as ISO 15243:2017 orders them.

The heads 5.1 to 5.6 were seen in copies of the standard's contents; the subclauses under them are from memory,
unverified, as each row's source says. ``none`` and ``undetermined`` are ours: somebody looked and saw no damage, or saw
damage whose mode nobody can tell.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from repairs.measurements.engineering.limits import Source

HEADS_SOURCE: Final = Source("ISO 15243", "2017", "5.1 to 5.6", "secondary")
SUBCLAUSES_SOURCE: Final = Source("ISO 15243", "2017", "subclauses of 5", "memory")
NONE: Final = "none"
UNDETERMINED: Final = "undetermined"


class DamageMode(NamedTuple):
    """One mode by its subclause, the head that it is under, and how sure that place in the standard is."""

    code: str
    head: str
    source: Source | None


HEADS: Final = ("5.1", "5.2", "5.3", "5.4", "5.5", "5.6")
_SUBCLAUSES: Final = (
    "5.1.2",
    "5.1.3",
    "5.2.2",
    "5.2.3",
    "5.3.2",
    "5.3.3",
    "5.3.3.2",
    "5.3.3.3",
    "5.4.2",
    "5.4.3",
    "5.5.2",
    "5.5.3",
    "5.6.2",
    "5.6.3",
    "5.6.4",
)
MODES: Final = (
    DamageMode(NONE, "", None),
    *(
        DamageMode(
            code,
            ".".join(code.split(".")[:2]),
            SUBCLAUSES_SOURCE._replace(clause=code),
        )
        for code in _SUBCLAUSES
    ),
    DamageMode(UNDETERMINED, "", None),
)
BY_CODE: Final = {mode.code: mode for mode in MODES}


def is_damage(code: str) -> bool:
    """Whether something is damaged: a mode that nobody can tell is damage all the same."""
    return code in BY_CODE and code != NONE
