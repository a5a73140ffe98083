"""Validated value types of a stack: what the engineering takes in.

Field names are those of the stack file. Everything is SI with the unit in the name;
``None`` means unknown and is never treated as acceptable. Range checks and messages for people
live in :mod:`bearings.stack_file`; these types hold what already passed them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Any, Final, Literal, TypeVar

Face = Literal["up", "down"]
Direction = Literal["up", "down"]
Mounting = Literal["vertical", "horizontal"]
Method = Literal["oil_bath", "oil_circulating", "oil_jet", "grease"]
BearingType = Literal[
    "angular_contact_ball", "deep_groove_ball", "spherical_roller_thrust", "cylindrical_roller"
]
PartKind = Literal[
    "spacer", "shim", "snap_ring", "lock_nut", "lock_washer", "shoulder", "spring_pack", "slinger"
]
Ring = Literal["inner", "outer", "both"]
Carries = Literal["none", "up", "down", "both"]
RatingBasis = Literal["printed", "geometry"]
ThrustDuty = Literal["momentary", "continuous"]
Pairing = Literal["single", "universal", "matched"]
CageMaterial = Literal["brass", "steel", "polyamide", "phenolic", "peek", "other"]
Lubricant = Literal["oil", "grease"]
Severity = Literal["stop", "warn", "note"]

ONE_WAY_TYPES: Final[frozenset[str]] = frozenset({"angular_contact_ball", "spherical_roller_thrust"})
ROLLER_TYPES: Final[frozenset[str]] = frozenset({"spherical_roller_thrust", "cylindrical_roller"})


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyPoint:
    """A part of the running time with its own speed and external thrust (down positive, without the rotor)."""

    share: float
    speed_rpm: float
    down_thrust_n: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorDuty:
    """Speeds and loads that the motor puts on its stack. Down is positive for ``down`` names."""

    rated_speed_rpm: float | None
    mounting: Mounting = "vertical"
    synchronous_speed_rpm: float | None = None
    maximum_speed_rpm: float | None = None
    reverse_speed_rpm: float | None = None
    non_reverse: bool | None = None
    down_thrust_n: float | None = None
    maximum_down_thrust_n: float | None = None
    up_thrust_n: float | None = None
    rotor_weight_n: float | None = None
    radial_load_n: float | None = None
    required_l10h: float | None = None
    reliability_percent: float = 90.0
    shaft_warmer_k: float | None = None
    fixed_speed: bool | None = None
    minimum_speed_rpm: float | None = None
    minimum_speed_down_thrust_n: float | None = None
    maximum_speed_down_thrust_n: float | None = None
    up_thrust_duty: ThrustDuty | None = None
    maximum_thrust_duty: ThrustDuty | None = None
    mount_bore_mm: float | None = None
    duty: tuple[DutyPoint, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lubrication:
    """Oil or grease of the stack and the heat that its surroundings take away."""

    method: Method | None = None
    iso_vg: float | None = None
    viscosity_index: float | None = None
    temperature_c: float | None = None
    contamination: str | None = None
    contamination_factor: float | None = None
    cleanliness: str | None = None
    ambient_c: float | None = None
    external_heat_w: float | None = None
    oil_flow_l_min: float | None = None
    oil_rise_k: float | None = None
    heat_removed_w: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetFactors:
    """Speed factors of a set against the single bearing (common practice, no source)."""

    single: float = 1.0
    tandem_pair: float = 0.90
    tandem_many: float = 0.80
    opposed_pair: float = 0.80
    opposed_single_side: float = 0.70
    opposed_many: float = 0.75
    spring: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """The limits this shop works to; every default can be overridden."""

    minimum_speed_margin: float = 0.10
    stop_l10h: float = 8_800.0
    warn_l10h: float = 40_000.0
    minimum_static_safety_ball: float = 1.0
    minimum_static_safety_spherical_roller_thrust: float = 4.0
    tandem_stand_out_um: float = 3.0
    spacer_pair_um: float = 5.0
    unloaded_warn_ndm: float = 400_000.0
    assumed_shaft_warmer_k: float | None = None
    assumed_temperature_c: float | None = None
    warm_preload_share: float = 0.10
    gauge_force_n: float = 500.0
    set_factors: SetFactors = field(default_factory=SetFactors)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """One bearing, as an item of the stack or as a guide elsewhere on the shaft."""

    type: BearingType
    wide_face: Face | None = None
    designation: str | None = None
    maker: str | None = None
    variant: str | None = None
    cage: str | None = None
    source: str | None = None
    serial: str | None = None
    mark: str | None = None
    set_id: str | None = None
    bore_mm: float | None = None
    outside_diameter_mm: float | None = None
    height_mm: float | None = None
    contact_angle_deg: float | None = None
    dynamic_rating_n: float | None = None
    static_rating_n: float | None = None
    fatigue_load_limit_n: float | None = None
    limiting_speed_rpm: float | None = None
    reference_speed_rpm: float | None = None
    oil_speed_rpm: float | None = None
    grease_speed_rpm: float | None = None
    minimum_load_factor_n: float | None = None
    ball_count: int | None = None
    ball_diameter_mm: float | None = None
    pitch_diameter_mm: float | None = None
    pair_preload_n: float | None = None
    stand_out_um: float | None = None
    inner_groove_ratio: float | None = None
    outer_groove_ratio: float | None = None
    fit_interference_um: float | None = None
    pairing: Pairing | None = None
    stand_out_tolerance_um: float | None = None
    cage_material: CageMaterial | None = None
    temperature_limit_c: float | None = None
    stabilised_to_c: float | None = None
    spring_force_n: float | None = None
    spring_rate_n_per_mm: float | None = None
    spring_travel_mm: float | None = None
    f0r: float | None = None
    f1r: float | None = None
    f0: float | None = None
    f1: float | None = None
    reference_surface_mm2: float | None = None
    shaft_washer_diameter_mm: float | None = None
    housing_washer_bore_mm: float | None = None
    rating_basis: RatingBasis | None = None
    note: str | None = None

    @property
    def is_one_way(self) -> bool:
        """Whether the bearing carries thrust in one direction only."""
        return self.type in ONE_WAY_TYPES

    @property
    def carries(self) -> Carries:
        """Direction of shaft thrust that the bearing can take; ``none`` while the face is unknown."""
        if self.is_one_way:
            return self.wide_face or "none"
        return "both" if self.type == "deep_groove_ball" else "none"

    @property
    def on_springs(self) -> bool:
        """Whether one of the bearing's rings rests on springs: any spring datum says so."""
        return (
            self.spring_force_n is not None
            or self.spring_rate_n_per_mm is not None
            or self.spring_travel_mm is not None
        )

    @property
    def pitch_mm(self) -> float | None:
        """Pitch diameter, or the mean of bore and outside diameter where it is not given."""
        if self.pitch_diameter_mm is not None:
            return self.pitch_diameter_mm
        if self.bore_mm is None or self.outside_diameter_mm is None:
            return None
        return (self.bore_mm + self.outside_diameter_mm) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """An item of the stack that is not a bearing."""

    kind: PartKind
    ring: Ring | None = None
    height_mm: float | None = None
    inner_height_mm: float | None = None
    outer_height_mm: float | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Guide:
    """A bearing elsewhere on the same shaft, and the thrust it is arranged to carry.

    ``lubricant`` and ``guide_temperature_c`` are its own where they differ from the stack's; ``distance_mm`` is how
    far along the shaft it sits from the stack.
    """

    bearing: Bearing
    carries: Carries = "none"
    end_play_um: float | None = None
    radial_load_n: float | None = None
    lubricant: Lubricant | None = None
    guide_temperature_c: float | None = None
    distance_mm: float | None = None

    def method(self, of_the_stack: Method | None) -> Method | None:
        """Return how the guide is lubricated: as its own lubricant says, else as the stack is."""
        if self.lubricant is None or (self.lubricant == "oil" and of_the_stack not in (None, "grease")):
            return of_the_stack
        return "grease" if self.lubricant == "grease" else "oil_bath"


Item = Bearing | Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """What stands on a shaft, whatever the motor does: items from the top of the mount, guides."""

    items: tuple[Item, ...]
    guides: tuple[Guide, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack(Assembly):
    """A whole stack file: what stands on the shaft, duty, oil, shop policy."""

    motor: MotorDuty
    lubrication: Lubrication = field(default_factory=Lubrication)
    policy: Policy = field(default_factory=Policy)


def identity(field: str, value: object) -> object:
    """Return what of a field tells two bearings apart, however it is spelled: 7320B and 7320 b are one."""
    if not isinstance(value, str):
        return value
    words = value.casefold().split()
    return ("" if field == "designation" else " ").join(words) or None


Kind = TypeVar("Kind", Bearing, Guide, Lubrication, MotorDuty)
# Of each kind: what reads all its slots at once, and what fills each.
_SLOTS: dict[type, tuple[Callable[[Any], tuple[Any, ...]], list[Callable[[Any, Any], None]]]] = {}


def with_changes(one: Kind, changes: Mapping[str, object]) -> Kind:
    """Return one of the values above with some of its fields changed, as ``dataclasses.replace`` does.

    A stack with unknown fields is tried at scores of places: calling the constructor with 48 fields for each takes
    five times as long as filling the slots.
    """
    if not changes:
        return one
    kind = type(one)
    new = object.__new__(kind)
    if kind not in _SLOTS:
        setters = [getattr(kind, name).__set__ for name in kind.__slots__]
        _SLOTS[kind] = attrgetter(*kind.__slots__), setters
    getter, setters = _SLOTS[kind]
    for setter, value in zip(setters, getter(one), strict=True):
        setter(new, value)
    for name, value in changes.items():
        object.__setattr__(new, name, value)
    return new


def opposite(direction: Direction) -> Direction:
    """Return the other way along the shaft."""
    return "up" if direction == "down" else "down"


def guide_radial_n(stack: Stack, ref: str) -> float:
    """Return the radial load of a guide by its ref, in N: what is entered or taken of its range, else none."""
    return stack.guides[int(ref[1:]) - 1].radial_load_n or 0.0


def item_refs(items: tuple[Item, ...]) -> tuple[str, ...]:
    """Return the ref of every item: bearings 1, 2, ... and other parts a, b, ... from the top."""
    refs: list[str] = []
    bearings = parts = 0
    for item in items:
        if isinstance(item, Bearing):
            bearings += 1
            refs.append(str(bearings))
        else:
            refs.append(chr(ord("a") + parts))
            parts += 1
    return tuple(refs)


def guide_refs(guides: tuple[Guide, ...]) -> tuple[str, ...]:
    """Return the ref of every guide: g1, g2, ... in the order given."""
    return tuple(f"g{number}" for number in range(1, len(guides) + 1))
