"""A seat in words and in the reader's units: name, limits, verdict and its reasons."""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import Final, TypedDict

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Figures, Units, exact
from repairs.measurements.models import SeatRecord
from repairs.measurements.seat_judging import MM_PER_INCH

NO_BREAK: Final = "\u00a0"
DASH: Final = "–"
INCH_PLACES: Final = Decimal("0.00001")
MM_PLACES: Final = Decimal("0.0001")
# Three planes of a seat, and the angles of a reading.
PLANE_NAMES: Final[tuple[str | Promise, ...]] = (
    gettext_lazy("1 · near the shoulder"),
    gettext_lazy("2 · middle"),
    gettext_lazy("3 · far end"),
)
ANGLES: Final[dict[int, tuple[int, ...]]] = {2: (0, 90), 4: (0, 45, 90, 135)}
RULE_SOURCE: Final = gettext_lazy(
    "common rule: shaft turning, normal load; ANSI/ABMA 7 (from memory, unverified); a drawing comes first"
)


def number_text(millimetres: Decimal | None, units: Units, rounding: str = ROUND_HALF_EVEN) -> str:
    """Return a size without its unit: to a ten-thousandth in millimetres, to a hundred-thousandth in inches."""
    if millimetres is None:
        return DASH
    if units == "us":
        return exact((millimetres / MM_PER_INCH).quantize(INCH_PLACES, rounding=rounding), 5)
    return exact(millimetres.quantize(MM_PLACES, rounding=rounding), 3)


def size_text(millimetres: Decimal | None, units: Units, rounding: str = ROUND_HALF_EVEN) -> str:
    """Return a size with its unit."""
    text = number_text(millimetres, units, rounding)
    return text if text == DASH else f"{text}{NO_BREAK}{'in' if units == 'us' else 'mm'}"


def low_text(millimetres: Decimal | None, units: Units) -> str:
    """Return a lower limit; in inches rounded into the zone, so that a reading equal to it is in."""
    return size_text(millimetres, units, ROUND_CEILING)


def high_text(millimetres: Decimal | None, units: Units) -> str:
    """Return an upper limit; in inches rounded into the zone."""
    return size_text(millimetres, units, ROUND_FLOOR)


def small_text(micrometres: Decimal | None, units: Units, *, sign: bool = False) -> str:
    """Return a small length in micrometres or hundred-thousandths of an inch."""
    if micrometres is None:
        return DASH
    if units == "us":
        inches = (micrometres / 1000 / MM_PER_INCH).quantize(INCH_PLACES)
        text, unit = exact(inches, 5), "in"
    else:
        text, unit = exact(micrometres.quantize(Decimal("0.1"))), "µm"
    return f"{'+' if sign and micrometres > 0 else ''}{text}{NO_BREAK}{unit}"


def kept(seat: SeatRecord, name: str) -> Decimal | None:
    """Return a figure that was kept with a record."""
    text = seat.figures.get(name)
    return Decimal(text) if text else None


def seat_name(seat: SeatRecord) -> str:
    """Name a seat: bearing 1, thrust bearing seat on the mount, upper, Ø 100 mm."""
    ref = seat.bearing_ref
    words = [
        (_("guide {ref}") if ref.startswith("g") else _("bearing {ref}")).format(ref=ref) if ref else "",
        str(seat.get_place_display()),
        seat.name,
        f"Ø{NO_BREAK}{exact(seat.nominal_mm)}{NO_BREAK}mm",
    ]
    return ", ".join(word for word in words if word)


def _order_text(seat: SeatRecord, *, to_customer: bool) -> str:
    """Name the order that limits come from: PO is the shop's own short word."""
    words = _("purchase order (PO) {number}") if to_customer else _("PO {number}")
    return words.format(number=seat.limits_source)


def source_text(seat: SeatRecord, *, to_customer: bool = False) -> str:
    """Say where the limits of a seat come from."""
    origin = seat.limits_from
    if origin == SeatRecord.LimitsFrom.RULE:
        return _("{zone} (ISO 286-2) by {rule}").format(zone=seat.zone, rule=RULE_SOURCE)
    if origin == SeatRecord.LimitsFrom.NONE:
        return _("no zone from drawing, customer or rule")
    words = (
        _("drawing {number}").format(number=seat.limits_source)
        if origin == SeatRecord.LimitsFrom.DRAWING
        else _order_text(seat, to_customer=to_customer)
    )
    return _("{zone} (ISO 286-2), {where}").format(zone=seat.zone, where=words) if seat.zone else words


def zone_text(seat: SeatRecord, *, to_customer: bool = False) -> str:
    """Return the zone and whose it is, short enough for a table."""
    if seat.limits_from == SeatRecord.LimitsFrom.RULE:
        return _("{zone} by rule; drawing governs").format(zone=seat.zone)
    if seat.limits_from == SeatRecord.LimitsFrom.NONE:
        return _("no zone")
    is_order = seat.limits_from == SeatRecord.LimitsFrom.ORDER
    source = _order_text(seat, to_customer=True) if is_order and to_customer else source_short(seat)
    return " · ".join(part for part in (seat.zone, source) if part)


def source_short(seat: SeatRecord) -> str:
    """Return the drawing's or order's number with its kind."""
    return f"{seat.get_limits_from_display()} {seat.limits_source}".strip()


def limits_text(seat: SeatRecord, units: Units) -> str:
    """Return the limits of a seat."""
    if seat.low_mm is None or seat.high_mm is None:
        return DASH
    return _("{low} to {high}").format(low=low_text(seat.low_mm, units), high=high_text(seat.high_mm, units))


def _below(seat: SeatRecord, units: Units) -> str:
    return _("The smallest size, {size}, is below {limit}.").format(
        size=size_text(kept(seat, "smallest"), units), limit=low_text(seat.low_mm, units)
    )


def _above(seat: SeatRecord, units: Units) -> str:
    return _("The largest size, {size}, is above {limit}.").format(
        size=size_text(kept(seat, "largest"), units), limit=high_text(seat.high_mm, units)
    )


def _form(name: str, words: str | Promise) -> Callable[[SeatRecord, Units], str]:
    def sentence(seat: SeatRecord, units: Units) -> str:
        error, allowed = kept(seat, name), kept(seat, "allowed_form")
        return str(words).format(
            error=small_text(None if error is None else error * 1000, units),
            allowed=small_text(None if allowed is None else allowed * 1000, units),
        )

    return sentence


def _always(words: str | Promise) -> Callable[[SeatRecord, Units], str]:
    return lambda _seat, _units: str(words)


def _no_temperature(_seat: SeatRecord, units: Units) -> str:
    return _("Gauge and part temperature not entered, so there is no size at {temperature}.").format(
        temperature=Figures(units).standard_temperature(20.0)
    )


def _angles(seat: SeatRecord, _units: Units) -> str:
    planes = ", ".join(str(number) for number in seat.figures.get("short_planes", []))
    return _("Fewer than two angles in plane {planes}.").format(planes=planes)


_REASONS: Final[dict[str, Callable[[SeatRecord, Units], str]]] = {
    "below": _below,
    "above": _above,
    "out_of_round": _form(
        "out_of_round",
        gettext_lazy(
            "Out of round by {error}; half of the zone, {allowed}, is allowed (common practice, no source)."
        ),
    ),
    "taper": _form(
        "taper",
        gettext_lazy(
            "Tapered by {error}; half of the zone, {allowed}, is allowed (common practice, no source)."
        ),
    ),
    "no_readings": _always(gettext_lazy("No readings yet.")),
    "planes": _always(gettext_lazy("Fewer than three planes measured.")),
    "angles": _angles,
    "zone": _always(gettext_lazy("No zone from drawing, customer or rule.")),
    "temperature": _no_temperature,
    "in_zone": _always(
        gettext_lazy("Every reading is in the zone; out-of-round and taper are within half of it.")
    ),
}


def reason_sentences(seat: SeatRecord, units: Units) -> list[str]:
    """Say why a seat's verdict is what it is, the heaviest reason first."""
    return [_REASONS[code](seat, units) for code in seat.figures.get("reasons", []) if code in _REASONS]


class PlaneRow(TypedDict):
    """One plane of a seat: its readings with their verdicts, mean and out-of-round."""

    name: str
    readings: list[dict[str, str]]
    mean: str
    out_of_round: str


def plane_rows(seat: SeatRecord, units: Units) -> list[PlaneRow]:
    """Return the planes with every reading's verdict, mean and out-of-round."""
    rows: list[PlaneRow] = []
    for index, plane in enumerate(seat.figures.get("planes", [])):
        error = Decimal(plane["out_of_round"]) * 1000 if plane["out_of_round"] else None
        rows.append(
            {
                "name": str(PLANE_NAMES[index]) if index < len(PLANE_NAMES) else str(index + 1),
                "readings": [
                    {"text": number_text(Decimal(size), units) if size else DASH, "verdict": verdict}
                    for size, verdict in zip(plane["sizes"], plane["verdicts"], strict=True)
                ],
                "mean": number_text(Decimal(plane["mean"]) if plane["mean"] else None, units),
                "out_of_round": small_text(error, units),
            }
        )
    return rows


def form_rows(seat: SeatRecord, units: Units) -> list[tuple[str, str]]:
    """Return the worst out-of-round and the taper, with what is allowed."""
    rows = []
    for name, label in (("out_of_round", _("out of round")), ("taper", _("taper"))):
        error = kept(seat, name)
        rows.append((label, small_text(None if error is None else error * 1000, units)))
    allowed = kept(seat, "allowed_form")
    rows.append((_("allowed for each"), small_text(None if allowed is None else allowed * 1000, units)))
    return rows
