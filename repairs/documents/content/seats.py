"""Seats on paper: what was measured beside its limits, as found and as left, with room for what is still to measure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from repairs.documents.content.reader import Reader, day_words, moment_words
from repairs.measurements import seat_words as words
from repairs.measurements.models import SeatRecord
from repairs.measurements.seat_standing import SeatPair, seat_pairs
from repairs.work_orders.models import Job


def measured_seats(job: Job) -> list[SeatPair]:
    """Return the seats of a job as they stand: one query."""
    return seat_pairs(SeatRecord.objects.of_job(job).standing())


def traveler_rows(pairs: Sequence[SeatPair], reader: Reader) -> list[dict[str, object]]:
    """Return each measured seat in its planes, and a blank line for one that failed and is still to be left right."""
    rows = []
    for pair in pairs:
        for seat in (pair.found, pair.left):
            if seat is not None:
                rows.append(_row(seat, reader))
        if pair.left is None and pair.stands_in_the_way is not None:
            rows.append(
                {**_row(pair.newest, reader), "moment": _("as left"), "planes": ["", "", ""], "verdict": ""}
            )
    return rows


def sizes_measured(pairs: Sequence[SeatPair]) -> set[tuple[str, float]]:
    """Return surface and size of what needs no blank line any more."""
    return {(pair.newest.surface, float(pair.newest.nominal_mm)) for pair in pairs}


def _row(seat: SeatRecord, reader: Reader) -> dict[str, object]:
    planes = [_plane(plane) for plane in words.plane_rows(seat, reader.units)]
    return {
        "seat": words.seat_name(seat),
        "moment": str(seat.get_moment_display()),
        "zone": words.zone_text(seat),
        "low": "" if seat.low_mm is None else words.low_text(seat.low_mm, reader.units),
        "high": "" if seat.high_mm is None else words.high_text(seat.high_mm, reader.units),
        "unit": "",
        "planes": [*planes, "", "", ""][:3],
        "verdict": seat.verdict,
    }


def _plane(plane: Mapping[str, Any]) -> str:
    read = [one["text"] for one in plane["readings"] if one["verdict"] != "none"]
    return " · ".join(read)


def seat_part(job: Job, reader: Reader) -> dict[str, object]:
    """Return the seats for the report; nothing where none was measured, so that older reports stay as they are."""
    rows = [
        _report_row(seat, reader)
        for pair in measured_seats(job)
        for seat in (pair.found, pair.left)
        if seat is not None and seat.is_signed
    ]
    return {"seats": rows} if rows else {}


def _report_row(seat: SeatRecord, reader: Reader) -> dict[str, object]:
    return {
        **_row(seat, reader),
        "zone": words.zone_text(seat, to_customer=True),
        "source": words.source_text(seat, to_customer=True),
        "form": [
            f"{label if index else capfirst(label)} {text}"
            for index, (label, text) in enumerate(words.form_rows(seat, reader.units)[:2])
        ],
        "why": " ".join(words.reason_sentences(seat, reader.units)) if seat.verdict != "pass" else "",
        "instrument": seat.instrument,
        "by": seat.signed_name,
        "at": moment_words(seat.signed_at),
        "accepted": _accepted(seat),
    }


def _accepted(seat: SeatRecord) -> str:
    if seat.accepted_at is None:
        return ""
    return _("Used as measured; accepted by the shop foreman on {day}").format(
        day=day_words(seat.accepted_at)
    )
