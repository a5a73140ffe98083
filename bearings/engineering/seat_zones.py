"""Which zone a seat is held against: the drawing's, else the order's, else the common rule's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from bearings.engineering.fits import Surface

ZoneOrigin = Literal["drawing", "order", "rule", "none"]

# Up to and including this bore the zone holds; the last one has no end. Shaft turning, normal load.
_SHAFT_ZONES: Final[dict[str, tuple[tuple[int | None, str], ...]]] = {
    "angular_contact_ball": ((18, "j5"), (None, "k5")),
    "deep_groove_ball": ((18, "j5"), (None, "k5")),
    "cylindrical_roller": ((40, "k5"), (100, "m5"), (140, "m6"), (320, "n6"), (None, "p6")),
    "spherical_roller_thrust": ((200, "k6"), (400, "m6"), (None, "n6")),
}


def proposed_zone(bearing_type: str, surface: Surface, size_mm: float) -> str | None:
    """Return the zone that the common rule gives a seat, where no drawing says another; None where it gives none.

    Parameters
    ----------
    bearing_type : str
        A type of the stack file. [-]
    surface : str
        ``bore`` for the shaft's or mount's seat, ``od`` for the housing's. [-]
    size_mm : float
        Nominal size. [mm]

    Source: ANSI/ABMA 7 (from memory, unverified); a drawing always comes first.
    The housing of a spherical roller thrust bearing must not touch it radially, so it has no zone.

    >>> proposed_zone("angular_contact_ball", "bore", 100), proposed_zone("angular_contact_ball", "od", 215)
    ('k5', 'H6')
    """
    if bearing_type not in _SHAFT_ZONES:
        return None
    if surface == "od":
        return None if bearing_type == "spherical_roller_thrust" else "H6"
    for end, zone in _SHAFT_ZONES[bearing_type]:
        if end is None or size_mm <= end:
            return zone
    return None


@dataclass(frozen=True, slots=True)
class ZoneChoice:
    """The zone to use and who says so; an empty zone: nobody does."""

    zone: str
    origin: ZoneOrigin


def zone_to_use(
    *, drawing: str = "", order: str = "", bearing_type: str, surface: Surface, size_mm: float
) -> ZoneChoice:
    """Return the zone that a seat is held against.

    Parameters
    ----------
    drawing, order : str
        Zone on the machine's drawing; zone that the customer or the purchase order asks for. Empty: none. [-]
    bearing_type : str
        A type of the stack file, empty where it is not known. [-]
    surface : str
        ``bore`` or ``od``. [-]
    size_mm : float
        Nominal size. [mm]

    >>> zone_to_use(drawing="m5", bearing_type="angular_contact_ball", surface="bore", size_mm=100)
    ZoneChoice(zone='m5', origin='drawing')
    """
    if drawing:
        return ZoneChoice(drawing, "drawing")
    if order:
        return ZoneChoice(order, "order")
    ruled = proposed_zone(bearing_type, surface, size_mm)
    return ZoneChoice(ruled, "rule") if ruled else ZoneChoice("", "none")
