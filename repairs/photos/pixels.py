"""Read one picture within bounds: judge it by its head, decode it, make the sizes that pages and papers use.

Knows nothing of Django, so that a process of its own starts in a moment (see ``decoder.py``).
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from io import BytesIO
from typing import Final

import pillow_heif
from PIL import Image, ImageFile, ImageOps, UnidentifiedImageError

from repairs.photos.endings import is_cut_off

pillow_heif.register_heif_opener(thumbnails=False)
pillow_heif.options.DECODE_THREADS = 1
# The limits below are tighter, and are said in words.
Image.MAX_IMAGE_PIXELS = None

FORMATS: Final = ("JPEG", "PNG", "WEBP", "HEIF")
PRINT_EDGE: Final = 1200
THUMBNAIL_EDGE: Final = 320
MILLION: Final = 1_000_000
# Up to here each pixel of a picture is kept.
WHOLE_PIXELS: Final = 25 * MILLION
# What a picture may take while it is unpacked, beside the process itself. Pillow holds a pixel in 4 bytes.
UNPACKED_BYTES: Final = 240 * MILLION
PIXEL_BYTES: Final = 4
# What decoding holds at once for each pixel, measured (tests/benchmarks/bench_picture_memory.py).
PNG_PIXELS: Final = 40 * MILLION
LAYERED_PNG_PIXELS: Final = 25 * MILLION
HEIF_PIXELS: Final = 25 * MILLION
WEBP_PIXELS: Final = 15 * MILLION
# A JPEG is scaled while it is read; a side that is longer is a mistake or an attack.
JPEG_PIXELS: Final = 200 * MILLION
MOST_FRAMES: Final = 10
_CAPTURE_TAG: Final = 0x9003
_EXIF_FOLDER: Final = 0x8769


class Refusal(Exception):  # noqa: N818  (it is an answer, not a fault)
    """A picture is refused: ``code`` is ``unreadable``, ``cut_off`` or ``too_many_pixels``; ``limit`` in pixels."""

    def __init__(self, code: str, *, kind: str = "", pixels: int = 0, limit: int = 0) -> None:
        super().__init__(code)
        self.code, self.kind, self.pixels, self.limit = code, kind, pixels, limit

    def as_dict(self) -> dict[str, object]:
        return {"refused": self.code, "kind": self.kind, "pixels": self.pixels, "limit": self.limit}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """The pictures made from one upload, as JPEG bytes without metadata; ``taken`` as the camera wrote it.

    ``pixels`` is how many the upload had; the first picture has fewer when it was scaled.
    """

    original: bytes
    print_size: bytes
    thumbnail: bytes
    width: int
    height: int
    pixels: int
    taken: str


def picture_sizes(content: bytes, most_pixels: int) -> Sizes:
    """Return the shop's copies of a picture, or raise Refusal.

    The first stands for the original: upright, re-encoded, without location and without anything that was hung on the
    file, in each of its pixels or, when it has too many, scaled.
    """
    upright, pixels, taken = upright_picture(content, most_pixels)
    return Sizes(
        original=_encoded(upright, 92),
        print_size=_encoded(_within(upright, PRINT_EDGE), 80, progressive=True),
        thumbnail=_encoded(_within(upright, THUMBNAIL_EDGE), 72, progressive=True),
        width=upright.width,
        height=upright.height,
        pixels=pixels,
        taken=taken,
    )


def gray_picture(content: bytes, most_pixels: int) -> Image.Image:
    """Return a picture that codes are looked for on, or raise Refusal."""
    return upright_picture(content, most_pixels)[0].convert("L")


def upright_picture(content: bytes, most_pixels: int) -> tuple[Image.Image, int, str]:
    """Return a picture the right way up, the number of its pixels before scaling, and when it was taken."""
    # The library that makes papers switches this on for the whole process; half a photo is not a photo.
    before, ImageFile.LOAD_TRUNCATED_IMAGES = ImageFile.LOAD_TRUNCATED_IMAGES, False
    kind, pixels = "", 0
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            picture = Image.open(BytesIO(content), formats=FORMATS)
            kind, pixels = str(picture.format), picture.width * picture.height
            if is_cut_off(content, kind):
                raise Refusal("cut_off")
            scale = _scale(picture, most_pixels)
            taken = _capture_time(picture)
            return _upright(picture, scale), pixels, taken
    except Refusal:
        raise
    except MemoryError as error:
        raise Refusal("too_many_pixels", kind=kind, pixels=pixels, limit=WHOLE_PIXELS) from error
    except UnidentifiedImageError as error:
        raise Refusal("unreadable") from error
    except (OSError, ValueError, SyntaxError, EOFError, RuntimeError) as error:
        raise _reason(error, kind, pixels) from error
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


def _reason(error: Exception, kind: str, pixels: int) -> Refusal:
    """Return what a library's complaint means to whoever took the picture; libraries say it in their own ways."""
    words = str(error).lower()
    if "memory" in words:
        return Refusal("too_many_pixels", kind=kind, pixels=pixels, limit=WHOLE_PIXELS)
    return Refusal("cut_off" if "truncated" in words else "unreadable")


def _scale(picture: Image.Image, most_pixels: int) -> int:
    """Return by how much to divide the sides while reading, from the head of the file alone; or raise Refusal."""
    kind, pixels = str(picture.format), picture.width * picture.height
    if getattr(picture, "n_frames", 1) > MOST_FRAMES:
        raise Refusal("unreadable")
    limit = min(most_pixels, _pixel_limit(picture))
    if pixels > limit:
        raise Refusal("too_many_pixels", kind=kind, pixels=pixels, limit=limit)
    held = _coefficient_bytes(picture) if kind == "JPEG" else 0
    for scale in (1, 2, 4, 8):
        left = pixels // scale**2
        if left <= WHOLE_PIXELS and held + PIXEL_BYTES * left <= UNPACKED_BYTES:
            return scale
    # Only a progressive JPEG comes here: all of it is held until its last scan is read.
    limit = int(pixels * UNPACKED_BYTES / held / MILLION) * MILLION if held else WHOLE_PIXELS
    raise Refusal("too_many_pixels", kind="progressive JPEG", pixels=pixels, limit=limit)


def _pixel_limit(picture: Image.Image) -> int:
    layered = picture.mode not in {"RGB", "L"} or "transparency" in picture.info
    png = LAYERED_PNG_PIXELS if layered else PNG_PIXELS
    return {"JPEG": JPEG_PIXELS, "PNG": png, "HEIF": HEIF_PIXELS, "WEBP": WEBP_PIXELS}[str(picture.format)]


def _coefficient_bytes(picture: Image.Image) -> int:
    """Return what a progressive JPEG holds until its last scan: two bytes for each sample of each component."""
    if not picture.info.get("progressive"):
        return 0
    # (component, samples across, samples down, table) of the frame's header
    layer: list[tuple[int, int, int, int]] = getattr(picture, "layer", [])
    most = max((across * down for _id, across, down, _table in layer), default=1)
    samples = sum(across * down for _id, across, down, _table in layer) / most
    return int(2 * picture.width * picture.height * samples)


def _capture_time(picture: Image.Image) -> str:
    return str(picture.getexif().get_ifd(_EXIF_FOLDER).get(_CAPTURE_TAG) or "")


def _upright(picture: Image.Image, scale: int) -> Image.Image:
    """Decode a picture, scaled; at most two copies of it are held at any time."""
    if picture.format == "JPEG" and scale > 1:
        picture.draft("RGB", (picture.width // scale, picture.height // scale))
    picture.load()
    if picture.format != "JPEG" and scale > 1:
        small = picture.reduce(scale)
        small.info = {key: value for key, value in picture.info.items() if key == "exif"}
        picture.close()
        picture = small
    ImageOps.exif_transpose(picture, in_place=True)
    if picture.mode == "RGB":
        return picture
    if picture.mode in {"RGBA", "LA", "P", "PA"} or "transparency" in picture.info:
        layered = picture if picture.mode == "RGBA" else picture.convert("RGBA")
        paper = Image.new("RGB", layered.size, "white")
        paper.paste(layered, mask=layered.getchannel("A"))
        return paper
    return picture.convert("RGB")


def _within(picture: Image.Image, edge: int) -> Image.Image:
    """Return a copy of a picture within ``edge`` pixels, or itself when it is no larger."""
    longest = max(picture.size)
    if longest <= edge:
        return picture
    size = (max(1, round(picture.width * edge / longest)), max(1, round(picture.height * edge / longest)))
    return picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0)


def _encoded(picture: Image.Image, quality: int, *, progressive: bool = False) -> bytes:
    """Return a JPEG of a picture, without metadata."""
    # What hung on the file would be written again from here.
    picture.info = {}
    out = BytesIO()
    picture.save(out, "JPEG", quality=quality, optimize=progressive, progressive=progressive, exif=b"")
    return out.getvalue()
