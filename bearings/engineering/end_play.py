"""End play of a stack of opposed angular contact bearings, and what a gauge on its shaft reads."""

from __future__ import annotations

from typing import Final, NamedTuple

from bearings.engineering.arrangement import Mount
from bearings.engineering.quantities import Bearing
from bearings.engineering.rising_angle import RisingContact, settled
from bearings.engineering.sharing import compliance

SOURCE: Final = "geometry: the least gap of each direction"
# Pull and push by hand or a light jack, beyond the rotor's weight (common practice, no source).
GAUGE_FORCE_N: Final = 500.0


class Gauge(NamedTuple):
    """What a gauge on the shaft reads when it is pulled and pushed with this force, its weight taken off."""

    force_n: float
    reading_um: float


def overlap_mm(bearing: Bearing) -> float | None:
    """Return the overlap of one bearing by the first model; None where its preload has no known approach."""
    overlap = (bearing.stand_out_um or 0.0) / 1000
    if not bearing.pair_preload_n:
        return overlap
    c = compliance(bearing)
    return None if c is None else overlap + c * float(bearing.pair_preload_n ** (2 / 3))


def end_play_asked(mount: Mount) -> bool:
    """Whether the stack is opposed, of angular contact bearings alone, and preload or stand-out of one is given."""
    return (
        mount.opposed
        and not mount.unfaced
        and not mount.both_ways
        and all(one.type == "angular_contact_ball" and not one.on_springs for _, one in mount.one_way)
        and any(one.stand_out_um is not None or one.pair_preload_n is not None for _, one in mount.one_way)
    )


def end_play_mm(overlaps: list[tuple[int, float]]) -> float:
    """Return the play from the direction (+1 down, -1 up) and overlap of each bearing; negative is preloaded."""
    down = max(overlap for sign, overlap in overlaps if sign > 0)
    up = max(overlap for sign, overlap in overlaps if sign < 0)
    return -(down + up)


def end_play_um(mount: Mount) -> float | None:
    """Return the end play of a stack in micrometres; None where it was not asked or is not known."""
    if not end_play_asked(mount):
        return None
    overlaps = []
    for _, one in mount.one_way:
        overlap = overlap_mm(one)
        if overlap is None:
            return None
        overlaps.append((1 if one.wide_face == "down" else -1, overlap))
    return end_play_mm(overlaps) * 1000


def gauge_of(contacts: tuple[RisingContact, ...], force_n: float = GAUGE_FORCE_N) -> Gauge | None:
    """Return the gauge reading under a pull and a push, by the second model; None without bearings both ways."""
    if {one.sign for one in contacts} != {1, -1}:
        return None
    reading = settled(contacts, force_n) - settled(contacts, -force_n)
    return Gauge(force_n, reading * 1000)
