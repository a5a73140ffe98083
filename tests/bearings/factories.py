"""Stacks for the tests. The ratings are invented; the dimensions are those of ISO 15."""

from dataclasses import replace
from typing import Any

from bearings.engineering.quantities import (
    Bearing,
    Guide,
    Item,
    Lubrication,
    MotorDuty,
    Part,
    Policy,
    Stack,
)

FACES: dict[str, Any] = {"d": "down", "u": "up"}


def angular(face: str = "d", **values: Any) -> Bearing:
    """An angular contact bearing 100 x 215 x 47 with known balls."""
    usual: dict[str, Any] = {
        "bore_mm": 100.0,
        "outside_diameter_mm": 215.0,
        "height_mm": 47.0,
        "contact_angle_deg": 40.0,
        "dynamic_rating_n": 216_000.0,
        "static_rating_n": 208_000.0,
        "limiting_speed_rpm": 2_700.0,
        "ball_count": 13,
        "ball_diameter_mm": 34.925,
        "designation": "7320",
    }
    return Bearing(type="angular_contact_ball", wide_face=FACES[face], **(usual | values))


def thrust_roller(face: str = "d", **values: Any) -> Bearing:
    """A spherical roller thrust bearing of bore 140 mm."""
    usual: dict[str, Any] = {
        "bore_mm": 140.0,
        "outside_diameter_mm": 280.0,
        "height_mm": 85.0,
        "dynamic_rating_n": 1_400_000.0,
        "static_rating_n": 4_300_000.0,
        "limiting_speed_rpm": 2_150.0,
        "designation": "29428",
    }
    return Bearing(type="spherical_roller_thrust", wide_face=FACES[face], **(usual | values))


def deep_groove(**values: Any) -> Bearing:
    """A deep groove bearing 90 x 190 x 43."""
    usual: dict[str, Any] = {
        "bore_mm": 90.0,
        "outside_diameter_mm": 190.0,
        "height_mm": 43.0,
        "dynamic_rating_n": 143_000.0,
        "static_rating_n": 107_000.0,
        "limiting_speed_rpm": 5_000.0,
        "designation": "6318",
    }
    return Bearing(type="deep_groove_ball", **(usual | values))


def guide(carries: Any = "up", end_play_um: float | None = 0.0, **values: Any) -> Guide:
    """A deep groove bearing elsewhere on the shaft."""
    return Guide(bearing=deep_groove(**values), carries=carries, end_play_um=end_play_um)


def nut() -> Part:
    return Part(kind="lock_nut", ring="inner")


def shoulder() -> Part:
    return Part(kind="shoulder", ring="inner")


def duty(**values: Any) -> MotorDuty:
    """An 1 800 rpm motor with thrust, weight and radial load known."""
    usual: dict[str, Any] = {
        "rated_speed_rpm": 1_780.0,
        "down_thrust_n": 30_000.0,
        "rotor_weight_n": 2_200.0,
        "radial_load_n": 0.0,
    }
    return MotorDuty(**(usual | values))


def oil(**values: Any) -> Lubrication:
    usual: dict[str, Any] = {
        "method": "oil_bath",
        "iso_vg": 68.0,
        "temperature_c": 70.0,
        "contamination": "slight_contamination",
    }
    return Lubrication(**(usual | values))


def stack(*items: Item, motor: MotorDuty | None = None, **values: Any) -> Stack:
    """A stack between a shoulder and a nut."""
    lubrication = values.pop("lubrication", oil())
    policy = values.pop("policy", Policy())
    return Stack(
        motor=motor or duty(),
        items=(shoulder(), *items, nut()),
        lubrication=lubrication,
        policy=policy,
        **values,
    )


def faces(pattern: str, **values: Any) -> tuple[Bearing, ...]:
    """Like angular contact bearings, d or u each, from the top."""
    return tuple(angular(face, **values) for face in pattern)


def turned_over(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items as they stand when the whole stack is put on the shaft upside down."""
    other: dict[Any, Any] = {"up": "down", "down": "up"}
    return tuple(
        replace(item, wide_face=other.get(item.wide_face)) if isinstance(item, Bearing) else item
        for item in reversed(items)
    )


def settled(built: Stack) -> Stack:
    """Return a stack with what a set needs to be judged: ground to be paired, flush, on a solid mount, line power."""
    items = tuple(
        replace(
            item,
            pairing=item.pairing or "universal",
            stand_out_um=0.0 if item.stand_out_um is None else item.stand_out_um,
            maker=item.maker or "Invented",
            variant=item.variant or "none",
        )
        if isinstance(item, Bearing) and item.type == "angular_contact_ball"
        else item
        for item in built.items
    )
    motor = built.motor
    known: dict[str, Any] = {
        "fixed_speed": True,
        "shaft_warmer_k": 0.0,
        "mount_bore_mm": 0.0,
        "up_thrust_n": 0.0,
        "maximum_down_thrust_n": motor.down_thrust_n,
        "up_thrust_duty": "momentary",
        "maximum_thrust_duty": "momentary",
    }
    if motor.maximum_speed_rpm is not None:
        known["fixed_speed"] = None
    more = {name: value for name, value in known.items() if getattr(motor, name) is None}
    return replace(built, items=items, motor=replace(motor, **more))
