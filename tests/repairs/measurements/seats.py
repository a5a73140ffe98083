"""Seats for tests: what a person says of one, in a few words."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from repairs.measurements.models import Reading, SeatPlace
from repairs.measurements.seat_judging import SeatEntry, millimetres

BEARING = {"ref": "1", "designation": "7320", "type": "angular_contact_ball", "contact_angle_deg": 40}
# 100 k5, ISO 286-2: 100.003 to 100.018
GOOD = (("100.009", "100.011"), ("100.010", "100.012"), ("100.011", "100.013"))
LOW = (("100.001", "100.011"), ("100.010", "100.012"), ("100.011", "100.013"))


def entry(planes: tuple[tuple[str, ...], ...] = GOOD, **fields: Any) -> SeatEntry:
    """A seat of bearing 1 on the mount, 100 k5 by the rule, measured with a gauge as warm as the part."""
    unit = fields.get("unit", "mm")
    return SeatEntry(
        **{
            "place": SeatPlace.MOUNT,
            "moment": Reading.Moment.AS_FOUND,
            "nominal_mm": Decimal(100),
            "typed": planes,
            "planes_mm": tuple(
                tuple(millimetres(Decimal(text), unit) if text else None for text in plane)
                for plane in planes
            ),
            "bearing": BEARING,
            "tolerance_class": "Normal",
            "instrument": "micrometer 7",
            "gauge": "same",
            **fields,
        }
    )
