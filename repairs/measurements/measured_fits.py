"""Fits of a job's inner rings as its seats were measured, for the checker: nobody types them a second time."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any, Final

from repairs.measurements.models import Reading, SeatRecord
from repairs.work_orders.judging import add_measured, refs_of
from repairs.work_orders.models import StackRecord, Stage

_RUN: Final = re.compile(r"(\d+)–(\d+)")
# A bore that is another one has another seat; sizes are typed to a thousandth.
SAME_SIZE_MM: Final = Decimal("0.001")


def refs_of_seat(text: str) -> tuple[str, ...]:
    """Return the bearings of a seat as its record names them: 1–3, 1+3, 2, g1."""
    if run := _RUN.fullmatch(text):
        return tuple(str(number) for number in range(int(run[1]), int(run[2]) + 1))
    return tuple(part for part in text.split("+") if part)


def interference_um(seat: SeatRecord) -> Decimal | None:
    """Return the fit at a measured seat, the middle where the ring is known by its tolerance; None where not known."""
    kept = (seat.figures or {}).get("fits") or {}
    if kept.get("measured") is not None:
        return Decimal(kept["measured"])
    if kept.get("seat_measured"):
        tightest, loosest = (Decimal(text) for text in kept["seat_measured"])
        return (tightest + loosest) / 2
    return None


def measured_fits(record: StackRecord) -> dict[str, dict[str, object]]:
    """Return the measured interference of every bearing and guide of a record by its ref.

    Of a stack as found the seats as found count, of any other the newest of each seat. Only signed seats do.
    """
    bores = {ref: Decimal(str(data["bore_mm"])) for ref, data in _rings(record) if data.get("bore_mm")}
    found: dict[str, list[Decimal]] = {}
    for seat in _newest(record):
        fit = interference_um(seat)
        if fit is None:
            continue
        for ref in refs_of_seat(seat.bearing_ref):
            if ref in bores and abs(bores[ref] - seat.nominal_mm) <= SAME_SIZE_MM:
                found.setdefault(ref, []).append(fit)
    return {ref: {"fit_interference_um": float(sum(fits) / len(fits))} for ref, fits in found.items()}


def _rings(record: StackRecord) -> Iterator[tuple[str, Mapping[str, Any]]]:
    yield from ((ref, entry["data"]) for ref, entry in refs_of(record.items) if "type" in entry["data"])
    yield from ((f"g{number}", entry["data"]) for number, entry in enumerate(record.guides, 1))


def _newest(record: StackRecord) -> list[SeatRecord]:
    """Return the newest signed record of each seat on a shaft; they may be there already."""
    rows = list(record.job.seats.all())
    corrected = {seat.replaces_id for seat in rows}
    found = [
        seat
        for seat in rows
        if seat.pk not in corrected
        and seat.signed_at is not None
        and seat.surface == "bore"
        and (record.stage != Stage.AS_FOUND or seat.moment == Reading.Moment.AS_FOUND)
    ]
    newest: dict[tuple[str, str, str], SeatRecord] = {}
    for seat in sorted(found, key=lambda one: (one.moment == Reading.Moment.AS_LEFT, one.pk)):
        newest[seat.key] = seat
    return list(newest.values())


def tell_the_checker() -> None:
    """Let every check of a job's stack count its measured fits."""
    add_measured(measured_fits)
