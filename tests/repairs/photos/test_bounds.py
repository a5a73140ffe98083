"""Pictures that are cut off, lie about their size or break a library: refused in words, in bounded memory."""

from __future__ import annotations

import os
import random
import signal
import struct
import zlib
from contextlib import suppress
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image, ImageFile

from repairs.photos import decoder, decoding, pixels
from repairs.photos.decoding import Decoder
from repairs.photos.services import PhotoError, decode_photo, gray_picture

KINDS = ["JPEG", "PNG", "WEBP", "HEIF"]


def textured(kind: str, size: tuple[int, int] = (320, 240), **how) -> bytes:
    out = BytesIO()
    Image.effect_noise(size, 60).convert("RGB").save(out, kind, **how)
    return out.getvalue()


@pytest.fixture
def _apart(settings) -> None:
    settings.PHOTO_DECODER = "apart"


@pytest.fixture
def _paper_library_was_here():
    """What importing the library of the papers does to the whole process."""
    before, ImageFile.LOAD_TRUNCATED_IMAGES = ImageFile.LOAD_TRUNCATED_IMAGES, True
    yield
    assert ImageFile.LOAD_TRUNCATED_IMAGES is True
    ImageFile.LOAD_TRUNCATED_IMAGES = before


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.usefixtures("_paper_library_was_here")
def test_a_picture_that_is_cut_off_anywhere_is_refused_whatever_the_process_did_before(kind):
    whole = textured(kind)
    decode_photo(whole, "a")
    places = [len(whole) - 1, len(whole) - 2, len(whole) // 2]
    places += random.Random(7).sample(range(1, len(whole)), 25)
    taken = []
    for place in places:
        with suppress(PhotoError):
            decode_photo(whole[:place], "half")
            taken.append(place)
    assert taken == []


def test_words_say_that_a_picture_is_incomplete_and_what_to_do():
    whole = textured("JPEG")
    with pytest.raises(
        PhotoError, match=r"a\.jpg is incomplete: the end of the file is missing\. Send it again"
    ):
        decode_photo(whole[: len(whole) // 2], "a.jpg")


def png_that_states(width: int, height: int) -> bytes:
    """Return a small PNG whose head states another size."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 999))
        + chunk(b"IEND", b"")
    )


def test_a_picture_that_states_a_huge_size_is_refused_from_its_head_alone(monkeypatch):
    def decoded(*_args):
        raise AssertionError("it was unpacked")

    monkeypatch.setattr(pixels, "_upright", decoded)
    with pytest.raises(PhotoError, match=r"too many pixels: 3600 million \(PNG\), limit 40 million"):
        decode_photo(png_that_states(60_000, 60_000), "bomb.png")


def test_a_picture_that_states_more_than_it_holds_is_refused():
    with pytest.raises(PhotoError, match="lie"):
        decode_photo(png_that_states(3000, 3000), "lie")


@pytest.mark.parametrize("kind", ["HEIF", "WEBP"])
def test_each_format_has_a_limit_of_its_own_that_is_said(kind, monkeypatch):
    monkeypatch.setattr(pixels, f"{kind}_PIXELS", 50_000)
    with pytest.raises(PhotoError, match=f"too many pixels.*{kind}.*smaller or as an ordinary JPEG"):
        decode_photo(textured(kind), "a")


def test_a_jpeg_above_the_limit_is_scaled_while_it_is_read_and_tells_how_many_pixels_it_had(monkeypatch):
    monkeypatch.setattr(pixels, "WHOLE_PIXELS", 20_000)
    decoded = decode_photo(textured("JPEG"), "a")
    assert (decoded.width, decoded.height, decoded.pixels, decoded.was_scaled) == (160, 120, 76_800, True)


def test_a_picture_within_the_limit_keeps_each_pixel():
    decoded = decode_photo(textured("JPEG"), "a")
    assert (decoded.width, decoded.height, decoded.was_scaled) == (320, 240, False)


def test_what_a_progressive_jpeg_holds_until_its_last_scan_counts(monkeypatch):
    # 4:4:4: three samples a pixel of two bytes each (ISO/IEC 10918-1, A.2.3), beside the picture itself.
    held = 320 * 240 * (3 * 2 + pixels.PIXEL_BYTES)
    monkeypatch.setattr(pixels, "UNPACKED_BYTES", held)
    assert not decode_photo(textured("JPEG", progressive=True, subsampling=0), "a").was_scaled
    monkeypatch.setattr(pixels, "UNPACKED_BYTES", held - 1)
    assert decode_photo(textured("JPEG", progressive=True, subsampling=0), "a").was_scaled
    monkeypatch.setattr(pixels, "UNPACKED_BYTES", 320 * 240 * 6)
    with pytest.raises(PhotoError, match="progressive JPEG"):
        decode_photo(textured("JPEG", progressive=True, subsampling=0), "a")


@pytest.mark.usefixtures("_apart")
def test_a_process_apart_answers_as_this_one_does(settings):
    content = textured("HEIF")
    apart, gray = decode_photo(content, "a"), gray_picture(content, "a")
    settings.PHOTO_DECODER = "here"
    assert apart == decode_photo(content, "a")
    assert gray.tobytes() == gray_picture(content, "a").tobytes()
    settings.PHOTO_DECODER = "apart"
    with pytest.raises(PhotoError, match="x cannot be read as a photo"):
        decode_photo(b"no picture", "x")


@pytest.mark.usefixtures("_apart")
def test_a_process_that_dies_over_a_picture_takes_only_that_picture_along():
    with Decoder() as own:
        assert own.ask(textured("PNG"), want="sizes", most_pixels=10**8)[0]["width"] == 320
        assert own._process is not None
        os.kill(own._process.pid, signal.SIGSTOP)
        os.kill(own._process.pid, signal.SIGKILL)
        assert own.ask(textured("PNG"), want="sizes", most_pixels=10**8)[0]["refused"] == "unreadable"
        assert own.ask(textured("PNG"), want="sizes", most_pixels=10**8)[0]["width"] == 320


@pytest.mark.usefixtures("_apart")
def test_the_process_ends_with_its_form():
    with Decoder() as own:
        own.ask(textured("PNG"), want="sizes", most_pixels=10**8)
        assert own._process is not None
        number = own._process.pid
    assert not Path(f"/proc/{number}").exists()


@pytest.mark.usefixtures("_apart")
@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="the bound needs Linux")
def test_memory_is_bounded_even_where_the_head_of_a_file_says_little(monkeypatch, tmp_path):
    # The same process with almost nothing to spare: what does not fit is refused, and the process goes on.
    starter = tmp_path / "small.py"
    starter.write_text(
        "from repairs.photos import decoder\ndecoder.MEMORY_BYTES = 30_000_000\ndecoder.main()\n"
    )
    monkeypatch.setattr(decoding, "COMMAND", [str(starter)])
    with Decoder() as own:
        flat = BytesIO()
        Image.new("RGB", (5000, 4000), "gray").save(flat, "PNG")
        head, _blocks = own.ask(flat.getvalue(), want="sizes", most_pixels=10**8)
        assert head["refused"] == "too_many_pixels"
        assert own.ask(textured("PNG"), want="sizes", most_pixels=10**8)[0]["width"] == 320


def test_orders_and_answers_pass_whole_or_not_at_all():
    stream = BytesIO()
    decoder.write_block(stream, b"head")
    whole = stream.getvalue()
    assert decoder.read_block(BytesIO(whole)) == b"head"
    assert all(decoder.read_block(BytesIO(whole[:end])) is None for end in range(len(whole)))
