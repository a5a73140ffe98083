"""A job is opened by the code on its paper: by a picture of it, or typed."""

from __future__ import annotations

from io import BytesIO

import pytest
import segno
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from repairs.documents.codes import job_number_in, paper_address, paper_code_in
from tests.repairs.documents.scenes import job_with_found_stack
from tests.repairs.documents.test_papers import printed
from tests.repairs.factories import make_job, make_user, picture_file

pytestmark = pytest.mark.django_db
URL = "/bench/scan/"


@pytest.fixture
def shop(client: Client) -> Client:
    client.force_login(make_user())
    return client


def picture_of(text: str, turned: float = 0.0) -> SimpleUploadedFile:
    """Return a photo of a square code on a sheet, as a camera sees it."""
    drawn = BytesIO()
    segno.make(text, error="m", micro=False).save(drawn, kind="png", scale=8, border=4)
    drawn.seek(0)
    sheet = Image.new("RGB", (900, 700), (214, 208, 196))
    sheet.paste(Image.open(drawn).convert("RGB"), (240, 120))
    out = BytesIO()
    sheet.rotate(turned, fillcolor=(214, 208, 196)).save(out, "JPEG", quality=80)
    return SimpleUploadedFile("tag.jpg", out.getvalue(), content_type="image/jpeg")


@pytest.mark.parametrize(
    ("text", "number", "code"),
    [
        ("26-0147", "26-0147", ""),
        ("https://shop.example/p/26-0147-t3-9f3a1c/", "26-0147", "26-0147-t3-9f3a1c"),
        ("26-0147-c1-9f3a1c", "26-0147", "26-0147-c1-9f3a1c"),
        (" 26-0147 ", "26-0147", ""),
        ("https://elsewhere.example/?job=26-0147x", "", ""),
        ("260147", "", ""),
        ("", "", ""),
    ],
)
def test_a_code_names_its_job_and_paper(text, number, code):
    assert job_number_in(text) == number
    assert paper_code_in(text) == code


@pytest.mark.parametrize("turned", [0.0, 7.0, 90.0])
def test_a_picture_of_the_tag_opens_its_job(shop, turned):
    job = make_job()
    address = paper_address(f"{job.number}-g1-abc123")
    answer = shop.post(URL, {"picture": picture_of(address, turned)})
    assert answer.status_code == 302
    assert answer["Location"] == reverse("bench:job", args=[job.number])


def test_a_typed_number_opens_its_job(shop):
    job = make_job()
    assert shop.post(URL, {"code": job.number})["Location"] == reverse("bench:job", args=[job.number])


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"code": "25-9999"}, "No job 25-9999"),
        ({"code": "my job"}, "is not a job number"),
        ({"code": ""}, "is not a job number"),
        ({"picture": picture_file()}, "No code found"),
        ({"picture": SimpleUploadedFile("a.txt", b"words")}, "cannot be read as a photo"),
    ],
)
def test_what_cannot_be_read_is_said_and_typing_is_still_possible(shop, sent, words):
    answer = shop.post(URL, sent)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_a_strangers_code_is_not_followed(shop):
    answer = shop.post(URL, {"picture": picture_of("https://elsewhere.example/")})
    assert "not from this shop" in answer.content.decode()


def test_a_superseded_paper_is_told_while_its_job_opens(shop):
    job = job_with_found_stack()
    old = printed(job)
    job.complaint = "Something else."
    job.save()
    printed(job)
    answer = shop.post(URL, {"code": paper_address(old.code)}, follow=True)
    assert "is out of date" in answer.content.decode()
