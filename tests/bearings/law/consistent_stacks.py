"""Random stacks whose every value lies inside the range that stands for it while it is unknown."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any

from bearings.engineering.filling import default_balls
from bearings.engineering.least_load import estimated_factor_n
from bearings.engineering.quantities import Bearing, Guide, Lubrication, MotorDuty, Part, Policy, Stack
from bearings.engineering.ranges import (
    CAGES,
    CONTAMINATION_LEVELS,
    DUTIES,
    METHODS,
)
from bearings.engineering.rating import estimated_fatigue_load_limit


def _motor(random: Random, bore_mm: float, thrust_n: float) -> MotorDuty:
    rated = random.choice([880.0, 1180.0, 1780.0, 3560.0])
    synchronous = rated * random.uniform(1.0, 1.06)
    weight = thrust_n * random.uniform(0.02, 0.5)
    drive: dict[str, Any] = {"fixed_speed": True}
    if random.random() < 0.4:
        drive = {
            "fixed_speed": False,
            "minimum_speed_rpm": rated * random.uniform(0.5, 1.0),
            "maximum_speed_rpm": random.uniform(rated, synchronous * 1.2),
        }
    ratchet = random.random() < 0.5
    return MotorDuty(
        rated_speed_rpm=rated,
        synchronous_speed_rpm=synchronous,
        down_thrust_n=thrust_n,
        rotor_weight_n=weight,
        radial_load_n=(thrust_n + weight) * random.uniform(0, 0.05),
        up_thrust_n=thrust_n * random.uniform(0, 0.3),
        maximum_down_thrust_n=thrust_n * random.uniform(1.0, 1.5),
        up_thrust_duty=random.choice(DUTIES),
        maximum_thrust_duty=random.choice(DUTIES),
        non_reverse=ratchet,
        reverse_speed_rpm=None if ratchet else synchronous * random.uniform(1.2, 1.5),
        shaft_warmer_k=random.uniform(0, 20),
        mount_bore_mm=bore_mm * random.uniform(0, 0.75),
        required_l10h=random.choice([None, 20_000.0, 60_000.0]),
        **drive,
    )


def _oil(random: Random) -> Lubrication:
    given = random.random() < 0.4
    return Lubrication(
        method=random.choice(METHODS),
        iso_vg=random.choice([32.0, 68.0, 150.0]),
        viscosity_index=random.uniform(85, 110),
        temperature_c=random.uniform(55, 85),
        contamination=random.choice(CONTAMINATION_LEVELS),
        ambient_c=random.uniform(20, 40),
        external_heat_w=random.uniform(0, 50),
        heat_removed_w=random.uniform(500, 5_000) if given else None,
        oil_flow_l_min=random.uniform(1, 10),
        oil_rise_k=random.uniform(3, 15),
    )


def _ball_bearing(random: Random, face: str, kind: dict[str, Any], preload: float, offset: float) -> Bearing:
    return Bearing(
        type="angular_contact_ball",
        wide_face="up" if face == "u" else "down",
        stand_out_um=offset,
        pair_preload_n=preload,
        fit_interference_um=random.uniform(0, 0.4) * kind["bore_mm"],
        cage_material=random.choice(CAGES),
        stabilised_to_c=random.uniform(120, 150),
        **kind,
    )


def _filled(random: Random, one: Bearing) -> Bearing:
    balls = default_balls(one)
    factor, limit = estimated_factor_n(one), estimated_fatigue_load_limit(one)
    assert balls is not None
    assert factor is not None
    assert limit is not None
    # Balls have no range: an assumed value is what the program takes.
    return replace(
        one,
        ball_count=balls[0],
        ball_diameter_mm=balls[1],
        minimum_load_factor_n=factor * random.uniform(0.5, 2),
        fatigue_load_limit_n=limit * random.uniform(0.8, 1.3),
    )


def ball_set(random: Random) -> Stack:
    """Return a stack of one to four like angular contact bearings, as ground to be paired."""
    bore = random.choice([60.0, 80.0, 100.0, 120.0])
    outside = {60.0: 130.0, 80.0: 170.0, 100.0: 215.0, 120.0: 260.0}[bore]
    rating = random.uniform(0.6, 1.4) * 216_000 * (bore / 100) ** 2
    pairing = random.choice(["universal", "universal", "matched", "single"])
    kind: dict[str, Any] = {
        "designation": f"73{int(bore / 5):02d}",
        "maker": "Invented",
        "variant": "none",
        "pairing": pairing,
        "set_id": "S1" if pairing == "matched" else None,
        "bore_mm": bore,
        "outside_diameter_mm": outside,
        "height_mm": bore * 0.47,
        "contact_angle_deg": random.choice([25.0, 40.0]),
        "dynamic_rating_n": rating,
        "static_rating_n": rating * random.uniform(0.8, 1.1),
        "limiting_speed_rpm": random.choice([1_500.0, 2_700.0, 5_000.0]),
        "grease_speed_rpm": random.choice([1_400.0, 2_500.0, 4_800.0]),
        "oil_speed_rpm": random.choice([None, 3_000.0]),
        "reference_speed_rpm": random.choice([None, 1_500.0, 4_000.0]),
    }
    faces = random.choice(["d", "dd", "du", "ud", "ddu", "duu", "ddd", "uu", "ddud", "dduu"])
    opposed = "u" in faces and "d" in faces
    preload = random.uniform(0, 0.012) * rating if opposed else 0.0
    items: list[Bearing | Part] = [Part(kind="shoulder", ring="inner")]
    for number, face in enumerate(faces):
        if number and random.random() < 0.2:
            height = random.uniform(5, 20)
            items.append(Part(kind="spacer", ring="both", inner_height_mm=height, outer_height_mm=height))
        items.append(_filled(random, _ball_bearing(random, face, kind, preload, 0.0)))
    items.append(Part(kind="lock_nut", ring="inner"))
    thrust = rating * random.choice([0.03, 0.1, 0.2, 0.5])
    return Stack(
        motor=_motor(random, bore, thrust),
        lubrication=_oil(random),
        policy=Policy(),
        items=tuple(items),
        guides=_guides(random, thrust),
    )


def _guides(random: Random, thrust_n: float) -> tuple[Guide, ...]:
    if random.random() < 0.5:
        return ()
    carries = random.choice(["none", "up", "both"])
    return (
        Guide(
            bearing=Bearing(
                type="deep_groove_ball",
                designation="6318",
                bore_mm=90.0,
                outside_diameter_mm=190.0,
                height_mm=43.0,
                dynamic_rating_n=143_000.0,
                static_rating_n=107_000.0,
                limiting_speed_rpm=random.choice([1_500.0, 4_500.0]),
                grease_speed_rpm=4_000.0,
                oil_speed_rpm=4_400.0,
            ),
            carries=carries,  # type: ignore[arg-type]
            end_play_um=random.choice([0.0, 500.0]),
            radial_load_n=thrust_n * random.uniform(0, 0.02),
        ),
    )


def thrust_roller(random: Random) -> Stack:
    """Return a spherical roller thrust bearing, on springs or not, with a guide or none."""
    rating = random.uniform(0.5, 2) * 600_000
    springs: dict[str, Any] = {}
    thrust = rating * random.choice([0.02, 0.1, 0.3])
    if random.random() < 0.5:
        springs = {
            "spring_force_n": thrust * random.uniform(0.05, 0.6),
            "spring_rate_n_per_mm": random.uniform(500, 5_000),
            "spring_travel_mm": random.uniform(0.5, 4),
        }
    one = Bearing(
        type="spherical_roller_thrust",
        wide_face=random.choice(["down", "down", "up"]),  # type: ignore[arg-type]
        designation="29320",
        maker="Invented",
        variant="none",
        bore_mm=100.0,
        outside_diameter_mm=170.0,
        height_mm=42.0,
        dynamic_rating_n=rating,
        static_rating_n=rating * 2.2,
        limiting_speed_rpm=random.choice([1_500.0, 3_000.0]),
        reference_speed_rpm=random.choice([None, 2_000.0]),
        oil_speed_rpm=random.choice([None, 2_500.0]),
        grease_speed_rpm=random.choice([1_200.0, 2_500.0]),
        cage_material=random.choice(CAGES),  # type: ignore[arg-type]
        stabilised_to_c=random.uniform(120, 150),
        fatigue_load_limit_n=None,
        **springs,
    )
    limit = estimated_fatigue_load_limit(one)
    assert limit is not None
    one = replace(one, fatigue_load_limit_n=limit * random.uniform(0.8, 1.3))
    return Stack(
        motor=_motor(random, 100.0, thrust),
        lubrication=_oil(random),
        items=(Part(kind="shoulder", ring="inner"), one),
        guides=_guides(random, thrust),
    )


def consistent_stack(random: Random) -> Stack:
    """Return one random stack."""
    return ball_set(random) if random.random() < 0.75 else thrust_roller(random)
