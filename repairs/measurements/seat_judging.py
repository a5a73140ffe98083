"""From what was measured at a seat to its limits, verdict and fits. Pure: no database, no form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Final, Literal

from django.utils.translation import gettext as _

from bearings.public import (
    FitError,
    FitRange,
    Limits,
    SeatFits,
    SeatResult,
    Surface,
    Warmth,
    is_hole,
    judge_seat,
    ring_limits,
    seat_fits,
    zone_limits,
    zone_to_use,
)
from repairs.measurements.models import SeatRecord
from repairs.work_orders.errors import WorkOrderError

Planes = tuple[tuple[Decimal | None, ...], ...]
Unit = Literal["mm", "in"]
MM_PER_INCH: Final = Decimal("25.4")  # exact by definition


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatEntry:
    """Everything that a person says of a seat. ``typed`` is in ``unit``, or has another unit behind it; the sizes
    beside it are exact millimetres.
    """

    place: str
    moment: str
    nominal_mm: Decimal
    unit: Unit = "mm"
    planes_mm: Planes = ()
    typed: tuple[tuple[str, ...], ...] = ()
    name: str = ""
    bearing: Mapping[str, Any] = field(default_factory=dict)
    tolerance_class: str = ""
    zone: str = ""
    low_mm: Decimal | None = None
    high_mm: Decimal | None = None
    limits_from: str = SeatRecord.LimitsFrom.RULE
    limits_source: str = ""
    instrument: str = ""
    gauge: Literal["same", "at_20", "unknown"] = "unknown"
    part_c: Decimal | None = None
    material: str = "steel"
    ring_typed: str = ""
    ring_mm: Decimal | None = None
    note: str = ""
    confirmed: bool = False
    zeroed: bool = False

    @property
    def surface(self) -> Surface:
        return "od" if self.place.startswith("housing") else "bore"

    @property
    def bearing_type(self) -> str:
        return str(self.bearing.get("type", ""))


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What a seat is held against, and who says so."""

    zone: str
    origin: str
    low_mm: Decimal | None
    high_mm: Decimal | None

    def around(self, nominal_mm: Decimal) -> Limits | None:
        """The limits as deviations from the nominal size."""
        if self.low_mm is None or self.high_mm is None:
            return None
        return Limits(lower_um=(self.low_mm - nominal_mm) * 1000, upper_um=(self.high_mm - nominal_mm) * 1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Limits, verdict and fits of an entry."""

    held: Held
    result: SeatResult
    ring: Limits | None
    fits: SeatFits


def millimetres(value: Decimal, unit: str) -> Decimal:
    """Return a length in millimetres, exactly."""
    return value * MM_PER_INCH if unit == "in" else value


def unit_of_typed(typed: str, sheet: Unit) -> Unit:
    """Return the unit of a reading as it was typed: the one behind it, else the sheet's."""
    behind = typed.rpartition(" ")[2]
    return "mm" if behind == "mm" else "in" if behind == "in" else sheet


def with_its_unit(typed: str, sheet: str) -> str:
    """Return a reading as it was typed with the unit that it was typed in."""
    return typed if typed.endswith((" mm", " in")) else f"{typed} {sheet}"


def limits_of(entry: SeatEntry) -> Held:
    """Return the limits to use: sizes that a drawing or order names, else its zone, else the rule's."""
    origin = entry.limits_from
    if entry.low_mm is not None and entry.high_mm is not None:
        return Held(zone="", origin=origin, low_mm=entry.low_mm, high_mm=entry.high_mm)
    choice = zone_to_use(
        drawing=entry.zone if origin == SeatRecord.LimitsFrom.DRAWING else "",
        order=entry.zone if origin == SeatRecord.LimitsFrom.ORDER else "",
        bearing_type=entry.bearing_type,
        surface=entry.surface,
        size_mm=float(entry.nominal_mm),
    )
    if not choice.zone:
        return Held(zone="", origin="none", low_mm=None, high_mm=None)
    if is_hole(choice.zone) != (entry.surface == "od"):
        raise WorkOrderError(_wrong_letter(entry, choice.zone), "zone")
    try:
        low, high = zone_limits(choice.zone, entry.nominal_mm).sizes_mm(entry.nominal_mm)
    except FitError as error:
        if choice.origin == "rule":
            return Held(zone="", origin="none", low_mm=None, high_mm=None)
        raise WorkOrderError(str(error), error.field) from error
    return Held(zone=choice.zone, origin=choice.origin, low_mm=low, high_mm=high)


def _wrong_letter(entry: SeatEntry, zone: str) -> str:
    if entry.surface == "od":
        return _("{zone} is a shaft's zone. A housing takes a capital letter, such as H6.").format(zone=zone)
    return _("{zone} is a hole's zone. A shaft takes a small letter, such as k5.").format(zone=zone)


def ring_of(entry: SeatEntry) -> Limits | None:
    """Return the limit deviations of the bearing's ring; None while type or class is not known, or no table has it."""
    if not entry.bearing_type or not entry.tolerance_class:
        return None
    try:
        return ring_limits(
            entry.bearing_type, entry.surface, entry.nominal_mm, tolerance_class=entry.tolerance_class
        )
    except FitError:
        return None


def judge_entry(entry: SeatEntry) -> Judged:
    """Judge what was measured; raise WorkOrderError for a zone that cannot be this seat's."""
    held, ring = limits_of(entry), ring_of(entry)
    warmth = Warmth(gauge=entry.gauge, part_c=entry.part_c, material=entry.material)
    result = judge_seat(entry.planes_mm, held.low_mm, held.high_mm, warmth=warmth)
    sizes = None
    known_warmth = warmth.factor is not None
    if known_warmth and result.smallest_mm and result.mean_mm and result.largest_mm:
        sizes = (result.smallest_mm, result.mean_mm, result.largest_mm)
    fits = seat_fits(
        entry.surface,
        entry.nominal_mm,
        zone=held.around(entry.nominal_mm),
        ring=ring,
        seat_mm=sizes,
        ring_mm=entry.ring_mm,
    )
    return Judged(held=held, result=result, ring=ring, fits=fits)


def figures_of(judged: Judged, nominal_mm: Decimal) -> dict[str, object]:
    """Return a judgement as the texts that are kept with the record."""
    result, zone = judged.result, judged.held.around(nominal_mm)
    return {
        "reasons": list(result.reasons),
        "short_planes": list(result.short_planes),
        "planes": [
            {
                "sizes": [_text(size) for size in plane.sizes_mm],
                "verdicts": list(plane.verdicts),
                "mean": _text(plane.mean_mm),
                "out_of_round": _text(plane.out_of_round_mm),
            }
            for plane in result.planes
        ],
        "allowed_form": _text(result.allowed_form_mm),
        "smallest": _text(result.smallest_mm),
        "largest": _text(result.largest_mm),
        "mean": _text(result.mean_mm),
        "out_of_round": _text(result.out_of_round_mm),
        "taper": _text(result.taper_mm),
        "zone_um": None if zone is None else [_text(zone.lower_um), _text(zone.upper_um)],
        "ring_um": None
        if judged.ring is None
        else [_text(judged.ring.lower_um), _text(judged.ring.upper_um)],
        "fits": {
            "by_tolerance": _range_texts(judged.fits.by_tolerance),
            "seat_measured": _range_texts(judged.fits.seat_measured),
            "measured": _text(judged.fits.measured_um),
        },
    }


def fits_of(figures: Mapping[str, Any]) -> SeatFits:
    """Return the fits that were kept with a record."""
    kept = figures["fits"]
    return SeatFits(
        by_tolerance=_range(kept["by_tolerance"]),
        seat_measured=_range(kept["seat_measured"]),
        measured_um=None if kept["measured"] is None else Decimal(kept["measured"]),
    )


def _text(value: Decimal | None) -> str | None:
    if value is None:
        return None
    plain = f"{value:f}"
    return (plain.rstrip("0").rstrip(".") or "0") if "." in plain else plain


def _range_texts(fit: FitRange | None) -> list[str | None] | None:
    return None if fit is None else [_text(fit.tightest_um), _text(fit.loosest_um)]


def _range(texts: list[str] | None) -> FitRange | None:
    return None if texts is None else FitRange(tightest_um=Decimal(texts[0]), loosest_um=Decimal(texts[1]))
