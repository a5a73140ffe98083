"""Spectrum: read, searched and told; against numpy's transform and scipy's own search for peaks."""

from __future__ import annotations

import tracemalloc
from io import BytesIO
from math import sqrt

import numpy as np
import pytest
from scipy.signal import find_peaks

from repairs.measurements.engineering.spectrum import (
    Collector,
    Sidebands,
    Spectrum,
    harmonics,
    marked,
    minutes_as_seconds,
    sidebands,
    spectrum_of,
)
from repairs.measurements.engineering.spectrum_file import MOST_LINES, SpectrumError, read_spectrum
from repairs.measurements.words import spectrum as words
from repairs.measurements.words.figures import Written

SI = Written("si")
RUN, DEFECT = 29.75, 160.25


def signal(
    *tones: tuple[float, float], seconds: int = 4, rate: int = 2048, noise: float = 0.02
) -> np.ndarray:
    """Return frequency and rms amplitude of tones in noise, a line each quarter of a hertz."""
    rng = np.random.default_rng(1)
    t = np.arange(seconds * rate) / rate
    wave = sum(size * sqrt(2) * np.sin(2 * np.pi * hz * t) for hz, size in tones)
    wave = wave + rng.normal(scale=noise, size=t.size)
    sizes = np.abs(np.fft.rfft(wave)) * sqrt(2) / t.size
    return np.column_stack([np.fft.rfftfreq(t.size, 1 / rate), sizes])


def csv(rows: np.ndarray, head: str = "", separator: str = ",", end: str = "\n") -> bytes:
    return (head + "".join(f"{hz:.4f}{separator}{size:.6g}{end}" for hz, size in rows)).encode()


def read(data: bytes, frequency: str = "Hz", amplitude: str = "mm/s rms") -> Spectrum:
    return read_spectrum(BytesIO(data), frequency=frequency, amplitude=amplitude)


def refused(data: bytes) -> tuple[str, int, str]:
    with pytest.raises(SpectrumError) as caught:
        read(data)
    return caught.value.code, caught.value.line, words.refusal(caught.value, SI)


TONES = ((RUN, 2.0), (2 * RUN, 0.5), (3 * RUN, 0.2), (DEFECT, 0.3), (DEFECT - RUN, 0.1), (DEFECT + RUN, 0.1))
ROWS = signal(*TONES)


def test_peaks_against_scipy() -> None:
    found = read(csv(ROWS))
    floor = np.median(ROWS[:, 1])
    at, _ = find_peaks(ROWS[:, 1], height=8 * floor)
    assert [one.hz for one in found.peaks if one.amplitude > 8 * floor] == pytest.approx(list(ROWS[at, 0]))
    assert [one.hz for one in found.peaks] == pytest.approx(sorted(hz for hz, _ in TONES))
    assert [one.amplitude for one in found.peaks] == pytest.approx(
        [size for _, size in sorted(TONES)], abs=0.01
    )
    assert (found.from_hz, found.to_hz, found.lines) == (0, 1024, 4097)
    assert found.resolution_hz == pytest.approx(0.25)


@pytest.mark.parametrize("head", ["", "Frequency,Amplitude\n", "\n\nmade up\nHz,mm/s\n", "\ufeffHz,mm/s\n"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_headings_and_line_ends(head: str, end: str) -> None:
    assert read(csv(ROWS, head.replace("\n", end), end=end)) == read(csv(ROWS))


@pytest.mark.parametrize("separator", [";", "\t", ", "])
def test_separators(separator: str) -> None:
    assert read(csv(ROWS, separator=separator)) == read(csv(ROWS))


def test_a_file_in_pieces_is_the_same_as_in_one(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = read(csv(ROWS, end="\r\n"))
    for piece in (37, 1000):
        monkeypatch.setattr("repairs.measurements.engineering.spectrum_file.PIECE", piece)
        assert read(csv(ROWS, end="\r\n")) == whole
        assert read(csv(ROWS, end="\r")) == whole


def test_units_are_the_callers() -> None:
    """cpm are 60 a hertz, in/s peak 25.4 / sqrt(2) mm/s rms."""
    other = ROWS * [60, sqrt(2) / 25.4]
    found = read(csv(other), "cpm", "in/s pk")
    assert found.peaks[0].hz == pytest.approx(RUN, abs=1e-4)
    assert found.peaks[0].amplitude == pytest.approx(2.0, abs=0.01)


def test_decimal_commas_are_told_and_refused() -> None:
    for separator in (";", "\t", ","):
        data = csv(ROWS, "Hz\n", separator=separator if separator != "," else "|").replace(b".", b",")
        code, line, text = refused(data.replace(b"|", b","))
        assert (code, line) == ("comma_decimal", 2)
        assert "decimal points" in text


def test_what_is_no_spectrum_is_refused_with_its_line() -> None:
    good = csv(ROWS)
    lines = good.split(b"\n")

    def with_line(text: bytes) -> bytes:
        return b"\n".join([*lines[:99], text, *lines[99:]])

    assert refused(with_line(b"24.7,abc"))[:2] == ("not_a_number", 100)
    assert refused(with_line(b"24.7,nan"))[:2] == ("not_a_number", 100)
    assert refused(with_line(b"24.7,-0.1"))[:2] == ("negative", 100)
    assert refused(with_line(b"24.25,0.1"))[:2] == ("not_rising", 100)
    assert refused(with_line(b"24.3,0.1,7"))[:2] == ("columns", 100)
    # A line of one number and one of three are as many numbers as two lines of two.
    assert refused(b"\n".join([*lines[:50], b"12.4", b"0.1,12.45,0.1", *lines[50:]]))[:2] == ("columns", 51)
    assert refused(b"1 2\n3 4\n")[0] == "columns"
    assert refused(b"a,b\n")[0] == refused(b"")[0] == "no_numbers"
    assert refused(b"words\n" * 60 + good)[0] == "no_numbers"
    assert refused(b"\n".join(lines[:9]))[0] == "too_few"
    assert refused("1,2\n".encode("utf-16"))[0] == refused(b"1,2\n\0")[0] == "encoding"
    assert refused(b"9" * 3_000_000)[0] == "encoding"


def test_a_blank_line_with_spaces_is_no_line() -> None:
    data = csv(ROWS).replace(b"\n", b"\n  \n", 3)
    assert read(data) == read(csv(ROWS))


def test_too_many_lines_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    assert MOST_LINES == 5_000_000
    monkeypatch.setattr("repairs.measurements.engineering.spectrum_file.MOST_LINES", 4096)
    assert refused(csv(ROWS))[0] == "too_many"


def test_a_long_file_is_not_held() -> None:
    """400,000 lines make 19 MB of numbers; a piece of the file with its own stays below 8 MB."""
    data = b"".join(b"%.3f,0.00%d\n" % (at / 100, 1 + at % 7) for at in range(400_000))
    tracemalloc.start()
    found = read(data)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert found.lines == 400_000
    assert peak < 8e6


def test_orders_are_marked_within_the_resolution() -> None:
    found = read(csv(ROWS))
    marks = marked(found, {"outer": DEFECT + 0.25, "inner": DEFECT + 0.51, "cage": 12.0, "far": 5000.0})
    assert [one.state for one in marks] == ["found", "none", "none", "outside"]
    assert "peak of 0.3 mm/s rms at 160.25 Hz" in words.order(marks[0], found, SI).replace("\u00a0", " ")
    assert words.order(marks[2], found, SI).startswith("cage (12")
    assert "none found from 0" in words.order(marks[2], found, SI)
    assert "not checked" in words.order(marks[3], found, SI)
    both = marked(found, {"outer": DEFECT, "other": DEFECT + 0.2})
    assert both[0].alike == ("other",)
    assert "may also be other" in words.order(both[0], found, SI)


def test_harmonics_and_sidebands_are_counted() -> None:
    found = read(csv(ROWS))
    assert harmonics(found, RUN) == (1, 2, 3)
    assert sidebands(found, DEFECT, RUN) == Sidebands((1,), (1,))
    assert harmonics(found, 0.2) == ()
    assert sidebands(found, DEFECT, 0.4).total == 0
    assert "1, 2, 3 times" in words.harmonics_found((1, 2, 3), found, SI)
    assert "none found from" in words.harmonics_found((), found, SI)
    assert words.sidebands_found("outer", Sidebands((1,), (1, 2)), SI).startswith(
        "outer, sidebands spaced by running speed: 1 below, 2"
    )


def test_minutes_read_as_seconds_are_asked() -> None:
    in_cpm = read(csv(ROWS * [60, 1]))
    assert minutes_as_seconds(in_cpm, RUN) == "cpm_as_hz"
    slow = read(csv(signal((RUN, 2.0), seconds=64, rate=256)), "cpm")
    assert minutes_as_seconds(slow, RUN) == "hz_as_cpm"
    right = read(csv(ROWS))
    assert minutes_as_seconds(right, RUN) is None
    assert minutes_as_seconds(right, 411.0) is None
    for doubt in ("cpm_as_hz", "hz_as_cpm"):
        assert words.unit_doubt(doubt, RUN, SI).endswith("?")


def test_noise_alone_has_no_peaks_and_says_what_was_searched() -> None:
    found = read(csv(signal()))
    assert found.peaks == ()
    text = words.searched(found, SI).replace("\u00a0", " ")
    assert "0.25 Hz" in text
    assert "5 times" in text


def test_the_floor_is_that_of_the_neighborhood() -> None:
    """A floor that rises tenfold hides no peak below it, and makes none of itself."""
    rows = [(float(at), 0.1 if at < 1025 else 1.0) for at in range(2048)]
    rows[500] = (500.0, 0.6)
    rows[1500] = (1500.0, 4.9)
    assert [one.hz for one in spectrum_of(rows).peaks] == [500]


def test_uneven_lines_take_the_widest_step() -> None:
    rows = [(float(at if at < 50 else at + 3), 0.1) for at in range(100)]
    found = spectrum_of(rows)
    assert (found.uneven, found.resolution_hz) == (True, 4)
    assert "uneven" in words.searched(found, SI)


def test_only_the_highest_peaks_are_kept_and_that_is_said() -> None:
    collector = Collector(most=3)
    sizes = [0.0] * 200
    sizes[1::10] = [float(at) for at in range(1, 21)]
    collector.feed([float(at) for at in range(200)], sizes)
    found = collector.spectrum()
    assert [one.amplitude for one in found.peaks] == [18, 19, 20]
    assert "3 highest" in words.searched(found, SI)
    assert Collector().spectrum().peaks == ()
