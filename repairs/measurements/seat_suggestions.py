"""The seats that a recorded stack implies: what there is to measure, before anybody has measured it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from bearings.public import Surface
from repairs.measurements.models import SeatPlace
from repairs.people.models import User
from repairs.work_orders.hiding import hidden_from
from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import Job, StackRecord, Stage

_SIZES: tuple[tuple[Surface, str], ...] = (("bore", "bore_mm"), ("od", "outside_diameter_mm"))


@dataclass(frozen=True, slots=True)
class SuggestedSeat:
    """One seat: of which bearings, where, how large."""

    place: str
    surface: Surface
    nominal_mm: Decimal
    bearing: Mapping[str, Any]

    @property
    def key(self) -> str:
        return f"{self.bearing['ref']}-{self.surface}"


def suggested_seats(job: Job, reader: User) -> list[SuggestedSeat]:
    """Return the seats of the stack as it was found, else of the specified one if this person may see it."""
    newest = {record.stage: record for record in job.stack_records.order_by("revision")}
    record = newest.get(Stage.AS_FOUND)
    if (record is None or not record.items) and not hidden_from(reader, job, Stage.SPECIFIED):
        record = newest.get(Stage.SPECIFIED)
    return seats_of(record) if record is not None else []


def seats_of(record: StackRecord) -> list[SuggestedSeat]:
    """Return the seats of a stack and its guides; bearings of one size share theirs."""
    shared: dict[tuple[Surface, Decimal, str], list[tuple[str, dict[str, object]]]] = {}
    in_stack = [(ref, entry["data"]) for ref, entry in refs_of(record.items)]
    for ref, data in in_stack:
        for surface, size in _sizes(data):
            shared.setdefault((surface, size, str(data.get("type", ""))), []).append((ref, data))
    found = [
        SuggestedSeat(
            place=SeatPlace.MOUNT if surface == "bore" else SeatPlace.HOUSING_THRUST,
            surface=surface,
            nominal_mm=size,
            bearing=_bearing(_together(ref for ref, _data in rows), rows[0][1]),
        )
        for (surface, size, _kind), rows in shared.items()
    ]
    for number, entry in enumerate(record.guides, 1):
        for surface, size in _sizes(entry["data"]):
            place = SeatPlace.SHAFT_OTHER if surface == "bore" else SeatPlace.HOUSING_OTHER
            found.append(
                SuggestedSeat(
                    place=place,
                    surface=surface,
                    nominal_mm=size,
                    bearing=_bearing(f"g{number}", entry["data"]),
                )
            )
    return found


def _sizes(data: Mapping[str, Any]) -> list[tuple[Surface, Decimal]]:
    if "type" not in data:
        return []
    return [(surface, Decimal(str(data[field]))) for surface, field in _SIZES if data.get(field)]


def _together(refs: Iterable[str]) -> str:
    """Write refs short: 1–3 for three neighbours, else each of them."""
    numbers = [int(ref) for ref in refs]
    first, last = numbers[0], numbers[-1]
    if len(numbers) > 1 and numbers == list(range(first, last + 1)):
        return f"{first}–{last}"
    return "+".join(str(number) for number in numbers)[:8]


def _bearing(ref: str, data: Mapping[str, Any]) -> dict[str, object]:
    names = ("designation", "type", "contact_angle_deg", "bore_mm")
    return {"ref": ref, **{name: data[name] for name in names if data.get(name) is not None}}
