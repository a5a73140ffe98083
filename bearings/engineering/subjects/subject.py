"""The one shape in which every subject answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from math import inf
from typing import Final, Literal, NamedTuple

from bearings.engineering.evidence import Evidence
from bearings.engineering.load_gaps import Missing
from bearings.engineering.results import Finding, WorkingLine
from bearings.engineering.situation import Situation

Verdict = Literal["ok", "warn", "stop", "not_proven"]
SubjectName = Literal[
    "directions",
    "capacity",
    "life",
    "speed",
    "set",
    "skidding",
    "lubrication",
    "springs",
    "preload",
    "heat",
    "guides",
    "parts",
    "entries",
]

SHOP_POLICY: Final = "shop policy"
COMMON_PRACTICE: Final = "common practice, no source"
STATICS: Final = "statics"
INPUT: Final = "input"
# How bad a verdict is where two ends of a range are compared: what cannot be judged counts as worst but a stop.
RANK: Final[dict[str, int]] = {"ok": 0, "warn": 1, "not_proven": 2, "stop": 3}
SEVERITY_RANK: Final[dict[str, int]] = {"stop": 0, "warn": 1, "note": 2}


class Look(NamedTuple):
    """What a subject sees in one situation.

    ``margin`` tells two like verdicts apart where the ends of a range are compared: lower is worse. ``unsettled``
    says that the subject could not be judged although nothing is missing (a method ends). ``hides_stop`` says that what
    is missing may stop the stack: a side subject then leaves the headline unproven, not warned of.
    """

    findings: tuple[Finding, ...] = ()
    missing: tuple[Missing, ...] = ()
    margin: float = inf
    unsettled: bool = False
    hides_stop: bool = False

    @property
    def verdict(self) -> Verdict:
        """The worst finding; what is missing or ended leaves anything but a stop unproven."""
        severities = {one.severity for one in self.findings}
        if "stop" in severities:
            return "stop"
        if self.missing or self.unsettled:
            return "not_proven"
        return "warn" if "warn" in severities else "ok"


class Subject(NamedTuple):
    """One thing that is judged of a stack.

    ``reads`` tells whether a field (as ranges name it) can change the answer; ``codes`` are the findings it draws,
    in the published order. ``one_way`` names the fields of which more is never worse (True) or never better (False),
    whatever the rest is: their ends bound everything between them, so they are tried together. ``narrowed`` names the
    fields that alone can still change the answer to one stack, None where all that it reads can. ``working`` yields
    the figures of a stack as entered, each with its formula and source. ``limits`` names the limits of the shop that
    alone can change the answer, beside those that stand for what nobody entered (``FILLED_BY``); None where any can.
    """

    name: SubjectName
    decides: bool
    codes: tuple[str, ...]
    reads: Callable[[str], bool]
    applies: Callable[[Situation], bool]
    look: Callable[[Situation], Look]
    one_way: Mapping[str, bool] = {}
    narrowed: Callable[[Situation], frozenset[str] | None] = lambda _situation: None
    working: Callable[[Evidence], Iterable[WorkingLine]] = lambda _evidence: ()
    limits: frozenset[str] | None = None


# Limits that say what is taken where nobody entered it: they change what every subject reads.
FILLED_BY: Final = frozenset({"assumed_shaft_warmer_k", "assumed_temperature_c", "tandem_stand_out_um"})
NO_LIMIT: Final[frozenset[str]] = frozenset()
NO_FIELD: Final[frozenset[str]] = frozenset()


def without_loads(situation: Situation) -> frozenset[str] | None:
    """Return that no field changes the answer where nobody can know what each bearing carries."""
    return NO_FIELD if situation.load_gaps else None


def reader(*fields: str) -> Callable[[str], bool]:
    """Return the test whether a field is one of these."""
    known = frozenset(fields)
    return lambda field: field in known


# What the load of a bearing in a case depends on.
THRUST_FIELDS: Final = (
    "motor.rotor_weight_n",
    "motor.up_thrust_n",
    "motor.maximum_down_thrust_n",
)
DRIVE_FIELDS: Final = (
    "motor.fixed_speed",
    "motor.minimum_speed_rpm",
    "motor.maximum_speed_rpm",
    "motor.synchronous_speed_rpm",
)
DUTY_FIELDS: Final = ("motor.up_thrust_duty", "motor.maximum_thrust_duty")
MOUNTED_FIELDS: Final = (
    "motor.shaft_warmer_k",
    "motor.mount_bore_mm",
    "fit_interference_um",
    "pair_preload_n",
    "stand_out_um",
)
LOAD_FIELDS: Final = (*THRUST_FIELDS, *DRIVE_FIELDS, *MOUNTED_FIELDS, "motor.radial_load_n", "end_play_um")
# Of these, what changes a load only as mounted and warm.
WARM_FIELDS: Final = ("motor.shaft_warmer_k", "motor.mount_bore_mm", "fit_interference_um")
COLD_LOAD_FIELDS: Final = tuple(field for field in LOAD_FIELDS if field not in WARM_FIELDS)
