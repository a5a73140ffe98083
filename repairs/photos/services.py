"""Take photos in: each file stands for itself, is decoded apart, and is written before its row."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.db.models import Q
from django.utils.translation import gettext as _
from PIL import Image

from bearings.public import grouped
from repairs.ledger.files import NewFiles
from repairs.photos.decoding import Decoder, Head
from repairs.photos.models import Photo


class PhotoError(Exception):
    """The file is refused; the message says why and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decoded:
    """The pictures made from one upload, as JPEG bytes without metadata; ``pixels`` is what the upload had."""

    original: bytes
    print_size: bytes
    thumbnail: bytes
    width: int
    height: int
    pixels: int
    taken_at: datetime | None

    @property
    def was_scaled(self) -> bool:
        """Whether the shop's copy has fewer pixels than the upload."""
        return self.width * self.height < self.pixels


@dataclass(slots=True)
class Upload:
    """What became of the files of one form: photos to be saved, and words on those that were refused or scaled.

    ``refused`` is keyed by the file's place in the form, ``known`` counts pictures that are there already.
    """

    photos: list[Photo] = field(default_factory=list)
    refused: dict[int, str] = field(default_factory=dict)
    scaled: list[str] = field(default_factory=list)
    known: int = 0


def decode_photo(content: bytes, name: str, decoder: Decoder | None = None) -> Decoded:
    """Return the shop's copies of a picture, or raise PhotoError.

    The first stands for the original: upright, re-encoded, without location and without anything that was hung on the
    file. Pages and papers use the two smaller ones.
    """
    head, (original, print_size, thumbnail) = _asked(content, name, "sizes", decoder)
    return Decoded(
        original=original,
        print_size=print_size,
        thumbnail=thumbnail,
        width=head["width"],
        height=head["height"],
        pixels=head["pixels"],
        taken_at=_moment(head["taken"]),
    )


def gray_picture(content: bytes, name: str) -> Image.Image:
    """Return a picture that is looked at for codes and not kept, or raise PhotoError."""
    head, (gray,) = _asked(content, name, "gray", None)
    return Image.frombytes("L", (head["width"], head["height"]), gray)


def _asked(content: bytes, name: str, want: str, decoder: Decoder | None) -> tuple[Head, list[bytes]]:
    _refuse_size(len(content), name)
    order = {"want": want, "most_pixels": settings.PHOTO_MAX_PIXELS}
    if decoder is not None:
        head, blocks = decoder.ask(content, **order)
    else:
        with Decoder() as own:
            head, blocks = own.ask(content, **order)
    if "refused" in head:
        raise PhotoError(_refusal_words(head, name))
    return head, blocks


def _refuse_size(size: int, name: str) -> None:
    limit = settings.PHOTO_MAX_BYTES
    if size > limit:
        words = _("{name} is {size} MB. Send it as a JPEG of at most {limit} MB.")
        raise PhotoError(words.format(name=name, size=round(size / 1e6, 1), limit=limit // (1024 * 1024)))


def _refusal_words(head: Head, name: str) -> str:
    if head["refused"] == "cut_off":
        return _("{name} is incomplete: the end of the file is missing. Send it again or retake it.").format(
            name=name
        )
    if head["refused"] == "too_many_pixels":
        words = _(
            "{name} has too many pixels: {pixels} million ({kind}), limit {limit} million. "
            "Send it smaller or as an ordinary JPEG."
        )
        return words.format(
            name=name,
            pixels=round(head["pixels"] / 1e6) or 1,
            kind=head["kind"],
            limit=max(1, head["limit"] // 1_000_000),
        )
    return _("{name} cannot be read as a photo. Send a JPEG, PNG, WebP or HEIC, or retake it.").format(
        name=name
    )


def _moment(taken: str) -> datetime | None:
    try:
        return datetime.strptime(taken, "%Y:%m:%d %H:%M:%S").replace(tzinfo=UTC) if taken else None
    except ValueError:
        return None


def prepare_uploads(
    *,
    actor_id: int,
    files: Iterable[UploadedFile[bytes]],
    new: NewFiles,
    caption: str = "",
    known: frozenset[str] = frozenset(),
) -> Upload:
    """Decode the files of a form and write the shop's copies. Never inside a transaction.

    A file that is refused leaves the others as they are; a picture whose digest is ``known``, or comes twice, is
    left out.
    """
    upload, seen = Upload(), set(known)
    with Decoder() as decoder:
        for place, file in enumerate(files):
            name = (file.name or "")[:200]
            try:
                _refuse_size(file.size or 0, name)
                content = file.read()
                digest = hashlib.sha256(content).hexdigest()
                if digest in seen:
                    upload.known += 1
                    continue
                decoded = decode_photo(content, name, decoder)
            except PhotoError as error:
                upload.refused[place] = str(error)
                continue
            seen.add(digest)
            upload.photos.append(_written(decoded, new, digest, name, caption, actor_id))
            if decoded.was_scaled:
                upload.scaled.append(_scaled_words(decoded, name))
    return upload


def prepare_photo(
    *, actor_id: int, file: UploadedFile[bytes], new: NewFiles, caption: str = ""
) -> tuple[Photo, list[str]]:
    """Return one photo that is not saved yet, with what is to be said of it; or raise PhotoError."""
    upload = prepare_uploads(actor_id=actor_id, files=[file], new=new, caption=caption)
    if upload.refused:
        raise PhotoError(upload.refused[0])
    return upload.photos[0], upload.scaled


def _written(decoded: Decoded, new: NewFiles, digest: str, name: str, caption: str, actor_id: int) -> Photo:
    return Photo(
        sha256=digest,
        original=new.write(decoded.original, "photos/kept", ".jpg"),
        print_size=new.write(decoded.print_size, "photos/print", ".jpg"),
        thumbnail=new.write(decoded.thumbnail, "photos/thumbnail", ".jpg"),
        width=decoded.width,
        height=decoded.height,
        original_name=name,
        caption=caption[:200],
        taken_at=decoded.taken_at,
        uploaded_by_id=actor_id,
    )


def _scaled_words(decoded: Decoded, name: str) -> str:
    return _("{name} had {pixels} million pixels and was saved with {kept} million.").format(
        name=name, pixels=_millions(decoded.pixels), kept=_millions(decoded.width * decoded.height)
    )


def _millions(pixels: int) -> str:
    """Return a number of pixels in millions, short ones with a decimal."""
    return grouped(pixels / 1e6, 0 if pixels >= 2e6 else 1)


def save_photo(photo: Photo) -> Photo:
    """Write the row of a prepared photo; call it inside the transaction that puts the photo somewhere."""
    photo.save(force_insert=True)
    return photo


def files_with_rows(paths: Iterable[str]) -> set[str]:
    """Return those of these paths under the media folder that belong to a photo."""
    names = list(paths)
    if not names:
        return set()
    rows = Photo.objects.filter(Q(original__in=names) | Q(print_size__in=names) | Q(thumbnail__in=names))
    return {name for row in rows.values_list("original", "print_size", "thumbnail") for name in row}
