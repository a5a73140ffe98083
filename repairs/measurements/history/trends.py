"""Series over visits: what was measured at each, in canonical units, with the limit of the newest visit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from bearings.public import exact
from repairs.measurements.history.reading import History, Visit
from repairs.measurements.measured_fits import interference_um
from repairs.measurements.models import Reading, SeatPlace, SeatRecord
from repairs.motors.units import NO_BREAK, OTHER_NAMES, QUANTITIES

Text = str | Promise
FOUND, LEFT = Reading.Moment.AS_FOUND, Reading.Moment.AS_LEFT
# Units under which readings were kept before they had their full names.
FORMER_UNITS: Final = {"mm/s": "mm/s rms", "in/s": "in/s pk"}
MOMENTS: Final = ((FOUND, _("as found")), (LEFT, _("as left")))
POINTS: Final[dict[str, Text]] = {
    "vib_top_0": _("top, radial 0°"),
    "vib_top_90": _("top, radial 90°"),
    "vib_top_axial": _("top, axial"),
    "vib_low_0": _("bottom, radial 0°"),
    "vib_low_90": _("bottom, radial 90°"),
}
SEAT_NAMES: Final[dict[str, Text]] = {
    SeatPlace.MOUNT: _("mount"),
    SeatPlace.SHAFT_UPPER: _("upper shaft"),
    SeatPlace.SHAFT_LOWER: _("lower shaft"),
    SeatPlace.SHAFT_OTHER: _("other shaft"),
    SeatPlace.HOUSING_THRUST: _("thrust housing"),
    SeatPlace.HOUSING_UPPER: _("upper housing"),
    SeatPlace.HOUSING_LOWER: _("lower housing"),
    SeatPlace.HOUSING_OTHER: _("other housing"),
}


@dataclass(frozen=True, slots=True)
class Cell:
    """A value in the canonical unit of its quantity, and what was said of it that day."""

    value: float
    verdict: str


@dataclass(frozen=True, slots=True)
class Series:
    """One measuring point, with a cell for each visit."""

    name: Text
    cells: list[Cell | None]

    @property
    def is_empty(self) -> bool:
        return not any(self.cells)


@dataclass(frozen=True, slots=True)
class Trend:
    """One chart: its series, and the limits that the newest visit was held to."""

    key: str
    title: Text
    quantity: str
    series: list[Series]
    low: float | None = None
    high: float | None = None
    logarithmic: bool = False


def trends_of(history: History) -> list[Trend]:
    """Return what can be drawn: every trend with at least one value."""
    found = [
        _by_moment(
            "insulation", _("Insulation resistance at 40 °C"), "insulation", history, logarithmic=True
        ),
        *(
            _by_code(f"vibration_{moment}", title, "vibration", POINTS, history, moment)
            for moment, title in ((LEFT, _("Vibration as left")), (FOUND, _("Vibration as found")))
        ),
        _by_moment("end_play", _("End play"), "small_length", history),
        _fits(history),
        _by_code(
            "temperature",
            _("Bearing temperature, test run"),
            "temperature",
            {"temp_top": _("top bearing"), "temp_bottom": _("bottom bearing")},
            history,
        ),
        _by_code(
            "rise",
            _("Bearing temperature rise, test run"),
            "temperature_difference",
            {"rise_top": _("top bearing"), "rise_bottom": _("bottom bearing")},
            history,
        ),
    ]
    return [one for one in found if one.series]


def canonical(value: Decimal, unit: str, quantity: str) -> float | None:
    """Return a value in the first unit of its quantity; None where its unit is none of them."""
    name = OTHER_NAMES.get(unit, FORMER_UNITS.get(unit, unit))
    known = next((one for one in QUANTITIES[quantity] if one.name == name), None)
    return known.to_si(float(value)) if known is not None else None


def _by_moment(
    code: str, title: Text, quantity: str, history: History, *, logarithmic: bool = False
) -> Trend:
    own = [row for row in history.readings if row.asked == code]
    series = [
        _series(name, [row for row in own if row.moment == moment], quantity, history.visits)
        for moment, name in MOMENTS
    ]
    return _trend(code, title, quantity, series, own, logarithmic=logarithmic)


def _by_code(
    key: str,
    title: Text,
    quantity: str,
    names: dict[str, Text],
    history: History,
    moment: str = "",
) -> Trend:
    own = [row for row in history.readings if row.asked in names and moment in {"", row.moment}]
    series = [
        _series(name, [row for row in own if row.asked == code], quantity, history.visits)
        for code, name in names.items()
    ]
    return _trend(key, title, quantity, series, own)


def _series(name: Text, rows: Sequence[Reading], quantity: str, visits: Sequence[Visit]) -> Series:
    """Return the newest value of each visit."""

    def cell(row: Reading) -> Cell | None:
        value = canonical(row.value, row.unit, quantity)
        return None if value is None else Cell(value, row.verdict)

    return Series(name, _cells(rows, visits, cell))


def _cells(
    rows: Iterable[Reading], visits: Sequence[Visit], cell: Callable[[Reading], Cell | None]
) -> list[Cell | None]:
    newest = {row.job_id: row for row in rows}
    return [cell(newest[visit.pk]) if visit.pk in newest else None for visit in visits]


def _trend(
    key: str,
    title: Text,
    quantity: str,
    series: list[Series],
    rows: Sequence[Reading],
    *,
    logarithmic: bool = False,
) -> Trend:
    """Return a trend with the limits of the newest reading that had any."""
    low = high = None
    for row in rows:
        if row.limit_low is not None or row.limit_high is not None:
            low, high = (
                None if limit is None else canonical(limit, row.unit, quantity)
                for limit in (row.limit_low, row.limit_high)
            )
    return Trend(key, title, quantity, [one for one in series if not one.is_empty], low, high, logarithmic)


def _fits(history: History) -> Trend:
    """Return the mean fit at each seat: as left where it was measured then, else as found; positive is tight."""
    by_seat: dict[tuple[str, str, Decimal], dict[int, SeatRecord]] = {}
    for seat in sorted(history.seats, key=lambda one: (one.moment == LEFT, one.pk)):
        if seat.is_signed:
            by_seat.setdefault((seat.place, seat.name, seat.nominal_mm), {})[seat.job_id] = seat
    places = Counter((place, name) for place, name, _size in by_seat)
    series = []
    for (place, name, size), newest in by_seat.items():
        words = str(SEAT_NAMES.get(place, place)) + (f" {name}" if name else "")
        if places[place, name] > 1:
            words += f" Ø{NO_BREAK}{exact(size)}"
        cells = [_fit(newest.get(visit.pk)) for visit in history.visits]
        series.append(Series(words, cells))
    return Trend(
        "fits", _("Bearing fits, mean (+ tight)"), "small_length", [one for one in series if not one.is_empty]
    )


def _fit(seat: SeatRecord | None) -> Cell | None:
    fit = interference_um(seat) if seat is not None else None
    return None if fit is None or seat is None else Cell(float(fit) / 1000, seat.verdict)
