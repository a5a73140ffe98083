"""Photos: upright, without location, refused in words."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from repairs.ledger.files import NewFiles
from repairs.photos.models import Photo
from repairs.photos.services import PhotoError, decode_photo, prepare_photo
from tests.repairs.factories import make_user, picture_file

GPS, ORIENTATION = 0x8825, 0x0112


def jpeg_with_location() -> bytes:
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif.get_ifd(GPS)[2] = (47.0, 30.0, 0.0)
    out = BytesIO()
    Image.new("RGB", (80, 40), "navy").save(out, "JPEG", exif=exif)
    return out.getvalue()


def test_a_turned_photo_is_set_upright_and_loses_its_location():
    decoded = decode_photo(jpeg_with_location(), "a.jpg")
    for content in (decoded.original, decoded.print_size, decoded.thumbnail):
        picture = Image.open(BytesIO(content))
        assert picture.height > picture.width
        assert dict(picture.getexif()) == {}
        assert not picture.getexif().get_ifd(GPS)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_each_accepted_kind_becomes_a_jpeg(kind):
    out = BytesIO()
    Image.new("RGB", (50, 40), "green").save(out, kind)
    assert Image.open(BytesIO(decode_photo(out.getvalue(), "a").print_size)).format == "JPEG"


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"GIF89a\x01\x00\x01\x00",
    ],
    ids=["empty", "svg", "gif"],
)
def test_what_is_not_a_picture_is_refused_by_its_name(content):
    with pytest.raises(PhotoError, match=r"notes\.jpg cannot be read as a photo"):
        decode_photo(content, "notes.jpg")


def test_a_picture_of_too_many_pixels_is_refused_before_it_is_unpacked(settings):
    settings.PHOTO_MAX_PIXELS = 1000
    with pytest.raises(PhotoError, match="too many pixels"):
        decode_photo(picture_file(size=(64, 48)).read(), "big.png")


def test_a_file_that_is_too_large_is_refused(settings):
    settings.PHOTO_MAX_BYTES = 100
    with pytest.raises(PhotoError, match="Send it as a JPEG of at most"):
        decode_photo(picture_file().read(), "big.jpg")


def test_what_hangs_behind_a_picture_is_dropped():
    decoded = decode_photo(jpeg_with_location() + b"<script>alert(1)</script>", "a.jpg")
    assert b"<script>" not in decoded.original


@pytest.mark.django_db
def test_a_stored_photo_has_its_files_and_a_refused_one_leaves_none(settings):
    root, actor_id = Path(settings.MEDIA_ROOT), make_user().pk
    with NewFiles() as new:
        photo, said = prepare_photo(actor_id=actor_id, file=picture_file(), new=new)
        photo.save()
    assert said == []
    assert all((root / path).exists() for path in (photo.original, photo.print_size, photo.thumbnail))
    before = sorted(root.rglob("*.*"))
    with NewFiles() as new, pytest.raises(PhotoError):
        prepare_photo(actor_id=actor_id, file=SimpleUploadedFile("x.jpg", b"no"), new=new)
    assert Photo.objects.count() == 1
    assert sorted(root.rglob("*.*")) == before
