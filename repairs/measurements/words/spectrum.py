"""A spectrum in words: what was searched, what was found, why a file was refused."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.engineering.spectrum import Mark, Sidebands, Spectrum
from repairs.measurements.engineering.spectrum_file import MOST_LINES, SpectrumError
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _comma_decimal() -> str:
    return _("Line {line}: decimal commas ({text}). Export the file with decimal points, then load it again.")


def _columns() -> str:
    return _(
        "Line {line}: two columns needed, frequency and amplitude ({text}). "
        "Export these two alone, with decimal points."
    )


def _not_a_number() -> str:
    return _("Line {line}: not two numbers ({text}). Fix or remove the line, then load the file again.")


def _negative() -> str:
    return _("Line {line}: a negative figure ({text}). Export linear amplitude, not decibels or a phase.")


def _not_rising() -> str:
    return _(
        "Line {line}: the frequency is not above the line before ({text}). Export one spectrum, not several."
    )


def _encoding() -> str:
    return _("This is no plain text file. Export the spectrum as CSV (UTF-8), then load it again.")


def _no_numbers() -> str:
    return _("No numbers found. Export two columns, frequency and amplitude, as CSV.")


def _too_few() -> str:
    return _("Only {line} lines of numbers. Export the whole spectrum.")


def _too_many() -> str:
    return _("More than {line} lines. Export a narrower range or fewer lines.")


REFUSALS: Final[Mapping[str, Callable[[], str]]] = {
    "comma_decimal": _comma_decimal,
    "columns": _columns,
    "not_a_number": _not_a_number,
    "negative": _negative,
    "not_rising": _not_rising,
    "encoding": _encoding,
    "no_numbers": _no_numbers,
    "too_few": _too_few,
    "too_many": _too_many,
}


def refusal(refused: SpectrumError, write: Written) -> str:
    """Return why a file was refused, and what to do."""
    line = write.of(MOST_LINES if refused.code == "too_many" else refused.line, "plain")
    return REFUSALS[refused.code]().format(line=line, text=refused.text)


def searched(spectrum: Spectrum, write: Written) -> str:
    """Return range, resolution and height of the search: without them "none found" says nothing."""
    words = _(
        "Searched {low} to {high} in steps of {step}, for peaks {times} times as high as the noise around them."
    )
    text = words.format(
        low=write.of(spectrum.from_hz, "frequency"),
        high=write.of(spectrum.to_hz, "frequency"),
        step=write.of(spectrum.resolution_hz, "frequency"),
        times=write.of(spectrum.over_floor, "plain"),
    )
    if spectrum.uneven:
        text = _("{text} Steps are uneven: the widest one counts.").format(text=text)
    if spectrum.cut:
        most = write.of(len(spectrum.peaks), "plain")
        text = _("{text} Only the {most} highest peaks were kept.").format(text=text, most=most)
    return text


def order(mark: Mark, spectrum: Spectrum, write: Written) -> str:
    """Return what one order shows."""
    figures = {
        "name": mark.name,
        "at": write.of(mark.hz, "frequency"),
        "low": write.of(spectrum.from_hz, "frequency"),
        "high": write.of(spectrum.to_hz, "frequency"),
        "alike": ", ".join(mark.alike),
    }
    if mark.peak is not None:
        figures |= {
            "size": write.of(mark.peak.amplitude, "vibration"),
            "found": write.of(mark.peak.hz, "frequency"),
        }
        words = _("{name} ({at}): peak of {size} at {found}.")
        if mark.alike:
            words = _("{name} ({at}): peak of {size} at {found}. At this resolution it may also be {alike}.")
    elif mark.state == "outside":
        words = _("{name} ({at}): not checked, outside {low} to {high}.")
    else:
        words = _("{name} ({at}): none found from {low} to {high}.")
    return words.format(**figures)


def harmonics_found(found: tuple[int, ...], spectrum: Spectrum, write: Written) -> str:
    """Return which multiples of running speed show a peak."""
    if found:
        each = ", ".join(write.of(one, "plain") for one in found)
        return _("Running speed: peaks at {each} times.").format(each=each)
    words = _("Running speed and its harmonics: none found from {low} to {high}.")
    return words.format(
        low=write.of(spectrum.from_hz, "frequency"), high=write.of(spectrum.to_hz, "frequency")
    )


def sidebands_found(name: str, found: Sidebands, write: Written) -> str:
    """Return how many sidebands of running speed lie beside an order."""
    words = _("{name}, sidebands spaced by running speed: {below} below, {above} above.")
    return words.format(
        name=name, below=write.of(len(found.below), "plain"), above=write.of(len(found.above), "plain")
    )


def unit_doubt(doubt: str, run_hz: float, write: Written) -> str:
    """Return the question whether the unit of frequency was meant."""
    if doubt == "cpm_as_hz":
        words = _("No peak at running speed ({at}), but one at 60 times of it. Is the file in cpm, not Hz?")
    else:
        words = _("No peak at running speed ({at}), but one at a 60th of it. Is the file in Hz, not cpm?")
    return words.format(at=write.of(run_hz, "frequency"))


def _range_reversed(note: Note, write: Written) -> str:
    words = _("The search begins at {low} and ends at {high}. Swapped?")
    return words.format(
        low=write.of(note.params["low"], "frequency"), high=write.of(note.params["high"], "frequency")
    )


def _order_found(note: Note, write: Written) -> str:
    words = _("Order at {at}: peak of {size} at {found}. Inspect that bearing part.")
    return words.format(
        at=write.of(note.params["hz"], "frequency"),
        size=write.of(note.params["size"], "vibration"),
        found=write.of(note.params["found"], "frequency"),
    )


def _order_none(note: Note, write: Written) -> str:
    words = _("Order at {at}: none found from {low} to {high} in steps of {step}.")
    return words.format(
        at=write.of(note.params["hz"], "frequency"),
        low=write.of(note.params["low"], "frequency"),
        high=write.of(note.params["high"], "frequency"),
        step=write.of(note.params["step"], "frequency"),
    )


def _order_outside(note: Note, write: Written) -> str:
    words = _("Order at {at}: not checked, outside {low} to {high}. Record a wider spectrum.")
    return words.format(
        at=write.of(note.params["hz"], "frequency"),
        low=write.of(note.params["low"], "frequency"),
        high=write.of(note.params["high"], "frequency"),
    )


def _peak_beyond(note: Note, write: Written) -> str:
    words = _("A peak at {at} is outside {low} to {high}. Check the range and the unit of frequency.")
    return words.format(
        at=write.of(note.params["hz"], "frequency"),
        low=write.of(note.params["low"], "frequency"),
        high=write.of(note.params["high"], "frequency"),
    )


def _minutes(note: Note, write: Written) -> str:
    run_hz = note.params["run_hz"]
    return unit_doubt(note.code, run_hz if isinstance(run_hz, float) else 0.0, write)


WORDS: Final = SubjectWords(
    title=_L("Vibration spectrum"),
    fields={
        "run_rpm": _L("Speed during test"),
        "from_hz": _L("Searched from"),
        "to_hz": _L("Searched to"),
        "resolution_hz": _L("Resolution"),
        "peaks": _L("Peaks"),
        "peak_hz": _L("Frequency"),
        "peak_size": _L("Amplitude"),
        "orders": _L("Bearing orders"),
        "order_hz": _L("Frequency of order"),
    },
    results={
        "orders_found": _L("Bearing orders with a peak"),
        "run_harmonics": _L("Harmonics of running speed"),
        "run_sidebands": _L("Sidebands of running speed"),
    },
    notes={
        "range_reversed": _range_reversed,
        "order_found": _order_found,
        "order_none": _order_none,
        "order_outside": _order_outside,
        "peak_beyond": _peak_beyond,
        "cpm_as_hz": _minutes,
        "hz_as_cpm": _minutes,
    },
    cautions=(
        _L("Mount the sensor with the motor at rest. Keep its cable away from the shaft."),
        _L("Your employer's safety program and local codes govern."),
    ),
)
