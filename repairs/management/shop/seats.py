"""Seats of the invented shop: one found worn and left in its zone after plating, one housing in its zone, one worn."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Final, Literal

from repairs.ledger.services import Actor
from repairs.measurements.models import Reading, SeatPlace
from repairs.measurements.seat_judging import SeatEntry
from repairs.measurements.seat_services import record_seat
from repairs.measurements.seat_suggestions import SuggestedSeat, seats_of
from repairs.work_orders.models import Job, StackRecord, StepKind

WORN: Final = (("99.996", "99.991"), ("99.994", "99.989"), ("100.002", "99.999"))
PLATED: Final = (("100.011", "100.012"), ("100.010", "100.012"), ("100.011", "100.013"))
WORN_HOUSING: Final = (("215.031", "215.044"), ("215.029", "215.041"), ("215.027", "215.036"))
HOUSING: Final = (("215.012", "215.014"), ("215.015", "215.013"), ("215.018", "215.016"))


def _entry(
    seat: SuggestedSeat,
    moment: str,
    typed: tuple[tuple[str, ...], ...],
    gauge: Literal["same", "at_20"],
    **more: Any,
) -> SeatEntry:
    return SeatEntry(
        place=seat.place,
        moment=moment,
        nominal_mm=seat.nominal_mm,
        typed=typed,
        planes_mm=tuple(tuple(Decimal(text) for text in plane) for plane in typed),
        bearing=seat.bearing,
        tolerance_class="Normal",
        gauge=gauge,
        **more,
    )


def measure_seats(actor: Actor, job: Job, found: StackRecord) -> None:
    """Measure the seat on the mount as found and as left, and the housing as found."""
    seats = {seat.place: seat for seat in seats_of(found)}
    measuring, machining = (job.steps.get(kind=kind) for kind in (StepKind.MEASURE, StepKind.MACHINING))
    mount = seats[SeatPlace.MOUNT]
    drawing = {"zone": "k5", "limits_from": "drawing", "limits_source": "4410-12 (invented)"}
    as_found = _entry(
        mount,
        Reading.Moment.AS_FOUND,
        WORN,
        "same",
        instrument="micrometer 7",
        note="bright band, fretted",
        **drawing,
    )
    record_seat(actor=actor, job=job, entry=as_found, step=measuring, sign=True)
    as_left = _entry(
        mount,
        Reading.Moment.AS_LEFT,
        PLATED,
        "same",
        instrument="micrometer 7",
        ring_typed="99.992",
        ring_mm=Decimal("99.992"),
        note="plated and ground",
        **drawing,
    )
    record_seat(actor=actor, job=job, entry=as_left, step=machining, sign=True)
    housing = _entry(
        seats[SeatPlace.HOUSING_THRUST],
        Reading.Moment.AS_FOUND,
        HOUSING,
        "at_20",
        part_c=Decimal("21.5"),
        material="iron",
        instrument="bore gauge 2, ring 215",
    )
    record_seat(actor=actor, job=job, entry=housing, step=measuring, sign=True)


def measure_worn_housing(actor: Actor, job: Job, found: StackRecord) -> None:
    """Measure a housing that nobody has worked on yet, so that it stands in the way of the new stack."""
    seats = {seat.place: seat for seat in seats_of(found)}
    worn = _entry(
        seats[SeatPlace.HOUSING_THRUST],
        Reading.Moment.AS_FOUND,
        WORN_HOUSING,
        "same",
        instrument="bore gauge 2, ring 215",
        note="outer ring has crept",
    )
    record_seat(actor=actor, job=job, entry=worn, step=job.steps.get(kind=StepKind.MEASURE), sign=True)


def measure_good_seats(actor: Actor, job: Job, record: StackRecord) -> None:
    """Measure every seat of a stack as left, each in the middle of a zone of a drawing."""
    for seat in seats_of(record):
        size = seat.nominal_mm
        middle = size + (Decimal("0.010") if seat.surface == "bore" else Decimal("0.015"))
        typed = ((f"{middle:.3f}", f"{middle:.3f}"),) * 3
        zone = "k5" if seat.surface == "bore" else "H6"
        entry = _entry(
            seat, Reading.Moment.AS_LEFT, typed, "same", instrument="micrometer 7", zone=zone,
            limits_from="drawing", limits_source="4410-12 (invented)",
        )  # fmt: skip
        step = job.steps.get(kind=StepKind.MEASURE)
        record_seat(actor=actor, job=job, entry=entry, step=step, sign=True)
