"""A stack with one choice of everything that nobody entered: each ranged field at a place of its range."""

from __future__ import annotations

from math import floor, pi
from typing import Any, Final

from bearings.engineering.evidence import HeatSpan
from bearings.engineering.least_load import estimated_factor_n, has_estimate
from bearings.engineering.loads import axial_weight
from bearings.engineering.quantities import (
    Bearing,
    Guide,
    Item,
    Lubrication,
    MotorDuty,
    Stack,
    with_changes,
)
from bearings.engineering.ranges import (
    AMBIENT_C,
    BALL_SHARE,
    CAGES,
    CONTAMINATION_LEVELS,
    DRIVE_FACTORS,
    DUTIES,
    EXTERNAL_HEAT_SHARE,
    FATIGUE_FACTOR,
    FEWEST_BALLS,
    FILLING,
    GUIDE_PLAY_UM,
    GUIDE_RADIAL_SHARES,
    INTERFERENCE_UM_PER_MM,
    LEAST_LOAD_FACTORS,
    MAXIMUM_SPEED_FACTOR,
    MAXIMUM_THRUST_FACTOR,
    METHODS,
    MINIMUM_SPEED_FACTOR,
    MOUNT_BORE_SHARE,
    PRELOAD_SHARE,
    RADIAL_SHARE,
    REVERSE_FACTOR,
    ROTOR_WEIGHT_SHARE,
    SEAT_FACTOR,
    SHAFT_WARMER_K,
    STABILISED_C,
    SYNCHRONOUS_FACTOR,
    TEMPERATURE_C,
    UP_THRUST_SHARE,
    VISCOSITY_INDEX,
    Place,
    Point,
    angular_refs,
    at_place,
    like,
    preload_of_like,
    unknown_fields,
)
from bearings.engineering.rating import estimated_fatigue_load_limit

OFFSETS: Final = "stand_out_um"


def _filled_motor(stack: Stack, place: Place) -> MotorDuty:
    """Return the motor with what nobody entered at its places, and with the shop's assumption."""
    motor = stack.motor
    changes: dict[str, Any] = {}
    rated = motor.rated_speed_rpm

    def fill(name: str, span: tuple[float, float]) -> None:
        at = place(f"motor.{name}", None)
        if at is not None:
            changes[name] = at_place(span, at)

    if rated is not None:
        fill("synchronous_speed_rpm", (rated * SYNCHRONOUS_FACTOR[0], rated * SYNCHRONOUS_FACTOR[1]))
    synchronous = changes.get("synchronous_speed_rpm", motor.synchronous_speed_rpm) or rated
    if rated is not None and synchronous is not None:
        fill("minimum_speed_rpm", (rated * MINIMUM_SPEED_FACTOR[0], rated * MINIMUM_SPEED_FACTOR[1]))
        fill("maximum_speed_rpm", (rated * MAXIMUM_SPEED_FACTOR[0], synchronous * MAXIMUM_SPEED_FACTOR[1]))
    thrust = motor.down_thrust_n
    if thrust is not None:
        size = abs(thrust)
        fill("rotor_weight_n", (size * ROTOR_WEIGHT_SHARE[0], size * ROTOR_WEIGHT_SHARE[1]))
        fill("up_thrust_n", (size * UP_THRUST_SHARE[0], size * UP_THRUST_SHARE[1]))
        fill("maximum_down_thrust_n", (thrust * MAXIMUM_THRUST_FACTOR[0], thrust * MAXIMUM_THRUST_FACTOR[1]))
        weight = changes.get("rotor_weight_n", motor.rotor_weight_n) or 0.0
        net = abs(thrust + (weight if motor.mounting == "vertical" else 0.0))
        fill("radial_load_n", (net * RADIAL_SHARE[0], net * RADIAL_SHARE[1]))
    if synchronous is not None:
        fill("reverse_speed_rpm", (synchronous * REVERSE_FACTOR[0], synchronous * REVERSE_FACTOR[1]))
    if stack.policy.assumed_shaft_warmer_k is not None and motor.shaft_warmer_k is None:
        changes["shaft_warmer_k"] = stack.policy.assumed_shaft_warmer_k
    fill("shaft_warmer_k", SHAFT_WARMER_K)
    bore = next((item.bore_mm for item in stack.items if isinstance(item, Bearing) and item.bore_mm), None)
    if bore is not None:
        fill("mount_bore_mm", (bore * MOUNT_BORE_SHARE[0], bore * MOUNT_BORE_SHARE[1]))
    changes |= _chosen(motor, place, rated, synchronous)
    return with_changes(motor, changes)


def _chosen(motor: MotorDuty, place: Place, rated: float | None, synchronous: float | None) -> dict[str, Any]:
    """Return what the choices of the motor come to: drive or line, ratchet or none, how long a thrust lasts."""
    changes: dict[str, Any] = {}
    drive = place("motor.fixed_speed", None)
    if drive is not None:
        changes["fixed_speed"] = drive == 0
        if drive == 1 and rated is not None and synchronous is not None:
            changes["minimum_speed_rpm"] = rated * DRIVE_FACTORS[0]
            changes["maximum_speed_rpm"] = synchronous * DRIVE_FACTORS[1]
    ratchet = place("motor.non_reverse", None)
    if ratchet is not None:
        changes["non_reverse"] = ratchet == 0
    for name in ("up_thrust_duty", "maximum_thrust_duty"):
        at = place(f"motor.{name}", None)
        if at is not None:
            changes[name] = DUTIES[at]
    return changes


def _filled_oil(stack: Stack, place: Place) -> Lubrication:
    changes: dict[str, object] = {}
    for name, span in (
        ("temperature_c", TEMPERATURE_C),
        ("viscosity_index", VISCOSITY_INDEX),
        ("ambient_c", AMBIENT_C),
    ):
        at = place(f"lubrication.{name}", None)
        if at is not None:
            changes[name] = at_place(span, at)
    if stack.lubrication.temperature_c is None and stack.policy.assumed_temperature_c is not None:
        changes["temperature_c"] = stack.policy.assumed_temperature_c
    method = place("lubrication.method", None)
    if method is not None:
        changes["method"] = METHODS[method]
    level = place("lubrication.contamination", None)
    if level is not None:
        changes["contamination"] = CONTAMINATION_LEVELS[level]
    return with_changes(stack.lubrication, changes)


def default_balls(one: Bearing) -> tuple[int, float] | None:
    """Return ball count and diameter in mm that stand for a bearing nobody opened; None without its size."""
    if one.bore_mm is None or one.outside_diameter_mm is None or one.pitch_mm is None:
        return None
    ball_mm = BALL_SHARE * (one.outside_diameter_mm - one.bore_mm)
    count = floor(FILLING * pi * one.pitch_mm / ball_mm)
    return (count, ball_mm) if count >= FEWEST_BALLS else None


def _filled_bearing(
    stack: Stack, ref: str, one: Bearing, place: Place, alike: bool, offset: float | None
) -> Bearing:
    changes: dict[str, object] = {} if offset is None else {"stand_out_um": offset}

    def fill(name: str, span: tuple[float, float]) -> None:
        at = place(name, ref)
        if at is not None:
            changes[name] = at_place(span, at)

    if one.bore_mm is not None:
        fill("fit_interference_um", (0.0, INTERFERENCE_UM_PER_MM[1] * one.bore_mm))
    if one.dynamic_rating_n is not None:
        fill("pair_preload_n", (0.0, PRELOAD_SHARE[1] * one.dynamic_rating_n))
    if one.type == "angular_contact_ball" and one.pair_preload_n is None and "pair_preload_n" not in changes:
        preload = preload_of_like(stack, one)
        if preload is not None:
            changes["pair_preload_n"] = preload
    estimate = estimated_factor_n(one) if has_estimate(one) else None
    if estimate is not None:
        at = place("minimum_load_factor_n", ref)
        if at is not None:
            changes["minimum_load_factor_n"] = LEAST_LOAD_FACTORS[at] * estimate
    limit = estimated_fatigue_load_limit(one)
    if limit is not None:
        fill("fatigue_load_limit_n", (FATIGUE_FACTOR[0] * limit, FATIGUE_FACTOR[1] * limit))
    fill("stabilised_to_c", STABILISED_C)
    cage = place("cage_material", ref)
    if cage is not None:
        changes["cage_material"] = CAGES[cage]
    if alike and (one.ball_count is None or one.ball_diameter_mm is None):
        balls = default_balls(one)
        if balls is not None:
            changes["ball_count"], changes["ball_diameter_mm"] = balls
    return with_changes(one, changes)


def all_alike(stack: Stack) -> bool:
    """Whether the angular contact bearings of a stack are of one kind as far as anybody knows."""
    bearings = [one for _, one in angular_refs(stack)]
    return all(like(bearings[0], one) for one in bearings[1:]) if bearings else True


def _offsets(stack: Stack, choice: int) -> dict[int, float]:
    """Return the face offsets of one choice: none, the topmost bearing, or the foot of each tandem."""
    angular = angular_refs(stack)
    offset = stack.policy.tandem_stand_out_um
    found = {place: 0.0 for place, one in angular if one.stand_out_um is None}
    if choice == 1 and angular[0][0] in found:
        found[angular[0][0]] = offset
    if choice == 2:
        for number, (place, one) in enumerate(angular):
            follows = number + 1 < len(angular) and angular[number + 1][1].wide_face == one.wide_face
            leads = number > 0 and angular[number - 1][1].wide_face == one.wide_face
            if leads and not follows and place in found:
                found[place] = offset
    return found


def _filled_guide(stack: Stack, motor: MotorDuty, ref: str, guide: Guide, place: Place) -> Guide:
    changes: dict[str, float] = {}
    play = place("end_play_um", ref)
    if play is not None:
        changes["end_play_um"] = GUIDE_PLAY_UM[play]
    radial = place("radial_load_n", ref)
    if radial is not None:
        net = abs((motor.down_thrust_n or 0.0) + (axial_weight(motor) or 0.0))
        most = max(GUIDE_RADIAL_SHARES[0] * (motor.rotor_weight_n or 0.0), GUIDE_RADIAL_SHARES[1] * net)
        changes["radial_load_n"] = at_place((0.0, most), radial)
    return with_changes(guide, changes)


class Filler:
    """Makes stacks with the unknown fields at chosen places, like parts of them only once."""

    def __init__(self, stack: Stack, refs: tuple[str, ...], guide_names: tuple[str, ...]) -> None:
        self.stack, self.refs, self.guide_names = stack, refs, guide_names
        self.unknown = unknown_fields(stack, refs, guide_names)
        self._fields = [(one.field, one.ref) for one in self.unknown]
        self._index = {field: number for number, field in enumerate(self._fields)}
        self._alike = all_alike(stack)
        self._motor_places = [n for n, one in enumerate(self.unknown) if one.field.startswith("motor.")]
        self._oil_places = [n for n, one in enumerate(self.unknown) if one.field.startswith("lubrication.")]
        self._own_places = {
            ref: [n for n, one in enumerate(self.unknown) if one.ref == ref] for ref in (*refs, *guide_names)
        }
        # Plain dictionaries: a cache that held a method of this object would keep every stack until the collector runs.
        self._motors: dict[Point, MotorDuty] = {}
        self._oils: dict[Point, Lubrication] = {}
        self._bearings: dict[tuple[int, Point, float | None], Bearing] = {}
        self._items: dict[Point, tuple[Item, ...]] = {}
        self._guides: dict[tuple[Point, Point], tuple[Guide, ...]] = {}
        self._item_places = [
            n for n, one in enumerate(self.unknown) if one.ref in refs or one.field == OFFSETS
        ]
        self._guide_places = [n for n, one in enumerate(self.unknown) if one.ref in guide_names]

    def everywhere(self, which: str) -> Point:
        """Return the point with every unknown field low, in the middle or high."""
        if which == "middle":
            return tuple(one.middle for one in self.unknown)
        return tuple(0 if which == "low" else one.high for one in self.unknown)

    def _place(self, point: Point) -> Place:
        def place(field: str, ref: str | None) -> int | None:
            number = self._index.get((field, ref))
            return None if number is None else point[number]

        return place

    def _padded(self, numbers: list[int], own: Point) -> Place:
        known = {self._fields[number]: at for number, at in zip(numbers, own, strict=True)}
        return lambda field, ref: known.get((field, ref))

    def _motor(self, own: Point) -> MotorDuty:
        if own not in self._motors:
            known = not own and self.stack.policy.assumed_shaft_warmer_k is None
            place = self._padded(self._motor_places, own)
            self._motors[own] = self.stack.motor if known else _filled_motor(self.stack, place)
        return self._motors[own]

    def _oil(self, own: Point) -> Lubrication:
        if own not in self._oils:
            self._oils[own] = _filled_oil(self.stack, self._padded(self._oil_places, own))
        return self._oils[own]

    def _bearing(self, number: int, one: Bearing, own: Point, offset: float | None) -> Bearing:
        key = number, own, offset
        if key not in self._bearings:
            ref = self.refs[number]
            place = self._padded(self._own_places[ref], own)
            self._bearings[key] = _filled_bearing(self.stack, ref, one, place, self._alike, offset)
        return self._bearings[key]

    def _items_at(self, point: Point) -> tuple[Item, ...]:
        offsets: dict[int, float] = {}
        for number, one in enumerate(self.unknown):
            if one.field == OFFSETS:
                offsets = _offsets(self.stack, point[number])
        items: list[Item] = []
        for number, item in enumerate(self.stack.items):
            if isinstance(item, Bearing):
                own = tuple([point[n] for n in self._own_places[self.refs[number]]])
                items.append(self._bearing(number, item, own, offsets.get(number)))
            else:
                items.append(item)
        return tuple(items)

    def _guides_at(self, point: Point, motor: MotorDuty) -> tuple[Guide, ...]:
        place = self._place(point)
        return tuple(
            _filled_guide(self.stack, motor, ref, guide, place)
            for ref, guide in zip(self.guide_names, self.stack.guides, strict=True)
        )

    def stack_at(self, point: Point) -> Stack:
        """Return the stack with its unknown fields at the places of a point; like parts of it are the same objects."""
        motor_own = tuple([point[n] for n in self._motor_places])
        motor = self._motor(motor_own)
        oil = self._oil(tuple([point[n] for n in self._oil_places]))
        own = tuple([point[n] for n in self._item_places])
        items = self._items.get(own)
        if items is None:
            items = self._items[own] = self._items_at(point)
        guides: tuple[Guide, ...] = ()
        if self.stack.guides:
            # What a guide carries radially hangs on the motor's loads.
            key = tuple([point[n] for n in self._guide_places]), motor_own
            if key not in self._guides:
                self._guides[key] = self._guides_at(point, motor)
            guides = self._guides[key]
        return Stack(motor=motor, items=items, lubrication=oil, policy=self.stack.policy, guides=guides)

    def heat_span_at(self, point: Point) -> HeatSpan:
        """Return where the two unknown heats are taken at a point."""
        place = self._place(point)
        external = place("lubrication.external_heat_w", None)
        seats = place("lubrication.heat_removed_w", None)
        return HeatSpan(
            None if external is None else at_place(EXTERNAL_HEAT_SHARE, external),
            1.0 if seats is None else at_place(SEAT_FACTOR, seats),
        )
