"""Peaks of a vibration spectrum: over the noise around them, at given orders, harmonics and sidebands of running speed.

"None found" says nothing without the range that was searched, the resolution and how far above the noise a peak stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from heapq import heappush, heappushpop
from operator import sub
from typing import Final, Literal, NamedTuple

from repairs.measurements.engineering.limits import COMMON_PRACTICE

# The noise floor is the median of so many neighboring lines; a peak is that many times as high: common practice.
WINDOW: Final = 256
LEAST_WINDOW: Final = 32
OVER_FLOOR: Final = 5.0
# More peaks than this are no longer peaks; the highest are kept, and that is said.
MOST_PEAKS: Final = 2000
UNEVEN: Final = 1.5
MOST_HARMONICS: Final = 20
MOST_SIDEBANDS: Final = 5
MINUTE: Final = 60.0
SOURCE: Final = COMMON_PRACTICE


class Peak(NamedTuple):
    """One line above its neighbors: frequency, amplitude in mm/s rms, the noise around it."""

    hz: float
    amplitude: float
    floor: float


class Spectrum(NamedTuple):
    """What a file holds: range, resolution, peaks by frequency. ``cut``: there were more peaks than are kept."""

    lines: int
    from_hz: float
    to_hz: float
    resolution_hz: float
    uneven: bool
    over_floor: float
    peaks: tuple[Peak, ...]
    cut: bool = False

    def at(self, hz: float) -> Peak | None:
        """Return the highest peak within the resolution of a frequency."""
        near = [one for one in self.peaks if abs(one.hz - hz) <= self.resolution_hz * (1 + 1e-9)]
        return max(near, key=lambda one: one.amplitude, default=None)

    def covers(self, hz: float) -> bool:
        """Whether a frequency lies in the range; its first and last line have no neighbor and show no peak."""
        return self.from_hz < hz < self.to_hz


State = Literal["found", "none", "outside"]


class Mark(NamedTuple):
    """One order: its peak, or none in the range, or outside it. ``alike`` cannot be told from it at this resolution."""

    name: str
    hz: float
    state: State
    peak: Peak | None = None
    alike: tuple[str, ...] = ()


class Sidebands(NamedTuple):
    """At how many times running speed below and above a frequency peaks were found."""

    below: tuple[int, ...]
    above: tuple[int, ...]

    @property
    def total(self) -> int:
        return len(self.below) + len(self.above)


class Collector:
    """Finds peaks while lines come in; holds no more than a window and the peaks."""

    def __init__(self, over_floor: float = OVER_FLOOR, most: int = MOST_PEAKS) -> None:
        self.lines = 0
        self._over, self._most = over_floor, most
        self._hz: list[float] = []
        self._sizes: list[float] = []
        self._first, self._last, self._widest = 0.0, 0.0, 0.0
        self._floor: float | None = None
        self._heap: list[tuple[float, float, float]] = []
        self._cut = False

    def feed(self, hz: Sequence[float], sizes: Sequence[float]) -> None:
        """Take more lines, frequencies rising."""
        if not hz:
            return
        if self.lines == 0:
            self._first = hz[0]
        else:
            self._widest = max(self._widest, hz[0] - self._last)
        self._widest = max(self._widest, max(map(sub, hz[1:], hz), default=0.0))
        self.lines, self._last = self.lines + len(hz), hz[-1]
        self._hz += hz
        self._sizes += sizes
        at = 0
        # A window has a line before and one behind it.
        while len(self._sizes) - at >= WINDOW + 2:
            self._window(at, at + WINDOW + 2)
            at += WINDOW
        del self._hz[:at], self._sizes[:at]

    def _window(self, begin: int, end: int) -> None:
        sizes = self._sizes[begin:end]
        inside = sizes[1:-1]
        if self._floor is None or len(inside) >= LEAST_WINDOW:
            self._floor = sorted(inside)[len(inside) // 2]
        least = self._over * self._floor
        if max(inside) <= least:
            return
        for at, size in enumerate(inside, 1):
            if size > least and sizes[at - 1] < size >= sizes[at + 1]:
                self._keep((size, self._hz[begin + at], self._floor))

    def _keep(self, peak: tuple[float, float, float]) -> None:
        if len(self._heap) < self._most:
            heappush(self._heap, peak)
        else:
            heappushpop(self._heap, peak)
            self._cut = True

    def spectrum(self) -> Spectrum:
        """Return what was found; nothing may be fed afterwards."""
        if len(self._sizes) > 2:
            self._window(0, len(self._sizes))
            self._sizes.clear()
        mean = (self._last - self._first) / max(self.lines - 1, 1)
        uneven = self._widest > UNEVEN * mean
        peaks = sorted((Peak(hz, size, floor) for size, hz, floor in self._heap), key=lambda one: one.hz)
        resolution = self._widest if uneven else mean
        return Spectrum(
            self.lines, self._first, self._last, resolution, uneven, self._over, tuple(peaks), self._cut
        )


def spectrum_of(points: Iterable[tuple[float, float]], over_floor: float = OVER_FLOOR) -> Spectrum:
    """Return the spectrum of points of frequency in Hz and amplitude in mm/s rms."""
    rows = sorted(points)
    collector = Collector(over_floor)
    collector.feed([hz for hz, _ in rows], [size for _, size in rows])
    return collector.spectrum()


def marked(spectrum: Spectrum, orders: Mapping[str, float]) -> tuple[Mark, ...]:
    """Return for each order whether a peak lies within the resolution of it."""
    marks = []
    for name, hz in orders.items():
        alike = tuple(
            other for other, at in orders.items() if other != name and abs(at - hz) <= spectrum.resolution_hz
        )
        peak = spectrum.at(hz) if spectrum.covers(hz) else None
        state: State = "outside" if not spectrum.covers(hz) else "found" if peak else "none"
        marks.append(Mark(name, hz, state, peak, alike))
    return tuple(marks)


def harmonics(spectrum: Spectrum, run_hz: float, most: int = MOST_HARMONICS) -> tuple[int, ...]:
    """Return which multiples of running speed show a peak."""
    if run_hz <= spectrum.resolution_hz:
        return ()
    return tuple(n for n in range(1, most + 1) if spectrum.covers(n * run_hz) and spectrum.at(n * run_hz))


def sidebands(spectrum: Spectrum, center_hz: float, run_hz: float, most: int = MOST_SIDEBANDS) -> Sidebands:
    """Return at which multiples of running speed beside a frequency peaks lie; none where lines are too wide."""
    if run_hz <= 2 * spectrum.resolution_hz:
        return Sidebands((), ())

    def found(sign: int) -> tuple[int, ...]:
        places = ((n, center_hz + sign * n * run_hz) for n in range(1, most + 1))
        return tuple(n for n, hz in places if spectrum.covers(hz) and spectrum.at(hz))

    return Sidebands(found(-1), found(1))


def minutes_as_seconds(spectrum: Spectrum, run_hz: float) -> Literal["cpm_as_hz", "hz_as_cpm"] | None:
    """Return a doubt about the unit of frequency: running speed is missing, but 60 times or a 60th of it is there."""
    if spectrum.covers(run_hz) and spectrum.at(run_hz):
        return None
    if spectrum.covers(MINUTE * run_hz) and spectrum.at(MINUTE * run_hz):
        return "cpm_as_hz"
    if spectrum.covers(run_hz / MINUTE) and spectrum.at(run_hz / MINUTE):
        return "hz_as_cpm"
    return None
