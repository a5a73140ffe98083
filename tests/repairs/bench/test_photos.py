"""Photos and their marks at the bench: taken in once, keyed to the list, frozen with the record."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.photos import pixels
from repairs.photos.models import Mark
from repairs.photos.services import PhotoError
from repairs.work_orders.models import JobPhoto, Stage
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.stack_signing import sign_record
from tests.repairs.factories import actor_for, key_photo, make_job, make_stack_record, make_user, picture_file

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def shop(client: Client) -> Client:
    client.force_login(make_user())
    return client


def placed(record: Any) -> JobPhoto:
    actor = actor_for(record.started_by)
    return add_photos(actor=actor, job=record.job, files=[picture_file()], stack_record=record)[0]


def address(place: JobPhoto) -> str:
    return reverse("bench:photo", args=[place.job.number, place.pk])


def test_a_photo_is_taken_in_once_for_the_stack_whose_page_sent_it(shop):
    record = make_stack_record()
    url = reverse("bench:photos", args=[record.job.number])
    for _again in range(2):
        body = {"stage": "as_found", "form_key": "p", "caption": "mark the top", "files": picture_file()}
        assert shop.post(url, body).status_code == 302
    place = JobPhoto.objects.get()
    assert (place.stack_record, place.photo.caption) == (record, "mark the top")


def test_a_file_that_is_no_picture_is_refused_in_words_and_keeps_the_caption(shop):
    record = make_stack_record()
    url = reverse("bench:photos", args=[record.job.number])
    body = {"stage": "as_found", "form_key": "p", "caption": "face of 2"}
    answer = shop.post(url, {**body, "files": SimpleUploadedFile("x.jpg", b"not a picture")})
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "x.jpg" in html
    assert 'value="face of 2"' in html
    assert not JobPhoto.objects.exists()


def several(**more: Any) -> dict[str, Any]:
    """Return a form with two good pictures around one that is cut off."""
    whole = picture_file(size=(90, 60)).read()
    files = [
        picture_file("one.jpg"),
        SimpleUploadedFile("half.jpg", whole[: len(whole) // 2]),
        picture_file("two.jpg", size=(70, 50)),
    ]
    return {"stage": "as_found", "form_key": "p", "caption": "faces", "files": files, **more}


def names() -> list[str]:
    return [place.photo.original_name for place in JobPhoto.objects.select_related("photo")]


def test_each_file_of_a_form_stands_for_itself_and_the_form_sent_again_doubles_none(shop):
    url = reverse("bench:photos", args=[make_stack_record().job.number])
    for _again in range(2):
        answer = shop.post(url, several(), follow=True)
        html = answer.content.decode()
        assert answer.redirect_chain[0][1] == 302
        assert "2 photos saved. Not saved: half.jpg is incomplete: the end of the file is missing." in html
        assert names() == ["one.jpg", "two.jpg"]


def test_an_htmx_form_is_answered_with_what_was_saved_and_what_was_not(shop):
    url = reverse("bench:photos", args=[make_stack_record().job.number])
    answer = shop.post(url, several(), headers={"HX-Request": "true"})
    html = answer.content.decode()
    assert answer.status_code == 200
    assert "2 photos saved. Not saved: half.jpg is incomplete" in html
    assert html.count("/thumbnail/") == 2


@pytest.mark.parametrize("way", ["at-once", "later"])
def test_a_tablet_hears_which_files_of_an_entry_it_must_keep(shop, way):
    record = make_stack_record()
    user = make_user("lead")
    shop.force_login(user)
    url = reverse("bench:photos", args=[record.job.number])
    for _again in range(2):
        answer = shop.post(url, several(), headers={"X-Outbox": way, "X-Outbox-Person": str(user.pk)})
        said = answer.json()
        assert (answer.status_code, said["state"]) == (200, "done")
        assert [one["file"] for one in said["files"]] == [1]
        assert said["files"][0]["words"].startswith("half.jpg is incomplete")
        assert "2 photos saved" in said["words"]
        assert names() == ["one.jpg", "two.jpg"]


def test_the_files_sent_once_more_in_a_new_form_are_not_doubled(shop):
    url = reverse("bench:photos", args=[make_stack_record().job.number])
    shop.post(url, several())
    html = shop.post(url, several(form_key="new"), follow=True).content.decode()
    assert "2 photos were already here." in html
    assert "half.jpg is incomplete" in html
    assert names() == ["one.jpg", "two.jpg"]


def test_a_form_of_refused_files_alone_stores_nothing_and_names_each(shop, settings):
    url = reverse("bench:photos", args=[make_stack_record().job.number])
    files = [SimpleUploadedFile("a.jpg", b"a"), SimpleUploadedFile("b.jpg", b"b")]
    answer = shop.post(url, several(files=files))
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "a.jpg cannot be read" in html
    assert "b.jpg cannot be read" in html
    assert not [path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()]


def test_a_picture_that_was_scaled_says_so(shop, monkeypatch):
    monkeypatch.setattr(pixels, "WHOLE_PIXELS", 1_000_000)
    url = reverse("bench:photos", args=[make_stack_record().job.number])
    big = picture_file("big.jpg", size=(3000, 2000))
    html = shop.post(url, several(files=big), follow=True).content.decode()
    assert "big.jpg had 6 million pixels and was saved with 0.4 million." in html


def test_pictures_are_not_decoded_again_for_a_form_that_was_carried_out(shop, monkeypatch):
    url = reverse("bench:photos", args=[make_stack_record().job.number])
    shop.post(url, several())

    def decoded(*_args: Any, **_more: Any) -> None:
        raise AssertionError("it was decoded again")

    monkeypatch.setattr("repairs.photos.services.decode_photo", decoded)
    assert shop.post(url, several()).status_code == 302


@pytest.mark.django_db(transaction=True)
def test_one_picture_from_two_tablets_at_once_is_answered_and_kept_once():
    record = make_stack_record()
    url = reverse("bench:photos", args=[record.job.number])
    tablets = []
    for role in ("technician", "lead"):
        tablets.append(Client())
        tablets[-1].force_login(make_user(role))
    answers: list[int] = []

    def send(tablet: Client) -> None:
        try:
            answers.append(tablet.post(url, several(form_key=uuid4().hex)).status_code)
        finally:
            connection.close()

    threads = [threading.Thread(target=send, args=[tablet]) for tablet in tablets]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert answers == [302, 302]
    assert sorted(names()) == ["one.jpg", "two.jpg"]


def test_a_tap_marks_a_part_by_its_number_and_a_second_tap_moves_the_mark(shop):
    record = make_stack_record()
    place = placed(record)
    for key, x in (("1", "0.25"), ("2", "0.75")):
        body = {"item_uid": "b2", "x": x, "y": "0.5", "form_key": key}
        assert shop.post(address(place), body).status_code == 302
    mark = Mark.objects.get()
    assert (mark.x, mark.item_uid) == (0.75, "b2")
    assert '<text y="6">2</text>' in shop.get(address(place)).content.decode()


def test_without_a_script_the_grid_places_the_mark_in_the_middle_of_a_square(shop):
    place = placed(make_stack_record())
    shop.post(address(place), {"item_uid": "b1", "square": "1-6", "form_key": "g"})
    mark = Mark.objects.get()
    assert (mark.x, mark.y) == (0.5 / 8, 5.5 / 6)


def test_a_mark_without_a_place_is_refused_and_its_name_stays(shop):
    place = placed(make_stack_record())
    answer = shop.post(address(place), {"label": "crack", "item_uid": "", "form_key": "g"})
    assert answer.status_code == 422
    assert 'value="crack"' in answer.content.decode()


@pytest.mark.parametrize(
    ("x", "y", "status"),
    [("0", "0", 302), ("1", "1", 302), ("-0.01", "0.5", 422), ("0.5", "1.01", 422)],
    ids=["corner", "other corner", "left of it", "below it"],
)
def test_a_mark_lies_on_the_photo_up_to_its_edges_and_is_told_with_its_place(shop, x, y, status):
    place = placed(make_stack_record())
    body = {"label": "crack", "item_uid": "", "x": x, "y": y, "form_key": "g"}
    assert shop.post(address(place), body).status_code == status
    told = [one.after for one in Event.objects.filter(verb="mark.placed", job_number=place.job.number)]
    kept = {"x": float(x), "y": float(y), "item": "", "label": "crack"}
    assert told == ([kept] if status == 302 else [])


def test_a_photo_of_a_signed_record_and_its_marks_stay_as_they_are(shop):
    record = make_stack_record()
    place = placed(record)
    record.top_identified = True
    record.save()
    key_photo(place, record)
    sign_record(actor=actor_for(record.started_by), record=record, version=1)
    marks = Mark.objects.count()
    answer = shop.post(address(place), {"item_uid": "b1", "x": "0.5", "y": "0.5", "form_key": "g"})
    assert answer.status_code == 422
    assert Mark.objects.count() == marks
    gone = shop.post(address(place), {"do": "withdraw", "reason": "blurred", "form_key": "w"})
    assert gone.status_code == 422
    assert "cannot be withdrawn" in gone.content.decode()
    place.refresh_from_db()
    assert place.withdrawn_at is None


def test_a_withdrawn_photo_is_no_longer_shown_and_needs_a_reason(shop):
    place = placed(make_stack_record())
    assert shop.post(address(place), {"do": "withdraw", "form_key": "a"}).status_code == 422
    assert (
        shop.post(address(place), {"do": "withdraw", "reason": "blurred", "form_key": "b"}).status_code == 302
    )
    assert shop.get(address(place)).status_code == 404


def test_of_photos_that_are_put_on_a_job_together_one_that_is_no_picture_keeps_all_away():
    record = make_stack_record()
    files = [picture_file(), SimpleUploadedFile("note.jpg", b"no picture", "image/jpeg")]
    with pytest.raises(PhotoError, match=r"note\.jpg"):
        add_photos(actor=actor_for(record.started_by), job=record.job, files=files, stack_record=record)
    assert not JobPhoto.objects.exists()


def test_photos_of_the_specified_stack_are_hidden_while_it_is_recorded_as_built(shop):
    job = make_job()
    place = placed(make_stack_record(job, Stage.SPECIFIED))
    make_stack_record(job, Stage.AS_BUILT, items=[])
    assert shop.get(address(place)).status_code == 404
    assert str(place.photo_id) not in shop.get(reverse("bench:photos", args=[job.number])).content.decode()
