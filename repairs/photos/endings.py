"""Tell from a picture's own structure whether its end is missing. Libraries forgive much of that."""

from __future__ import annotations


def is_cut_off(content: bytes, kind: str) -> bool:
    """Whether a file of this kind (as Pillow names it) ends before its structure says."""
    look = {"JPEG": _jpeg, "PNG": _png, "WEBP": _webp, "HEIF": _boxes}.get(kind)
    return look is not None and not look(content)


def _jpeg(content: bytes) -> bool:
    """ISO/IEC 10918-1 B.1.1: marker segments, then scans, then the marker EOI."""
    at = 2
    while at + 4 <= len(content) and content[at] == 0xFF:
        marker = content[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker == 0xDA:
            return content.find(b"\xff\xd9", at) >= 0
        alone = marker == 0x01 or 0xD0 <= marker <= 0xD8
        at += 2 if alone else 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    # What is no chain of segments is for the decoder to judge.
    return at < len(content)


def _png(content: bytes) -> bool:
    """ISO/IEC 15948 (PNG) 5.3: chunks of length, type, data and CRC up to IEND."""
    at = 8
    while at + 12 <= len(content):
        length, kind = int.from_bytes(content[at : at + 4], "big"), content[at + 4 : at + 8]
        at += 12 + length
        if kind == b"IEND":
            return True
    return False


def _webp(content: bytes) -> bool:
    """RFC 9649 2.4: the RIFF header states the size of all that follows its first 8 bytes."""
    return len(content) >= 12 and int.from_bytes(content[4:8], "little") + 8 <= len(content)


def _boxes(content: bytes) -> bool:
    """ISO/IEC 14496-12 4.2: boxes one after the other, each with its size; 0 means to the end of the file."""
    at = 0
    while at + 8 <= len(content):
        size = int.from_bytes(content[at : at + 4], "big")
        if size == 1:
            size = int.from_bytes(content[at + 8 : at + 16], "big")
        if size == 0:
            return True
        if size < 8:
            return False
        at += size
    return at == len(content)
