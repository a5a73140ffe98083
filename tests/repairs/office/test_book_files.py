"""Rating files in the office: chosen, previewed, taken in once, written out; short ones at once, long ones apart."""

from __future__ import annotations

import json
import os
import re
from io import BytesIO
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from bearings.models import Rating, Source
from repairs.ledger.models import Event
from repairs.long_work.models import LongWork
from tests.bearings.book_file.writing import file_of, line, raw
from tests.repairs.factories import make_rating, make_source, make_user
from tests.repairs.office.test_book import words

pytestmark = pytest.mark.django_db


@pytest.fixture
def engineer(client):
    client.force_login(make_user("engineer", units="si"))
    return client


def address(name: str, *args) -> str:
    return reverse(f"office:{name}", args=args)


def hidden(answer) -> dict[str, str]:
    """Return the hidden fields of a page's form."""
    found = re.findall(r'<input type="hidden" name="(\w+)"(?: value="([^"]*)")?', answer.content.decode())
    return {name: value.replace("&quot;", '"') for name, value in found if name != "csrfmiddlewaretoken"}


def upload(file: BytesIO, name: str = "ratings.csv") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, file.getvalue(), content_type="text/csv")


def choose(client, file: BytesIO, source: Source | None = None, **more):
    form = client.get(address("book_import"))
    target = (
        {"source": source.pk} if source else {"maker": "Maker C (invented)", "title": "T", "edition": "1"}
    )
    return client.post(address("book_import"), {**hidden(form), "file": upload(file), **target, **more})


def take_in(client, preview, **decided):
    return client.post(address("book_take_in"), {**hidden(preview), **decided})


def kept(settings) -> list[Path]:
    folder = Path(settings.MEDIA_ROOT) / "book-files"
    return list(folder.iterdir()) if folder.exists() else []


# Who may


@pytest.mark.parametrize("role", ["office", "technician"])
def test_everybody_may_write_a_file_and_only_those_who_keep_the_book_take_one_in(client, role):
    source = make_rating().source
    client.force_login(make_user(role))
    assert client.get(address("book_export", source.pk)).status_code == 200
    assert client.get(address("book_template")).status_code == 200
    assert client.get(address("book_import")).status_code == 403
    assert client.post(address("book_take_in")).status_code == 403
    assert "book/file" not in client.get(address("book")).content.decode()


# Preview


def test_a_preview_says_how_the_file_is_read_and_what_it_would_do_and_writes_nothing(engineer, settings):
    source = make_source()
    answer = choose(engineer, file_of(line(bore="100,0"), separator=";", mark=True), source)
    assert answer.status_code == 200
    text = words(answer)
    assert "Separator semicolon" in text
    assert "UTF-8 with a byte-order mark" in text
    assert "comma, whole file" in text
    assert "new 1 " in text
    assert not Rating.objects.exists()
    assert len(kept(settings)) == 1


def test_mistakes_are_told_by_line_column_value_and_accepted_range(engineer):
    answer = choose(engineer, file_of(line(), line(designation="T22", bore="-110")), make_source())
    assert answer.status_code == 422
    assert re.search(
        r"4 bore -110 Number is out of range. Accepted: a number from 0.001 to 5,000 mm.", words(answer)
    )
    assert "Import file" not in words(answer)


def test_a_file_that_is_no_such_table_is_refused_and_the_choice_of_source_is_not_lost(engineer):
    answer = choose(engineer, raw("a|b\n1|2\n"), None, edition="7th")
    assert answer.status_code == 422
    assert "No known column name" in words(answer)
    assert 'value="7th"' in answer.content.decode()


def test_what_a_new_source_needs_is_asked_for_and_the_file_need_not_be_sent_again(engineer):
    answer = choose(engineer, file_of(line()), None, edition="")
    assert answer.status_code == 422
    assert "ratings.csv is uploaded" in words(answer)
    again = engineer.post(
        address("book_import"),
        {**hidden(answer), "maker": "Maker C (invented)", "title": "T", "edition": "2"},
    )
    assert again.status_code == 200
    assert "Into a new source: Maker C (invented), T, 2" in words(again)


def test_no_file_and_too_large_a_file_are_refused_in_words(engineer, monkeypatch):
    form = hidden(engineer.get(address("book_import")))
    answer = engineer.post(address("book_import"), {**form, "source": make_source().pk})
    assert "Choose a file." in words(answer)
    monkeypatch.setattr("bearings.book_file.MOST_BYTES", 10)
    assert "Accepted: at most 0 MB." in words(choose(engineer, file_of(line()), make_source()))


def test_names_and_values_of_a_file_cannot_break_the_page(engineer):
    answer = choose(engineer, file_of(line(type="<script>x</script>")), make_source())
    html = answer.content.decode()
    assert "<script>x" not in html
    assert "&lt;script&gt;x" in html


# Taking in


def test_a_short_file_is_taken_in_at_once_with_its_event_and_removed(engineer, settings):
    source = make_source()
    preview = choose(engineer, file_of(line(), line(designation="T22")), source)
    answer = take_in(engineer, preview)
    assert answer.url == address("source", source.pk)
    assert Rating.objects.count() == 2
    event = Event.objects.get(verb="ratings.imported")
    assert event.subject_id == str(source.pk)
    assert event.after["file"] == "ratings.csv"
    assert event.after["counts"]["new"] == 2
    assert kept(settings) == []
    assert "2 ratings are new." in words(engineer.get(answer.url))


def test_the_same_decision_sent_twice_is_carried_out_once(engineer):
    source = make_source()
    preview = choose(engineer, file_of(line()), source)
    first, second = take_in(engineer, preview), take_in(engineer, preview)
    assert first.url == second.url == address("source", source.pk)
    assert Rating.objects.count() == 1
    assert Event.objects.filter(verb="ratings.imported").count() == 1


def test_a_new_source_is_made_together_with_its_ratings(engineer):
    answer = take_in(engineer, choose(engineer, file_of(line()), None, published_on="2024-05-01"))
    source = Source.objects.get()
    assert (source.edition, str(source.published_on)) == ("1", "2024-05-01")
    assert answer.url == address("source", source.pk)
    assert Event.objects.filter(verb="source.added").exists()


def test_a_new_source_that_exists_by_now_is_refused_and_the_file_stays_chosen(engineer, settings):
    preview = choose(engineer, file_of(line()))
    make_source(maker="Maker C (invented)", title="T", edition="1")
    answer = take_in(engineer, preview)
    assert answer.status_code == 422
    assert "This edition is already in the book" in words(answer)
    assert "ratings.csv is uploaded" in words(answer)
    assert len(kept(settings)) == 1


def test_doubtful_figures_need_a_tick_that_they_were_read(engineer):
    slip = line(dynamic_rating="48559", static_rating="46760")
    preview = choose(engineer, file_of(slip), make_source())
    assert "Is it in lbf?" in words(preview)
    refused = take_in(engineer, preview)
    assert refused.status_code == 422
    assert "Check these lines, and tick this box." in words(refused)
    assert not Rating.objects.exists()
    assert take_in(engineer, refused, read="on").status_code == 302
    assert Rating.objects.count() == 1


def test_changed_lines_are_shown_old_and_new_and_need_a_decision(engineer):
    source = make_source()
    take_in(engineer, choose(engineer, file_of(line()), source))
    preview = choose(engineer, file_of(line(limiting_speed="2400"), line(designation="T22")), source)
    assert "limiting_speed 2,700 2,400" in words(preview)
    refused = take_in(engineer, preview, changed="refuse")
    assert refused.status_code == 422
    assert Rating.objects.count() == 1
    assert take_in(engineer, refused, changed="correct").status_code == 302
    changed = Event.objects.get(verb="rating.changed")
    assert changed.before["figures"]["limiting_speed_rpm"] == 2700
    assert changed.after["figures"]["limiting_speed_rpm"] == 2400
    assert set(changed.after) == {"figures"}
    assert Rating.objects.get(designation="7320 X").version == 2


def test_a_book_that_changed_since_the_preview_is_looked_at_again(engineer):
    source = make_source()
    preview = choose(engineer, file_of(line()), source)
    make_rating(source)
    answer = take_in(engineer, preview)
    assert answer.status_code == 409
    assert "Someone else changed this source" in words(answer)
    assert Rating.objects.count() == 1


@pytest.mark.parametrize(
    "tampered",
    [
        {"digest": "../../secret-key"},
        {"target": "{}"},
        {"target": '{"source_id": null, "maker": 7, "title": "", "edition": "", "published_on": ""}'},
        {"target": '{"source_id": null, "maker": "", "title": "", "edition": "", "published_on": "soon"}'},
        {"book": '"x"'},
        {"book": "no json"},
        {"form_key": ""},
    ],
)
def test_hidden_fields_changed_on_their_way_take_nothing_in(engineer, tampered):
    preview = choose(engineer, file_of(line()), make_source())
    answer = take_in(engineer, preview, **tampered)
    assert answer.url == address("book_import")
    assert not Rating.objects.exists()


def test_a_file_that_is_gone_is_said_to_be_gone(engineer, settings):
    preview = choose(engineer, file_of(line()), make_source())
    kept(settings)[0].unlink()
    answer = take_in(engineer, preview)
    assert answer.status_code == 422
    assert "deleted after one day" in words(answer)


def test_files_that_nobody_took_in_are_removed_after_a_day(engineer, settings):
    choose(engineer, file_of(line()), make_source())
    (old,) = kept(settings)
    os.utime(old, (0, 0))
    choose(engineer, file_of(line(designation="T22")), make_source())
    assert old not in kept(settings)
    assert len(kept(settings)) == 1


# Long files


def long_file(**more) -> BytesIO:
    return file_of(*(line(designation=f"T{n:04d}", **more) for n in range(600)))


@pytest.fixture
def committed(django_capture_on_commit_callbacks):
    return lambda: django_capture_on_commit_callbacks(execute=True)


def test_a_long_file_is_checked_and_taken_in_apart_with_its_progress(engineer, committed, settings):
    source = make_source()
    with committed():
        going = choose(engineer, long_file(), source)
    work = LongWork.objects.get(kind="book.check")
    assert going.url == address("book_checked", work.pk)
    assert (work.state, work.done, work.total) == ("done", 600, 600)
    preview = engineer.get(going.url)
    assert "new 600 " in words(preview)
    with committed():
        answer = take_in(engineer, preview)
    importing = LongWork.objects.get(kind="book.import")
    assert answer.url == reverse("long_work", args=[importing.pk])
    assert importing.state == "done"
    assert Rating.objects.count() == 600
    assert "600 ratings are new." in words(engineer.get(answer.url))
    assert Event.objects.get(verb="ratings.imported").actor_id == importing.asked_by_id
    assert kept(settings) == []


def test_a_long_file_that_waits_shows_that_it_waits(engineer):
    # Without the commit nobody begins.
    answer = choose(engineer, long_file(), make_source())
    html = engineer.get(answer.url).content.decode()
    assert 'hx-trigger="long-work-ended from:body"' in html
    assert 'class="long-work"' in html


def test_a_long_file_with_mistakes_is_previewed_with_the_first_of_them(engineer, committed):
    with committed():
        answer = choose(engineer, long_file(bore="-1"), make_source())
    text = words(engineer.get(answer.url))
    assert "first 100" in text
    assert "wrong 600 " in text


def test_a_long_file_that_cannot_be_read_says_so_where_its_progress_stood(engineer, committed):
    with committed():
        answer = choose(
            engineer, raw("designation,type\n,\n" + "7320,deep_groove_ball\n" * 600 + '"open'), make_source()
        )
    assert "quotation mark that is not closed" in words(engineer.get(answer.url))


def test_long_work_refuses_what_changed_since_the_preview_in_words(engineer, committed):
    source = make_source()
    with committed():
        checked = choose(engineer, long_file(), source).url
    preview = engineer.get(checked)
    make_rating(source)
    with committed():
        answer = take_in(engineer, preview)
    assert "Someone else changed this source" in words(engineer.get(answer.url))
    assert Rating.objects.count() == 1


def test_long_work_asks_for_the_same_decisions(engineer, committed):
    slip = {"dynamic_rating": "48559", "static_rating": "46760"}
    with committed():
        checked = choose(engineer, long_file(**slip), make_source()).url
    assert take_in(engineer, engineer.get(checked)).status_code == 422
    assert not LongWork.objects.filter(kind="book.import").exists()


# Writing out


def test_a_source_is_written_as_the_file_that_is_read_back_equal(engineer):
    rating = make_rating(designation="7320 X", variant="=1+1", not_printed=["grease_speed_rpm"])
    answer = engineer.get(address("book_export", rating.source_id))
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert 'filename="maker-a-invented-bearing-tables' in answer["Content-Disposition"]
    content = b"".join(answer.streaming_content)
    assert content.startswith(b"\xef\xbb\xbfdesignation,variant,cage,type,bore,")
    preview = choose(engineer, BytesIO(content), rating.source)
    assert "already in the book, skipped 1 " in words(preview)
    assert "Everything in this file is already in the book" in words(preview)


def test_the_file_to_begin_with_has_header_units_and_two_invented_lines(engineer):
    content = b"".join(engineer.get(address("book_template")).streaming_content).decode("utf-8-sig")
    rows = content.splitlines()
    assert rows[1].split(",")[4] == "mm"
    assert all("invented example" in row for row in rows[2:])
    assert len(rows) == 4


def test_the_hidden_target_of_a_preview_is_the_chosen_one(engineer):
    source = make_source()
    target = json.loads(hidden(choose(engineer, file_of(line()), source))["target"])
    assert target["source_id"] == source.pk
