"""What an unknown field may be: the published range of every ranged field, and a stack with one choice of them.

Ranges are common practice without a source unless a line says otherwise. A range has three places (low, middle,
high); a choice has one place for each value, its middle is the first.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from bearings.engineering.quantities import Bearing, MotorDuty, Stack, identity

LOW: Final = 0
RANGE_PLACES: Final = 3

ROTOR_WEIGHT_SHARE: Final = (0.02, 0.5)
RADIAL_SHARE: Final = (0.0, 0.05)
UP_THRUST_SHARE: Final = (0.0, 0.3)
MAXIMUM_THRUST_FACTOR: Final = (1.0, 1.5)
SYNCHRONOUS_FACTOR: Final = (1.0, 1.06)
DRIVE_FACTORS: Final = (
    0.5,
    1.2,
)  # of rated and of synchronous speed, where nobody said whether there is a drive
MINIMUM_SPEED_FACTOR: Final = (0.3, 1.0)
MAXIMUM_SPEED_FACTOR: Final = (1.0, 1.2)
REVERSE_FACTOR: Final = (1.2, 1.5)
SHAFT_WARMER_K: Final = (0.0, 20.0)
TEMPERATURE_C: Final = (55.0, 85.0)
VISCOSITY_INDEX: Final = (85.0, 110.0)
AMBIENT_C: Final = (20.0, 40.0)
CONTAMINATION_LEVELS: Final = ("typical_contamination", "slight_contamination", "normal_cleanliness")
EXTERNAL_HEAT_SHARE: Final = (0.0, 0.25)
SEAT_FACTOR: Final = (0.5, 1.5)
INTERFERENCE_UM_PER_MM: Final = (0.0, 0.4)
MOUNT_BORE_SHARE: Final = (0.0, 0.75)
PRELOAD_SHARE: Final = (0.0, 0.012)
LEAST_LOAD_FACTORS: Final = (0.5, 1.0, 2.0)  # low, the estimate itself, high
FATIGUE_FACTOR: Final = (0.8, 1.3)
STABILISED_C: Final = (120.0, 150.0)
GUIDE_PLAY_UM: Final = (0.0, 500.0)
GUIDE_RADIAL_SHARES: Final = (0.25, 0.02)  # of the rotor's weight, of the net running thrust
METHODS: Final = ("oil_bath", "oil_circulating", "oil_jet", "grease")
DUTIES: Final = ("momentary", "continuous")
CAGES: Final = ("brass", "polyamide")
# Balls of like bearings that nobody counted: share of the section and of the pitch circle (derived here; stiffness
# within 5 % of two inner geometries that are themselves from memory).
BALL_SHARE: Final = 0.31
FILLING: Final = 0.9
FEWEST_BALLS: Final = 3  # fewer carry no axial load; such sizes contradict each other


class Unknown(NamedTuple):
    """A ranged field that nobody entered. ``places`` counts its values; a range has three."""

    field: str
    ref: str | None
    places: int
    is_range: bool
    about: str = ""

    @property
    def middle(self) -> int:
        """The place that counts as the middle."""
        return 1 if self.is_range else 0

    @property
    def high(self) -> int:
        """The last place."""
        return self.places - 1

    @property
    def alone(self) -> tuple[int, ...]:
        """The places that are tried with all other fields in the middle."""
        return (0, self.places - 1) if self.is_range else tuple(range(self.places))


Point = tuple[int, ...]
Place = Callable[[str, str | None], int | None]


def at_place(span: tuple[float, float], place: int) -> float:
    """Return the low end, the middle or the high end of a range."""
    low, high = span
    return low if place == 0 else high if place == RANGE_PLACES - 1 else (low + high) / 2


def _ranged(field: str, ref: str | None = None) -> Unknown:
    return Unknown(field, ref, RANGE_PLACES, is_range=True)


def _choice(field: str, places: int, ref: str | None = None) -> Unknown:
    return Unknown(field, ref, places, is_range=False)


# ------------------------------------------------------------------ which fields are unknown
def has_drive(motor: MotorDuty) -> bool:
    """Whether the motor is said to run on a drive: by word, or by one of a drive's figures."""
    drive = (
        motor.minimum_speed_rpm,
        motor.maximum_speed_rpm,
        motor.minimum_speed_down_thrust_n,
        motor.maximum_speed_down_thrust_n,
    )
    return motor.fixed_speed is False or any(one is not None for one in drive)


def _speeds_unknown(motor: MotorDuty) -> list[Unknown]:
    """Return the speeds that are ranged by the rated one: without it they are not, and it is asked for."""
    found: list[Unknown] = []
    if motor.rated_speed_rpm is None:
        return found
    if motor.synchronous_speed_rpm is None:
        found.append(_ranged("motor.synchronous_speed_rpm"))
    if has_drive(motor):
        found += [
            _ranged(f"motor.{name}")
            for name in ("minimum_speed_rpm", "maximum_speed_rpm")
            if getattr(motor, name) is None
        ]
    elif motor.fixed_speed is None:
        found.append(_choice("motor.fixed_speed", 2))
    return found


def _motor_unknown(stack: Stack) -> list[Unknown]:
    motor = stack.motor
    thrust_known = motor.down_thrust_n is not None
    found = _speeds_unknown(motor)
    if motor.rotor_weight_n is None and thrust_known:
        found.append(_ranged("motor.rotor_weight_n"))
    if motor.radial_load_n is None and motor.mounting == "vertical" and thrust_known:
        found.append(_ranged("motor.radial_load_n"))
    if thrust_known:
        found += [
            _ranged(f"motor.{name}")
            for name in ("up_thrust_n", "maximum_down_thrust_n")
            if getattr(motor, name) is None
        ]
    if motor.non_reverse is None:
        found.append(_choice("motor.non_reverse", 2))
    # Backspin is ranged by the synchronous speed, and that by the rated one.
    turning = motor.synchronous_speed_rpm is not None or motor.rated_speed_rpm is not None
    if motor.reverse_speed_rpm is None and motor.non_reverse is not True and turning:
        found.append(_ranged("motor.reverse_speed_rpm"))
    found += [
        _choice(f"motor.{name}", len(DUTIES))
        for name in ("up_thrust_duty", "maximum_thrust_duty")
        if getattr(motor, name) is None
    ]
    if motor.shaft_warmer_k is None and stack.policy.assumed_shaft_warmer_k is None:
        found.append(_ranged("motor.shaft_warmer_k"))
    if motor.mount_bore_mm is None:
        found.append(_ranged("motor.mount_bore_mm"))
    return found


def _oil_unknown(stack: Stack) -> list[Unknown]:
    oil = stack.lubrication
    found = [] if oil.method is not None else [_choice("lubrication.method", len(METHODS))]
    if oil.temperature_c is None and stack.policy.assumed_temperature_c is None:
        found.append(_ranged("lubrication.temperature_c"))
    if oil.viscosity_index is None:
        found.append(_ranged("lubrication.viscosity_index"))
    if oil.contamination is None and oil.contamination_factor is None and oil.cleanliness is None:
        found.append(_ranged("lubrication.contamination"))
    if oil.heat_removed_w is None:
        if oil.ambient_c is None:
            found.append(_ranged("lubrication.ambient_c"))
        if oil.external_heat_w is None:
            found.append(_ranged("lubrication.external_heat_w"))
        found.append(_ranged("lubrication.heat_removed_w"))
    return found


def angular_refs(stack: Stack) -> tuple[tuple[int, Bearing], ...]:
    """Return place and value of every angular contact bearing of the stack."""
    return tuple(
        (place, item)
        for place, item in enumerate(stack.items)
        if isinstance(item, Bearing) and item.type == "angular_contact_ball"
    )


def is_opposed_set(stack: Stack) -> bool:
    """Whether angular contact bearings of the stack face both ways."""
    return {"up", "down"} <= {one.wide_face for _, one in angular_refs(stack)}


SAME_SIZE: Final = (
    "designation", "contact_angle_deg", "bore_mm", "outside_diameter_mm", "dynamic_rating_n", "static_rating_n",
)  # fmt: skip


def like(one: Bearing, other: Bearing) -> bool:
    """Whether nothing that is known of two bearings tells them apart in kind, size or rating."""
    if one.type != other.type:
        return False
    for name in SAME_SIZE:
        mine, theirs = getattr(one, name), getattr(other, name)
        if mine == theirs:
            continue  # like to the letter, as they mostly are
        mine, theirs = identity(name, mine), identity(name, theirs)
        if mine is not None and theirs is not None and mine != theirs:
            return False
    return True


def preload_of_like(stack: Stack, one: Bearing) -> float | None:
    """Return the preload that is entered of a like bearing of the set."""
    given = (other.pair_preload_n for _, other in angular_refs(stack) if like(one, other))
    return next((preload for preload in given if preload is not None), None)


def _bearing_unknown(stack: Stack, ref: str, one: Bearing, *, several: bool) -> list[Unknown]:
    """Return what is unknown of a bearing; ``several`` tells whether it may stand in a set."""
    angular = one.type == "angular_contact_ball"
    roller = one.type == "spherical_roller_thrust"
    found = []
    if angular and several:
        if one.fit_interference_um is None:
            found.append(_ranged("fit_interference_um", ref))
        if one.pair_preload_n is None and is_opposed_set(stack) and preload_of_like(stack, one) is None:
            found.append(_ranged("pair_preload_n", ref))
    if (angular or roller) and one.minimum_load_factor_n is None:
        found.append(_ranged("minimum_load_factor_n", ref))
    if one.fatigue_load_limit_n is None and one.type != "cylindrical_roller":
        found.append(_ranged("fatigue_load_limit_n", ref))
    if one.temperature_limit_c is None:
        if one.cage_material is None:
            found.append(_choice("cage_material", len(CAGES), ref))
        if one.stabilised_to_c is None:
            found.append(_ranged("stabilised_to_c", ref))
    return found


def face_offsets_ranged(stack: Stack) -> bool:
    """Whether face offsets that nobody measured may be taken over their range: all of a set ground to match."""
    unmeasured = [one for _, one in angular_refs(stack) if one.stand_out_um is None]
    return bool(unmeasured) and all(one.pairing in ("universal", "matched") for one in unmeasured)


def unknown_fields(stack: Stack, refs: tuple[str, ...], guide_names: tuple[str, ...]) -> tuple[Unknown, ...]:
    """Return every ranged field of a stack that nobody entered, in the order of the file."""
    found = [*_motor_unknown(stack), *_oil_unknown(stack)]
    several = len(angular_refs(stack)) > 1
    for ref, item in zip(refs, stack.items, strict=True):
        if isinstance(item, Bearing):
            found += _bearing_unknown(stack, ref, item, several=several)
    if several and face_offsets_ranged(stack):
        # One choice for the set: all flush, the top one proud, the foot of each tandem proud.
        first = next(
            ref
            for ref, item in zip(refs, stack.items, strict=True)
            if isinstance(item, Bearing) and item.type == "angular_contact_ball" and item.stand_out_um is None
        )
        found.append(_choice("stand_out_um", 3, first))
    for ref, guide in zip(guide_names, stack.guides, strict=True):
        if guide.end_play_um is None and guide.carries != "none":
            found.append(_choice("end_play_um", 2, ref))
        if guide.radial_load_n is None and stack.motor.down_thrust_n is not None:
            found.append(_ranged("radial_load_n", ref))
    return tuple(found)
