"""A spectrum from a plain CSV file of frequency and amplitude, read in pieces: five million lines in a few seconds."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite, sqrt
from operator import sub
from typing import BinaryIO, Final, NamedTuple

from repairs.measurements.engineering.spectrum import OVER_FLOOR, Collector, Spectrum

# Unit of a column and what it is in Hz and in mm/s rms; exact, of one sine each.
FREQUENCIES: Final = {"Hz": 1.0, "cpm": 1 / 60, "kHz": 1000.0}
AMPLITUDES: Final = {
    "mm/s rms": 1.0,
    "mm/s pk": 1 / sqrt(2),
    "in/s rms": 25.4,
    "in/s pk": 25.4 / sqrt(2),
}
MOST_LINES: Final = 5_000_000
FEWEST_LINES: Final = 16
MOST_HEAD_LINES: Final = 50
PIECE: Final = 1 << 18
LONGEST_LINE: Final = 4096
SHOWN: Final = 60
_DIGITS: Final = b"+-.0123456789"


class SpectrumError(Exception):
    """A file that cannot be read: why, in which line, and what stands there."""

    def __init__(self, code: str, line: int = 0, text: str = "") -> None:
        super().__init__(code)
        self.code, self.line, self.text = code, line, text


class _Piece(NamedTuple):
    """Whole lines of the file and the number of the first one."""

    data: bytes
    first_line: int


def read_spectrum(
    stream: BinaryIO, *, frequency: str, amplitude: str, over_floor: float = OVER_FLOOR
) -> Spectrum:
    """Read two columns in the units that the caller names and find the peaks.

    Raise :class:`SpectrumError` for a file that is no such thing. Only a piece of it is held at a time.
    """
    collector = Collector(over_floor)
    to_hz, to_mm_s = FREQUENCIES[frequency], AMPLITUDES[amplitude]
    separator, before = b"", float("-inf")
    for piece in _pieces(stream):
        if not separator:
            separator, piece = _after_head(piece)
            if not piece.data:
                continue
        hz, sizes = _numbers(piece, separator)
        if not hz:
            continue
        _check(piece, separator, before, hz, sizes)
        before = hz[-1]
        collector.feed(_times(hz, to_hz), _times(sizes, to_mm_s))
        if collector.lines > MOST_LINES:
            raise SpectrumError("too_many", MOST_LINES)
    if not separator:
        raise SpectrumError("no_numbers")
    if collector.lines < FEWEST_LINES:
        raise SpectrumError("too_few", collector.lines)
    return collector.spectrum()


def _pieces(stream: BinaryIO) -> Iterator[_Piece]:
    """Yield whole lines, a quarter of a megabyte at a time."""
    rest, line, begin = b"", 1, True
    while read := stream.read(PIECE):
        if begin:
            if read.startswith((b"\xff\xfe", b"\xfe\xff")):
                raise SpectrumError("encoding", 1)
            read, begin = read.removeprefix(b"\xef\xbb\xbf"), False
        data = (rest + read).replace(b"\r\n", b"\n")
        if b"\0" in data:
            raise SpectrumError("encoding", line)
        # The second half of a line end may be in the next piece.
        if b"\r" in data[:-1]:
            data = data[:-1].replace(b"\r", b"\n") + data[-1:]
        whole, found, rest = data.rpartition(b"\n")
        if len(rest) > LONGEST_LINE:
            raise SpectrumError("encoding", line)
        if found:
            yield _Piece(whole, line)
            line += whole.count(b"\n") + 1
    if rest.strip():
        yield _Piece(rest.replace(b"\r", b"\n"), line)


def _after_head(piece: _Piece) -> tuple[bytes, _Piece]:
    """Return the separator and what follows a heading; an empty separator where no number came yet."""
    lines = piece.data.split(b"\n", MOST_HEAD_LINES)
    for at, line in enumerate(lines[:MOST_HEAD_LINES]):
        if line.strip()[:1] and line.strip()[:1] in _DIGITS:
            separator = next((one for one in (b";", b"\t", b",") if one in line), b"")
            if not separator:
                raise SpectrumError("columns", piece.first_line + at, _text(line))
            return separator, _Piece(b"\n".join(lines[at:]), piece.first_line + at)
    if len(lines) > MOST_HEAD_LINES or piece.first_line > MOST_HEAD_LINES:
        raise SpectrumError("no_numbers")
    return b"", _Piece(b"", 0)


def _numbers(piece: _Piece, separator: bytes) -> tuple[list[float], list[float]]:
    """Return both columns. Whole pieces at once where every line has its two numbers, else line by line."""
    data = piece.data.strip()
    while b"\n\n" in data:
        data = data.replace(b"\n\n", b"\n")
    if not data:
        return [], []
    bare = data.translate(None, bytes(set(range(256)) - {separator[0], 10}))
    if (bare + b"\n") == (separator + b"\n") * (data.count(b"\n") + 1):
        try:
            numbers = list(map(float, data.replace(b"\n", separator).split(separator)))
        except ValueError:
            return _line_by_line(piece, separator)
        return numbers[::2], numbers[1::2]
    return _line_by_line(piece, separator)


def _line_by_line(piece: _Piece, separator: bytes) -> tuple[list[float], list[float]]:
    columns: tuple[list[float], list[float]] = [], []
    for at, line in enumerate(piece.data.split(b"\n"), piece.first_line):
        if not line.strip():
            continue
        parts = line.split(separator)
        if (separator != b"," and b"," in line) or (
            len(parts) == 4 and all(part.strip().lstrip(b"+-").isdigit() for part in parts)
        ):
            raise SpectrumError("comma_decimal", at, _text(line))
        if len(parts) != 2:
            raise SpectrumError("columns", at, _text(line))
        try:
            pair = float(parts[0]), float(parts[1])
        except ValueError:
            raise SpectrumError("not_a_number", at, _text(line)) from None
        for column, value in zip(columns, pair, strict=True):
            column.append(value)
    return columns


def _check(piece: _Piece, separator: bytes, before: float, hz: list[float], sizes: list[float]) -> None:
    """Refuse what is no spectrum: frequencies that fall, amplitudes below zero, numbers that are none."""
    rises = hz[0] > before and hz[0] >= 0 and min(map(sub, hz[1:], hz), default=1.0) > 0
    if rises and min(sizes) >= 0 and isfinite(sum(sizes)) and isfinite(hz[-1]):
        return
    for at, line in enumerate(piece.data.split(b"\n"), piece.first_line):
        if not line.strip():
            continue
        frequency, size = (float(part) for part in line.split(separator))
        if not (isfinite(frequency) and isfinite(size)):
            raise SpectrumError("not_a_number", at, _text(line))
        if frequency < 0 or size < 0:
            raise SpectrumError("negative", at, _text(line))
        if frequency <= before:
            raise SpectrumError("not_rising", at, _text(line))
        before = frequency


def _times(values: list[float], factor: float) -> list[float]:
    return values if factor == 1 else [one * factor for one in values]


def _text(line: bytes) -> str:
    return line.decode("utf-8", "replace").strip()[:SHOWN]
