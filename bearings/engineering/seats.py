"""Verdict on a measured seat: every reading in its zone, then out-of-round and taper within half of it.

Sizes are decimal numbers as they were read; comparisons are made with whole fractions, so that neither a division nor
a correction for warmth can move a reading across a limit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final, Literal

SeatVerdict = Literal["pass", "fail", "not_checked"]
ReadingVerdict = Literal["in", "below", "above", "not_checked", "none"]
# Why a verdict is what it is, the heaviest first.
SeatReason = Literal[
    "below",
    "above",
    "out_of_round",
    "taper",
    "no_readings",
    "planes",
    "angles",
    "zone",
    "temperature",
    "in_zone",
]
Gauge = Literal["same", "at_20", "unknown"]

PLANES: Final = 3
ANGLES: Final = 2
# Part of the zone that out-of-round and taper may each take up: common practice, no source.
FORM_SHARE: Final = Fraction(1, 2)
# Expansion per kelvin: common practice, no source. [1/K]
EXPANSION: Final[dict[str, Decimal]] = {"steel": Decimal("0.0000115"), "iron": Decimal("0.0000105")}
REFERENCE_C: Final = Decimal(20)
_PLACES: Final = Decimal("0.000001")


@dataclass(frozen=True, slots=True, kw_only=True)
class Warmth:
    """How warm part and gauge were.

    ``same``: of one material and equally warm, nothing to correct. ``at_20``: the gauge stood at 20 °C, so the part's
    temperature corrects the reading. ``unknown``: nobody said, so nothing passes.
    """

    gauge: Gauge = "unknown"
    part_c: Decimal | None = None
    material: str = "steel"

    @property
    def factor(self) -> Fraction | None:
        """How much larger the part reads than it is at 20 °C; None while that is not known."""
        if self.gauge == "same":
            return Fraction(1)
        if self.gauge == "unknown" or self.part_c is None or self.material not in EXPANSION:
            return None
        return 1 + Fraction(EXPANSION[self.material]) * Fraction(self.part_c - REFERENCE_C)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneResult:
    """One plane of a seat: sizes at 20 °C in the order of the angles, None where nothing was read. [mm]"""

    sizes_mm: tuple[Decimal | None, ...]
    verdicts: tuple[ReadingVerdict, ...]
    mean_mm: Decimal | None
    out_of_round_mm: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatResult:
    """What the readings of a seat say. Form errors are differences of diameters. [mm]

    ``short_planes`` numbers the planes, from 1, that have fewer than two readings.
    """

    verdict: SeatVerdict
    reasons: tuple[SeatReason, ...]
    planes: tuple[PlaneResult, ...]
    short_planes: tuple[int, ...]
    allowed_form_mm: Decimal | None
    smallest_mm: Decimal | None = None
    largest_mm: Decimal | None = None
    mean_mm: Decimal | None = None
    out_of_round_mm: Decimal | None = None
    taper_mm: Decimal | None = None


def _decimal(value: Fraction) -> Decimal:
    """Return a fraction of millimetres to the nanometre, for the eye."""
    return (Decimal(value.numerator) / Decimal(value.denominator)).quantize(_PLACES)


def _mean(values: Sequence[Fraction]) -> Fraction:
    return sum(values, Fraction(0)) / len(values)


def judge_seat(
    planes: Sequence[Sequence[Decimal | None]],
    low_mm: Decimal | None,
    high_mm: Decimal | None,
    *,
    warmth: Warmth,
) -> SeatResult:
    """Judge a seat from its readings, plane by plane.

    Parameters
    ----------
    planes : sequence of sequences of Decimal
        Readings at two angles or more in three planes or more; None where nothing was read. [mm]
    low_mm, high_mm : Decimal
        Smallest and largest accepted size at 20 °C; None where no zone is known. [mm]
    warmth : Warmth
        How warm part and gauge were. [-]

    A reading out of the zone fails before form does, and both before anything that is missing: more readings mend
    neither. What is incomplete or unknown is "not checked", never good. Three planes, two angles and half the zone for
    form are common practice, no source.
    """
    factor = warmth.factor
    sizes = [
        [None if reading is None else Fraction(reading) / (factor or 1) for reading in plane]
        for plane in planes
    ]
    read = [[size for size in plane if size is not None] for plane in sizes]
    limits = None if low_mm is None or high_mm is None else (Fraction(low_mm), Fraction(high_mm))
    allowed = None if limits is None else (limits[1] - limits[0]) * FORM_SHARE
    out_of_round = max((max(plane) - min(plane) for plane in read if plane), default=None)
    means = [_mean(plane) for plane in read if plane]
    taper = max(means) - min(means) if len(means) > 1 else None
    every = [size for plane in read for size in plane]
    reasons = _faults(every, limits, allowed, out_of_round, taper)
    verdict: SeatVerdict = "fail" if reasons else "pass"
    lacking = _lacking(read, limits is None, factor is None)
    if lacking and not reasons:
        verdict = "not_checked"
    return SeatResult(
        verdict=verdict,
        reasons=(*reasons, *lacking) or ("in_zone",),
        planes=tuple(_plane(plane, limits) for plane in sizes),
        short_planes=tuple(number for number, plane in enumerate(read, 1) if len(plane) < ANGLES),
        allowed_form_mm=None if allowed is None else _decimal(allowed),
        smallest_mm=_decimal(min(every)) if every else None,
        largest_mm=_decimal(max(every)) if every else None,
        mean_mm=_decimal(_mean(every)) if every else None,
        out_of_round_mm=None if out_of_round is None else _decimal(out_of_round),
        taper_mm=None if taper is None else _decimal(taper),
    )


def _faults(
    every: Sequence[Fraction],
    limits: tuple[Fraction, Fraction] | None,
    allowed: Fraction | None,
    out_of_round: Fraction | None,
    taper: Fraction | None,
) -> tuple[SeatReason, ...]:
    """Return what is certainly wrong, the heaviest first."""
    if limits is None or allowed is None or not every:
        return ()
    found: list[SeatReason] = []
    if min(every) < limits[0]:
        found.append("below")
    if max(every) > limits[1]:
        found.append("above")
    if out_of_round is not None and out_of_round > allowed:
        found.append("out_of_round")
    if taper is not None and taper > allowed:
        found.append("taper")
    return tuple(found)


def _lacking(
    read: Sequence[Sequence[Fraction]], no_zone: bool, temperature_unknown: bool
) -> tuple[SeatReason, ...]:
    """Return what is missing for a verdict."""
    found: list[SeatReason] = []
    begun = [plane for plane in read if plane]
    if not begun:
        found.append("no_readings")
    else:
        if len(begun) < PLANES:
            found.append("planes")
        if any(len(plane) < ANGLES for plane in begun):
            found.append("angles")
    if no_zone:
        found.append("zone")
    if temperature_unknown:
        found.append("temperature")
    return tuple(found)


def _plane(sizes: Sequence[Fraction | None], limits: tuple[Fraction, Fraction] | None) -> PlaneResult:
    read = [size for size in sizes if size is not None]
    return PlaneResult(
        sizes_mm=tuple(None if size is None else _decimal(size) for size in sizes),
        verdicts=tuple(_reading_verdict(size, limits) for size in sizes),
        mean_mm=_decimal(_mean(read)) if read else None,
        out_of_round_mm=_decimal(max(read) - min(read)) if read else None,
    )


def _reading_verdict(size: Fraction | None, limits: tuple[Fraction, Fraction] | None) -> ReadingVerdict:
    if size is None:
        return "none"
    if limits is None:
        return "not_checked"
    if size < limits[0]:
        return "below"
    return "above" if size > limits[1] else "in"
