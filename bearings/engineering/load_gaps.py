"""What is missing where nobody can know what each bearing carries."""

from __future__ import annotations

from typing import Final, NamedTuple

from bearings.engineering.arrangement import Mount, RefBearing
from bearings.engineering.mounted import part_heights_mm
from bearings.engineering.quantities import Bearing, MotorDuty, Part, Stack


class Missing(NamedTuple):
    """A field that is asked for and not entered; ``ref`` names the part it belongs to."""

    field: str
    ref: str | None = None


RATED_SPEED: Final = Missing("motor.rated_speed_rpm")


def speed_gaps(motor: MotorDuty) -> tuple[Missing, ...]:
    """Return the rated speed where it is not known: what turns faster or slower is judged by it alone."""
    return (RATED_SPEED,) if motor.rated_speed_rpm is None else ()


def drive_gaps(motor: MotorDuty) -> tuple[Missing, ...]:
    """Return the rated speed where a thrust at a drive's speeds follows from it, and nothing else tells that thrust."""
    if motor.rated_speed_rpm is not None or motor.fixed_speed is True or motor.down_thrust_n is None:
        return ()
    told = (
        motor.minimum_speed_rpm,
        motor.minimum_speed_down_thrust_n,
        motor.maximum_speed_rpm,
        motor.maximum_speed_down_thrust_n,
    )
    return (RATED_SPEED,) if None in told else ()


def face_gaps(mount: Mount) -> tuple[Missing, ...]:
    """Return the faces that are not known."""
    return tuple(Missing("wide_face", ref) for ref in mount.unfaced)


def load_gaps(stack: Stack, mount: Mount) -> tuple[Missing, ...]:
    """Return the needed fields without which nobody knows what each bearing carries.

    What a ranged field is taken to be changes nothing here: a stack lacks the same at every place of its ranges.
    """
    motor = stack.motor
    gaps = list(face_gaps(mount))
    if motor.down_thrust_n is None:
        gaps.append(Missing("motor.down_thrust_n"))
        if motor.rotor_weight_n is None and motor.mounting == "vertical":
            gaps.append(Missing("motor.rotor_weight_n"))
    if motor.radial_load_n is None and motor.mounting == "horizontal":
        gaps.append(Missing("motor.radial_load_n"))
    angular = [pair for pair in mount.bearings if pair[1].type == "angular_contact_ball"]
    if len(angular) > 1:
        gaps += _set_gaps(stack, mount, angular)
    gaps += [
        Missing("spring_force_n", ref)
        for ref, one in mount.one_way
        if one.on_springs and one.spring_force_n is None and _has_more_springs(one)
    ]
    return tuple(gaps)


def _set_gaps(stack: Stack, mount: Mount, angular: list[RefBearing]) -> list[Missing]:
    gaps: list[Missing] = []
    for ref, one in angular:
        gaps += [
            Missing(name, ref)
            for name in ("contact_angle_deg", "bore_mm", "outside_diameter_mm", "height_mm")
            if getattr(one, name) is None
        ]
        if one.stand_out_um is None:
            if one.pairing is None:
                gaps.append(Missing("pairing", ref))
            gaps.append(Missing("stand_out_um", ref))
        sizes_known = one.bore_mm is not None and one.outside_diameter_mm is not None
        if sizes_known:
            gaps += [
                Missing(name, ref)
                for name in ("ball_count", "ball_diameter_mm")
                if getattr(one, name) is None
            ]
        if one.dynamic_rating_n is None and one.pair_preload_n is None and mount.opposed:
            gaps.append(Missing("dynamic_rating_n", ref))
    return gaps + _part_gaps(stack, mount)


def _part_gaps(stack: Stack, mount: Mount) -> list[Missing]:
    """Heights of parts between two bearings of the set."""
    gaps: list[Missing] = []
    waiting: list[Missing] = []
    seen = False
    for ref, item in zip(mount.refs, stack.items, strict=True):
        if isinstance(item, Part):
            heights = part_heights_mm(item)
            if None in heights:
                waiting.append(Missing("height_mm", ref))
            continue
        if seen:
            gaps += waiting
        seen, waiting = True, []
    return gaps


def _has_more_springs(one: Bearing) -> bool:
    return one.spring_rate_n_per_mm is not None or one.spring_travel_mm is not None
