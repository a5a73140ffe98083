"""Readings on paper: seats in their planes with room to write, everything else line by line."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Final, NotRequired, TypedDict

from django.utils.translation import gettext as _

from bearings.public import FitError, plain, proposed_zone, zone_limits
from repairs.documents.content.reader import Reader, day_words, decimals_of, moment_words, number_words
from repairs.measurements.models import Reading, RunConcession
from repairs.measurements.seat_words import high_text, low_text
from repairs.work_orders.models import Job, StackRecord

PLANE: Final = re.compile(r"^(?P<seat>.+?)[,;:]?\s+plane\s*(?P<plane>[1-3])$", re.IGNORECASE)


class SeatLine(TypedDict):
    """One seat in its three planes; a blank one is there to write in."""

    seat: str
    moment: str
    zone: str
    low: str
    high: str
    unit: str
    planes: list[str]
    verdict: NotRequired[str]


BLANK_SEAT: Final[SeatLine] = {
    "seat": "",
    "moment": "",
    "zone": "",
    "low": "",
    "high": "",
    "unit": "",
    "planes": ["", "", ""],
    "verdict": "",
}


def standing_readings(job: Job) -> list[Reading]:
    """Return the readings that no later one corrects: one query."""
    return list(Reading.objects.of_job(job).standing().select_related("judgment"))


def reading_rows(readings: Iterable[Reading]) -> list[dict[str, str]]:
    """Return readings with limit, source and verdict."""
    return [
        {
            "quantity": reading.quantity,
            "moment": str(reading.get_moment_display()),
            "value": number_words(reading.value, decimals_of(reading.limit_low, reading.limit_high)),
            "unit": reading.unit,
            "limit": limit_words(reading),
            "source": reading.limit_source,
            "verdict": reading.verdict,
            **_judged(reading),
            "instrument": reading.instrument,
            "note": reading.note,
            "by": reading.person_name,
            "at": moment_words(reading.at),
        }
        for reading in readings
    ]


def _judged(reading: Reading) -> dict[str, str]:
    words = judged_words(reading)
    return {"judged": words} if words else {}


def judged_words(reading: Reading) -> str:
    """Say which lead judged a value that no limit stood for, and why it is good enough; nothing of other readings."""
    judgment = getattr(reading, "judgment", None)
    if judgment is None:
        return ""
    words = _("No limit entered. Accepted by {name}: {reason}")
    return words.format(name=judgment.person_name, reason=judgment.reason)


def concession_part(job: Job) -> dict[str, list[str]]:
    """Say which run the customer did without, why, and who agreed to it, when and how.

    A job without one has no such part, so that papers issued before stay current.
    """
    words = _("{step}: not run. {reason} Agreed by {who}, {day}, {how}.")
    rows = RunConcession.objects.filter(step__job=job).select_related("step").order_by("step__position")
    told = [
        words.format(
            step=row.step.title,
            reason=sentence(row.reason),
            who=row.agreed_by,
            day=day_words(row.agreed_on),
            how=row.agreed_how,
        )
        for row in rows
    ]
    return {"concessions": told} if told else {}


def sentence(text: str) -> str:
    """Return a typed reason with its full stop."""
    return text if text.endswith((".", "!", "?")) else f"{text}."


def customer_rows(readings: Iterable[Reading]) -> list[dict[str, str]]:
    """Return readings for the report, without the notes that the shop wrote for itself."""
    return [{name: text for name, text in row.items() if name != "note"} for row in reading_rows(readings)]


def limit_words(reading: Reading) -> str:
    """Return the limits of a reading in words."""
    low, high = number_words(reading.limit_low), number_words(reading.limit_high)
    if low and high:
        return _("{low} to {high}").format(low=low, high=high)
    if low:
        return _("min. {low}").format(low=low)
    return _("max. {high}").format(high=high) if high else ""


def seat_rows(
    readings: Iterable[Reading],
    record: StackRecord | None,
    reader: Reader,
    measured: Iterable[tuple[str, float]] = (),
) -> list[SeatLine]:
    """Return the seats: measured ones in their three planes, then those of the stack, blank, to write in.

    ``measured`` names surface and size of those that have a sheet of their own and need no blank line.
    """
    seats: dict[tuple[str, str], SeatLine] = {}
    verdicts: dict[tuple[str, str], list[str]] = {}
    for reading in readings:
        if (match := PLANE.match(reading.quantity)) is None:
            continue
        key = (match["seat"], reading.moment)
        row = seats.setdefault(key, _seat(match["seat"], str(reading.get_moment_display()), reading))
        decimals = decimals_of(reading.limit_low, reading.limit_high)
        row["planes"][int(match["plane"]) - 1] = number_words(reading.value, decimals)
        verdicts.setdefault(key, []).append(reading.verdict)
    for key, row in seats.items():
        row["verdict"] = _seat_verdict(row["planes"], verdicts[key])
    return [*seats.values(), *_blank_seats(record, reader, set(measured))]


def _seat(name: str, moment: str, reading: Reading) -> SeatLine:
    return {
        "seat": name,
        "moment": moment,
        "zone": reading.limit_source,
        "low": number_words(reading.limit_low),
        "high": number_words(reading.limit_high),
        "unit": reading.unit,
        "planes": ["", "", ""],
    }


def _seat_verdict(planes: list[str], verdicts: list[str]) -> str:
    """A seat passes when all three planes do; one that fails fails it; until then nothing is said."""
    if "fail" in verdicts:
        return "fail"
    if not all(planes):
        return ""
    return "pass" if set(verdicts) == {"pass"} else "not_checked"


def _blank_seats(
    record: StackRecord | None, reader: Reader, measured: set[tuple[str, float]]
) -> list[SeatLine]:
    """Name the seats that the stack implies, with the limits that the common rule proposes, and room to write."""
    seats: dict[tuple[str, float], str] = {}
    for entry in record.items if record else []:
        data = entry["data"]
        for surface, field in (("bore", "bore_mm"), ("od", "outside_diameter_mm")):
            if data.get(field) and (surface, float(data[field])) not in measured:
                seats.setdefault((surface, float(data[field])), str(data.get("type", "")))
    rows = [_proposed_seat(surface, size, kind, reader) for (surface, size), kind in sorted(seats.items())]
    return [*rows, BLANK_SEAT, BLANK_SEAT]


def _proposed_seat(surface: str, size_mm: float, kind: str, reader: Reader) -> SeatLine:
    """Return a seat's row; where the rule or its table gives no limit, zone and limits stay for the hand to write."""
    name = _("shaft fit, {size}") if surface == "bore" else _("housing fit, {size}")
    # A bearing is named by its metric size in every shop; limits are in the reader's unit, as the gauge reads.
    row: SeatLine = {**BLANK_SEAT, "seat": name.format(size=f"Ø\u00a0{plain(size_mm)}\u00a0mm")}
    zone = proposed_zone(kind, "bore" if surface == "bore" else "od", size_mm)
    if zone is None:
        return row
    nominal = Decimal(str(size_mm))
    try:
        low, high = zone_limits(zone, nominal).sizes_mm(nominal)
    except FitError:
        return row
    rule = _("{zone} by rule; drawing governs").format(zone=zone)
    return {**row, "zone": rule, "low": low_text(low, reader.units), "high": high_text(high, reader.units)}


def without_planes(readings: Iterable[Reading]) -> list[Reading]:
    """Return the readings that do not belong to a seat's planes."""
    return [reading for reading in readings if PLANE.match(reading.quantity) is None]
