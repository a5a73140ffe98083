"""What a check gives back: plain immutable rows, no sentences.

Rows are named tuples because a check makes dozens of them; the whole answer is the frozen
:class:`bearings.engineering.assessment.Assessment`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, NamedTuple

from bearings.engineering.quantities import Severity

CaseName = Literal[
    "running", "uncoupled", "up_thrust", "maximum", "minimum_speed", "maximum_speed", "reverse"
]
SpeedName = Literal["rated", "synchronous", "maximum", "reverse"]
Basis = Literal["limiting", "oil", "grease", "reference"]
Relation = Literal["DB", "DF", "DT"]
ParamValue = float | int | str | bool | None | tuple[str, ...] | tuple[tuple[str, float], ...]
Params = Mapping[str, ParamValue]

UNLOADED_BELOW_N: Final = 1.0
NO_PARAMS: Final[Params] = {}
NO_LOADS: Final[Mapping[str, float]] = {}


class BearingLoad(NamedTuple):
    """Axial load of one bearing of the stack in a case; None where the sharing is not known."""

    ref: str
    axial_n: float | None
    unloaded: bool | None


class GuideLoad(NamedTuple):
    """Axial load of one guide in a case."""

    ref: str
    axial_n: float | None


class CaseLoads(NamedTuple):
    """One load case: net axial load (down positive) and what every bearing carries of it."""

    name: CaseName
    net_axial_n: float
    carried: bool
    bearings: tuple[BearingLoad, ...]
    guides: tuple[GuideLoad, ...]
    not_shared: str | None = None
    # Axial load of every loaded bearing and guide, by ref; and how many bearings of the stack are loaded.
    loaded: Mapping[str, float] = NO_LOADS
    loaded_bearings: int = 0

    def axial_loads(self) -> list[tuple[str, float | None]]:
        """Return every bearing and guide with its axial load."""
        return [(row.ref, row.axial_n) for row in self.bearings] + [
            (guide.ref, guide.axial_n) for guide in self.guides
        ]

    def axial_n(self, ref: str) -> float | None:
        """Return the axial load of a bearing or guide of this case."""
        rows: tuple[BearingLoad | GuideLoad, ...] = self.guides if ref.startswith("g") else self.bearings
        for row in rows:
            if row.ref == ref:
                return row.axial_n
        raise KeyError(ref)


class ArrangementResult(NamedTuple):
    """Relations of the one-way bearings, from the top, and the refs that carry each way."""

    relations: tuple[Relation, ...]
    carries_down: tuple[str, ...]
    carries_up: tuple[str, ...]
    both_ways: tuple[str, ...]
    radial_only: tuple[str, ...]
    unfaced: tuple[str, ...] = ()


class LifeRow(NamedTuple):
    """Life of one loaded bearing in the running case at rated speed."""

    ref: str
    equivalent_load_n: float | None
    l10h: float | None
    kappa: float | None
    contamination_factor: float | None
    a_iso: float | None
    l10mh: float | None
    lnmh: float | None = None
    other_contamination_factor: float | None = None
    other_l10mh: float | None = None


class LifeResult(NamedTuple):
    """Lives of the loaded bearings and of the stack as a series system.

    ``stack_lnmh`` holds at ``reliability_percent``; the other route to the contamination factor is told where
    the oil's level and its cleanliness are both given.
    """

    bearings: tuple[LifeRow, ...] = ()
    stack_l10h: float | None = None
    stack_l10mh: float | None = None
    reliability_percent: float = 90.0
    a1: float = 1.0
    stack_lnmh: float | None = None
    other_stack_l10mh: float | None = None


class StaticRow(NamedTuple):
    """Static safety of one bearing in its worst case."""

    ref: str
    equivalent_static_load_n: float | None
    safety: float | None
    case: CaseName


class SpeedRow(NamedTuple):
    """Permissible speed of one bearing and the kind of printed speed it comes from."""

    ref: str
    rating_rpm: float | None
    basis: Basis | None
    set_factor: float
    permissible_rpm: float | None


class Margin(NamedTuple):
    """Margin of the permissible speed over one motor speed."""

    speed: SpeedName
    speed_rpm: float
    permissible_rpm: float
    margin: float


class SpeedResult(NamedTuple):
    """Permissible speeds and margins of the stack."""

    bearings: tuple[SpeedRow, ...]
    permissible_rpm: float | None
    governing: str | None
    complete: bool
    margins: tuple[Margin, ...]


class ThermalRow(NamedTuple):
    """Heat of one bearing: friction in the running case at rated speed, and what it could bear by itself.

    ``seat_w`` is what its seats pass on at the oil's rise over ambient, at the standard's 50 K where that is not
    known; ``own_permissible_rpm`` is the speed at which its friction equals it.
    """

    ref: str
    friction_w: float | None
    reference_speed_rpm: float | None
    drag_nmm: float | None
    load_nmm: float | None
    surface_mm2: float | None
    seat_w: float | None
    own_permissible_rpm: float | None


class Cooling(NamedTuple):
    """What takes the heat away. ``basis`` tells whether ``available_w`` was given or is an estimate."""

    basis: Literal["given", "estimated"] | None
    seats_w: float | None
    oil_w: float | None
    external_w: float | None
    available_w: float | None


class CoolingNeed(NamedTuple):
    """What has to be taken away at the motor's speed, and how uncertain that is.

    ``beyond_seats_w`` is left to oil or coil; ``oil_flow_l_min`` takes it away at the rise that is given.
    """

    speed: SpeedName
    speed_rpm: float
    friction_w: float
    low_w: float
    high_w: float
    beyond_seats_w: float | None
    oil_flow_l_min: float | None


class ThermalResult(NamedTuple):
    """Friction of the stack against the heat that its surroundings remove.

    ``permissible_rpm`` answers a heat that was given, ``estimated_permissible_rpm`` one that was estimated.
    ``hottest`` is the bearing that loses most for its surface.
    """

    bearings: tuple[ThermalRow, ...]
    friction_w: float | None
    heat_removed_w: float | None
    permissible_rpm: float | None
    cooling: Cooling
    estimated_permissible_rpm: float | None
    need: CoolingNeed | None
    hottest: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding: its code and figures; the sentence is made where it is read."""

    code: str
    severity: Severity
    ref: str | None = None
    value: float | None = None
    limit: float | None = None
    unit: str | None = None
    source: str
    params: Params = field(default_factory=dict)
    refs: tuple[str, ...] = ()


class NotChecked(NamedTuple):
    """A check that could not be made: a reason code and the fields that are missing."""

    check: str
    reason: str
    params: Params = NO_PARAMS


class WorkingLine(NamedTuple):
    """One line of the calculation: what was computed, with which formula, and its source."""

    topic: str
    ref: str | None
    symbol: str
    formula: str
    value: float | str | None
    unit: str
    source: str


def params(**values: ParamValue) -> dict[str, ParamValue]:
    """Return the parameters of a finding or reason."""
    return values
