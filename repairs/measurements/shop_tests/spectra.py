"""A spectrum of a job: read from a file, held against the orders of the stack as built, kept with its peaks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, BinaryIO, Final

from django import forms
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import (
    PAPER,
    SCREEN,
    ChartOptions,
    SeriesMark,
    SeriesWords,
    Units,
    plain,
    stick_chart,
)
from repairs.measurements.as_built import Order, built_record, orders_of
from repairs.measurements.engineering.shape import Entries, Value
from repairs.measurements.engineering.spectrum import Mark, Spectrum, harmonics, marked, sidebands
from repairs.measurements.engineering.spectrum_file import AMPLITUDES, FREQUENCIES, read_spectrum
from repairs.measurements.engineering.subjects.spectrum import FIELDS, entered
from repairs.measurements.shop_tests.forms import MeasuredField
from repairs.measurements.shop_tests.services import TestEntry
from repairs.measurements.words import spectrum as words
from repairs.measurements.words.figures import Written
from repairs.work_orders.models import Job

TEST: Final = "spectrum"
PARTS: Final[Mapping[str, Any]] = {
    "cage": gettext_lazy("cage"),
    "outer": gettext_lazy("outer ring"),
    "inner": gettext_lazy("inner ring"),
    "ball": gettext_lazy("rolling element, one turn"),
    "ball_twice": gettext_lazy("rolling element, both rings"),
}
RUN_RPM: Final = next(one for one in FIELDS if one.code == "run_rpm")
LARGEST_FILE: Final = 200 * 1024 * 1024
# Beyond the highest order this share of the range is drawn; peaks further up are in the table.
BEYOND: Final = 1.3
MOST_LISTED: Final = 20
WIDE: Final = 960.0


class SpectrumForm(forms.Form):
    """The file of a spectrum, what its columns are, and how fast the motor ran."""

    file = forms.FileField(
        label=gettext_lazy("Spectrum file (CSV)"),
        help_text=gettext_lazy("Two columns, frequency and amplitude. Decimal points."),
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,text/csv,text/plain"}),
    )
    frequency = forms.ChoiceField(
        label=gettext_lazy("Unit of frequency"),
        choices=[(one, one) for one in FREQUENCIES],
        widget=forms.RadioSelect,
    )
    amplitude = forms.ChoiceField(
        label=gettext_lazy("Unit of amplitude"),
        choices=[(one, one) for one in AMPLITUDES],
        widget=forms.RadioSelect,
    )
    note = forms.CharField(label=gettext_lazy("Note"), max_length=300, required=False)
    instrument = forms.CharField(label=gettext_lazy("Instrument (tag)"), max_length=80, required=False)

    def __init__(self, data: Any = None, files: Any = None, *, units: Units, initial: Any = None) -> None:
        super().__init__(data, files, initial=initial)
        self.fields["run_rpm"] = MeasuredField(
            RUN_RPM, units, label=words.WORDS.fields["run_rpm"], help_text=_("As measured during the run.")
        )
        self.order_fields(["file", "frequency", "amplitude", "run_rpm"])

    def clean_file(self) -> Any:
        """Refuse a file that nobody could read in time."""
        found = self.cleaned_data["file"]
        if (found.size or 0) > LARGEST_FILE:
            limit = plain(LARGEST_FILE / 1024 / 1024)
            raise forms.ValidationError(_("Choose a file of at most {limit} MB.").format(limit=limit))
        return found


@dataclass(frozen=True, slots=True)
class NamedOrder:
    """An order of the stack at the speed of the run."""

    name: str
    short: str
    hz: float


def orders_at(job: Job, run_rpm: float | None) -> list[NamedOrder]:
    """Return the orders of the job's stack as built at a speed; none where stack, inside or speed is not known."""
    record = built_record(job)
    if record is None or record.assessment is None or run_rpm is None:
        return []
    return [_named(one, run_rpm / 60) for one in orders_of(record.assessment)]


def _named(order: Order, run_hz: float) -> NamedOrder:
    refs, part = ", ".join(order.refs), str(PARTS[order.part])
    name = _("Bearing {refs}, {part}").format(refs=refs, part=part)
    return NamedOrder(name, f"{refs} {part}", order.per_turn * run_hz)


def read_file(stream: BinaryIO, frequency: str, amplitude: str) -> Spectrum:
    """Read a file in the units that were chosen; raise SpectrumError for one that is no spectrum."""
    return read_spectrum(stream, frequency=frequency, amplitude=amplitude)


def entry_of(
    spectrum: Spectrum,
    orders: Sequence[NamedOrder],
    run_rpm: tuple[float, Mapping[str, str]] | None,
    *,
    units: Mapping[str, str],
    confirmed: Iterable[str] = (),
    instrument: str = "",
    note: str = "",
) -> TestEntry:
    """Return a spectrum as a test: its peaks, what was searched and the orders. The file itself is not kept."""
    values: dict[str, Value] = {
        "from_hz": spectrum.from_hz,
        "to_hz": spectrum.to_hz,
        "resolution_hz": spectrum.resolution_hz,
        "peaks": tuple((one.hz, one.amplitude) for one in spectrum.peaks),
        "orders": tuple((one.hz,) for one in orders),
    }
    typed: dict[str, Any] = {
        **{
            code: {"typed": _figure(values[code]), "unit": "Hz"}
            for code in ("from_hz", "to_hz", "resolution_hz")
        },
        "peaks": {
            "typed": "\n".join(
                f"{plain(one.hz)} Hz; {plain(one.amplitude, 6)} mm/s rms" for one in spectrum.peaks
            ),
            "unit": "",
        },
        "orders": {
            "typed": "\n".join(f"{plain(one.hz)} Hz" for one in orders),
            "unit": "",
            "names": [[one.name, one.short] for one in orders],
        },
        "search": {
            "typed": " · ".join(units.values()),
            "unit": "",
            "lines": spectrum.lines,
            "uneven": spectrum.uneven,
            "cut": spectrum.cut,
            "over_floor": spectrum.over_floor,
        },
    }
    if run_rpm is not None:
        values["run_rpm"], typed["run_rpm"] = run_rpm[0], dict(run_rpm[1])
    values = {code: value for code, value in values.items() if value != ()}
    return TestEntry(
        test=TEST, values=values, typed=typed, confirmed=tuple(confirmed), instrument=instrument, note=note
    )


def _figure(value: Value) -> str:
    return plain(value) if isinstance(value, int | float) else ""


@dataclass(frozen=True, slots=True)
class SpectrumSheet:
    """A kept spectrum as it is read: what was searched, each order, harmonics, the chart and its peaks as a table."""

    searched: str
    orders: list[tuple[bool, str]]
    remarks: list[str]
    chart: SafeString
    heads: tuple[str, str]
    peaks: list[tuple[str, str, str]]


def sheet_of_spectrum(
    entries: Mapping[str, Value],
    typed: Mapping[str, Any],
    run_rpm: float | None,
    units: Units,
    *,
    paper: bool = False,
) -> SpectrumSheet | None:
    """Return a kept spectrum in words and as a chart; None where its range is not known."""
    found = entered(Entries(entries))
    if found is None:
        return None
    search = typed.get("search", {})
    spectrum = found._replace(
        uneven=bool(search.get("uneven")),
        cut=bool(search.get("cut")),
        over_floor=float(search.get("over_floor", 0.0)),
    )
    write = Written(units)
    orders = _kept_orders(entries, typed)
    marks = marked(spectrum, {one.name: one.hz for one in orders})
    return SpectrumSheet(
        words.searched(spectrum, write) if search else "",
        [(mark.peak is not None, words.order(mark, spectrum, write)) for mark in marks],
        _remarks(spectrum, marks, run_rpm, write),
        _chart(spectrum, orders, marks, run_rpm, write, paper=paper),
        (write.unit("frequency").name, write.unit("vibration").name),
        _peaks(spectrum, marks, write),
    )


def _kept_orders(entries: Mapping[str, Value], typed: Mapping[str, Any]) -> list[NamedOrder]:
    rows = Entries(entries).series("orders")
    names = typed.get("orders", {}).get("names", [])
    found = []
    for at, (hz, *_rest) in enumerate(rows):
        if hz is not None:
            name, short = (
                names[at] if len(names) == len(rows) else (_("Order {number}").format(number=at + 1),) * 2
            )
            found.append(NamedOrder(name, short, hz))
    return found


def _remarks(spectrum: Spectrum, marks: Sequence[Mark], run_rpm: float | None, write: Written) -> list[str]:
    if run_rpm is None:
        return [_("Speed during the test not known: harmonics and sidebands not checked.")]
    run_hz = run_rpm / 60
    remarks = [words.harmonics_found(harmonics(spectrum, run_hz), spectrum, write)]
    for mark in marks:
        bands = sidebands(spectrum, mark.hz, run_hz)
        if mark.peak is not None and bands.total:
            remarks.append(words.sidebands_found(mark.name, bands, write))
    return remarks


def _peaks(spectrum: Spectrum, marks: Sequence[Mark], write: Written) -> list[tuple[str, str, str]]:
    """Return the highest peaks by frequency, each with the orders that it may be."""
    highest = sorted(spectrum.peaks, key=lambda one: -one.amplitude)[:MOST_LISTED]
    return [
        (
            write.number(one.hz, "frequency"),
            write.number(one.amplitude, "vibration"),
            "; ".join(mark.name for mark in marks if mark.peak == one),
        )
        for one in sorted(highest)
    ]


def _chart(
    spectrum: Spectrum,
    orders: Sequence[NamedOrder],
    marks: Sequence[Mark],
    run_rpm: float | None,
    write: Written,
    *,
    paper: bool,
) -> SafeString:
    run = [SeriesMark(_("running speed"), run_rpm / 60)] if run_rpm is not None else []
    drawn = [
        SeriesMark(f"{one.short} {write.of(one.hz, 'frequency')}", one.hz, mark.peak is not None)
        for one, mark in zip(orders, marks, strict=True)
    ]
    furthest = max([one.at for one in (*run, *drawn)], default=spectrum.to_hz / BEYOND) * BEYOND
    unit = write.unit("vibration")
    # Made by bearings.charts, which escapes every text.
    return mark_safe(
        stick_chart(
            [(one.hz, unit.from_si(one.amplitude)) for one in spectrum.peaks],
            [*run, *drawn],
            SeriesWords(title=_("Vibration spectrum"), across=_("frequency, Hz"), up=unit.name),
            low=0.0,
            high=min(spectrum.to_hz, furthest),
            options=ChartOptions(id_prefix="spectrum", width=WIDE, palette=PAPER if paper else SCREEN),
        )
    )
