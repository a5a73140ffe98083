"""From bytes to rows of cells, one at a time: encoding, line ends, quotation marks."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from typing import BinaryIO, Final

from django.utils.translation import gettext as _

from bearings.book_file.mistakes import BookFileError, note
from bearings.wording.figures import grouped

MOST_BYTES: Final = 50 * 1024 * 1024
MOST_LINES: Final = 200_000
LONGEST_LINE: Final = 256 * 1024
PIECE: Final = 8 * 1024
SEPARATORS: Final = (",", ";", "\t")
_UTF16: Final = (b"\xff\xfe", b"\xfe\xff")
_MARK: Final = b"\xef\xbb\xbf"


def has_mark(file: BinaryIO) -> bool:
    """Whether a file begins with the byte-order mark of UTF-8; the file stands at its beginning afterwards."""
    file.seek(0)
    found = file.read(3) == _MARK
    file.seek(0)
    return found


def refuse_size(size: int) -> None:
    """Refuse a file that is empty or larger than is accepted."""
    if size > MOST_BYTES:
        message = _("File has %(size)s MB. Accepted: at most %(most)s MB.")
        raise BookFileError(
            note(
                0,
                "",
                "",
                message % {"size": grouped(size / 1024**2, 1), "most": grouped(MOST_BYTES // 1024**2)},
            )
        )
    if size == 0:
        raise BookFileError(
            note(0, "", "", _("File is empty. Accepted: a header, a row of units and ratings."))
        )


def text_lines(file: BinaryIO) -> Iterator[str]:
    """Yield the decoded lines of a file from its beginning; a byte-order mark of UTF-8 is left aside."""
    file.seek(0)
    if file.read(2) in _UTF16:
        message = _("File is UTF-16. Accepted: UTF-8. Save it as “CSV UTF-8”.")
        raise BookFileError(note(0, "", "", message))
    file.seek(3 if has_mark(file) else 0)
    for number, line in enumerate(_byte_lines(file), 1):
        if len(line) > LONGEST_LINE:
            words = _("Line has more than %(most)s bytes. End each line with a line feed.")
            raise BookFileError(note(number, "", "", words % {"most": grouped(LONGEST_LINE)}))
        if b"\x00" in line:
            words = _("Line has NUL bytes, so it is not text. Save the file as “CSV UTF-8”.")
            raise BookFileError(note(number, "", "", words))
        try:
            yield line.decode("utf-8")
        except UnicodeDecodeError as error:
            byte = f"0x{line[error.start]:02x}"
            message = _("This byte is not UTF-8. Save the file as “CSV UTF-8”.")
            raise BookFileError(note(number, "", byte, message)) from error


def _byte_lines(file: BinaryIO) -> Iterator[bytes]:
    """Yield the lines of a file with their ends, which are those of any system: LF, CR LF, or CR alone."""
    rest = b""
    while piece := file.read(PIECE):
        lines = (rest + piece).splitlines(keepends=True)
        # The last line may go on in the next piece, and its CR may be the first half of a CR LF.
        rest = lines.pop()
        yield from lines
        if len(rest) > LONGEST_LINE:
            break
    if rest:
        yield rest


def rows(file: BinaryIO, separator: str) -> Iterator[tuple[int, list[str]]]:
    """Yield each row of cells with its number as a spreadsheet shows it, blank rows included.

    A cell may hold line ends within quotation marks; a spreadsheet counts such a row once, and so does this.
    """
    reader = csv.reader(text_lines(file), delimiter=separator, strict=True)
    number = 0
    while True:
        number += 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            message = _("Line cannot be read (%(reason)s). Check for a quotation mark that is not closed.")
            raise BookFileError(note(number, "", "", message % {"reason": error})) from error
        yield number, cells
