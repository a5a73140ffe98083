"""Take a photo in: check it, turn it upright, drop its metadata, make the sizes that pages and papers use."""

from __future__ import annotations

import hashlib
import os
import warnings
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Final

import pillow_heif
from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from PIL import Image, ImageOps, UnidentifiedImageError

from repairs.ledger.transactions import outside_transaction
from repairs.photos.models import Photo

pillow_heif.register_heif_opener()

FORMATS: Final = ("JPEG", "PNG", "WEBP", "HEIF")
PRINT_EDGE: Final = 1200
THUMBNAIL_EDGE: Final = 320
_CAPTURE_TAG: Final = 0x9003
_EXIF_FOLDER: Final = 0x8769


class PhotoError(Exception):
    """The file is refused; the message says why and what is accepted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decoded:
    """The pictures made from one upload, as JPEG bytes without metadata."""

    original: bytes
    print_size: bytes
    thumbnail: bytes
    width: int
    height: int
    taken_at: datetime | None


def decode_photo(content: bytes, name: str) -> Decoded:
    """Return the shop's copies of a picture, or raise PhotoError.

    The first keeps every pixel and stands for the original: upright, re-encoded, without location and without
    anything that was hung on the file. Pages and papers use the two smaller ones.
    """
    upright, taken_at = _opened(content, name)
    return Decoded(
        original=_encode(upright, max(upright.size), 92),
        print_size=_encode(upright, PRINT_EDGE, 80),
        thumbnail=_encode(upright, THUMBNAIL_EDGE, 72),
        width=upright.width,
        height=upright.height,
        taken_at=taken_at,
    )


def upright_picture(content: bytes, name: str) -> Image.Image:
    """Return a picture that is looked at and not kept, or raise PhotoError."""
    return _opened(content, name)[0]


def _opened(content: bytes, name: str) -> tuple[Image.Image, datetime | None]:
    """Return a picture the right way up and when it was taken, or raise PhotoError. Never inside a transaction."""
    outside_transaction("A picture")
    limit = settings.PHOTO_MAX_BYTES
    if len(content) > limit:
        raise PhotoError(
            _("{name} has {size} MB. Accepted: at most {limit} MB.").format(
                name=name, size=round(len(content) / 1e6, 1), limit=limit // (1024 * 1024)
            )
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            picture = Image.open(BytesIO(content), formats=FORMATS)
            _refuse_bomb(picture, name)
            return _upright(picture), _capture_time(picture)
    except PhotoError:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise PhotoError(_too_many_pixels(name)) from error
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError) as error:
        raise PhotoError(
            _("{name} cannot be read as a picture. Accepted: JPEG, PNG, WebP and HEIC.").format(name=name)
        ) from error


def _too_many_pixels(name: str) -> str:
    return _("{name} has too many pixels. Accepted: at most {limit} million.").format(
        name=name, limit=settings.PHOTO_MAX_PIXELS // 1_000_000
    )


def _refuse_bomb(picture: Image.Image, name: str) -> None:
    """Look at the size that the head of the file states, before anything is unpacked."""
    if picture.width * picture.height > settings.PHOTO_MAX_PIXELS or getattr(picture, "n_frames", 1) > 10:
        raise PhotoError(_too_many_pixels(name))


def _capture_time(picture: Image.Image) -> datetime | None:
    text = picture.getexif().get_ifd(_EXIF_FOLDER).get(_CAPTURE_TAG)
    try:
        return datetime.strptime(str(text), "%Y:%m:%d %H:%M:%S").replace(tzinfo=UTC) if text else None
    except ValueError:
        return None


def _upright(picture: Image.Image) -> Image.Image:
    turned = ImageOps.exif_transpose(picture)
    if turned.mode in {"RGBA", "LA", "P"}:
        layered = turned.convert("RGBA")
        paper = Image.new("RGB", layered.size, "white")
        paper.paste(layered, mask=layered.getchannel("A"))
        return paper
    return turned.convert("RGB")


def _encode(picture: Image.Image, edge: int, quality: int) -> bytes:
    """Return a JPEG of a copy within ``edge`` pixels; a fresh picture carries no metadata."""
    copy = picture.copy()
    copy.thumbnail((edge, edge), Image.Resampling.LANCZOS)
    bare = Image.new("RGB", copy.size)
    bare.paste(copy)
    out = BytesIO()
    bare.save(out, "JPEG", quality=quality, optimize=True, progressive=True)
    return out.getvalue()


def _write(content: bytes, kind: str) -> str:
    """Write a file named by its content, whole or not at all, and return its path under the media folder."""
    digest = hashlib.sha256(content).hexdigest()
    relative = f"photos/{kind}/{digest[:2]}/{digest}.jpg"
    path = Path(settings.MEDIA_ROOT) / relative
    if path.exists():
        return relative
    path.parent.mkdir(parents=True, exist_ok=True)
    partial = path.with_suffix(f".{os.getpid()}.part")
    with partial.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    partial.rename(path)
    return relative


def prepare_photo(*, actor_id: int, file: UploadedFile[bytes], caption: str = "") -> Photo:
    """Return a photo that is not saved yet, with its files written: a row always has its files."""
    name = (file.name or "")[:200]
    if file.size is not None and file.size > settings.PHOTO_MAX_BYTES:
        decode_limit = settings.PHOTO_MAX_BYTES // (1024 * 1024)
        raise PhotoError(
            _("{name} has {size} MB. Accepted: at most {limit} MB.").format(
                name=name, size=round(file.size / 1e6, 1), limit=decode_limit
            )
        )
    content = file.read()
    decoded = decode_photo(content, name)
    return Photo(
        sha256=hashlib.sha256(content).hexdigest(),
        original=_write(decoded.original, "kept"),
        print_size=_write(decoded.print_size, "print"),
        thumbnail=_write(decoded.thumbnail, "thumbnail"),
        width=decoded.width,
        height=decoded.height,
        original_name=name,
        caption=caption[:200],
        taken_at=decoded.taken_at,
        uploaded_by_id=actor_id,
    )


def save_photo(photo: Photo) -> Photo:
    """Write the row of a prepared photo; call it inside the transaction that puts the photo somewhere."""
    photo.save(force_insert=True)
    return photo
