"""The page that compares two sources."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse

from tests.repairs.factories import make_rating, make_source, make_user
from tests.repairs.office.test_book import words

pytestmark = pytest.mark.django_db
PAGE = reverse("office:book_editions")


@pytest.fixture
def reader(client):
    client.force_login(make_user("technician", units="si"))
    return client


@pytest.fixture
def editions():
    older, newer = (make_source(edition=str(year), published_on=date(year, 1, 1)) for year in (2019, 2024))
    make_rating(older, designation="7320 X", figures={"limiting_speed_rpm": 2700, "dynamic_rating_n": 2e5})
    make_rating(newer, designation="7320 X", figures={"limiting_speed_rpm": 2430, "dynamic_rating_n": 2.1e5})
    make_rating(older, designation="7322 X")
    make_rating(newer, designation="7324 B")
    return older, newer


def compare(client, editions, **more):
    older, newer = editions
    return client.get(PAGE, {"older": older.pk, "newer": newer.pk, **more})


def test_what_changed_is_said_with_old_new_and_per_cent(reader, editions):
    text = words(compare(reader, editions)).replace("\u00a0", " ")
    assert "Limiting speed 2,700 rpm → 2,430 rpm −10.0%" in text
    assert "Dynamic rating 200,000 N → 210,000 N +5.0%" in text
    assert text.index("7320 X") < text.index("7322 X") < text.index("7324 B")


@pytest.mark.parametrize(
    ("show", "there", "absent"),
    [("lower", "7320 X", "7322 X"), ("gone", "7322 X", "7324 B"), ("new", "7324 B", "7320 X")],
)
def test_the_address_says_which_lines_are_shown(reader, editions, show, there, absent):
    text = words(compare(reader, editions, show=show))
    assert there in text
    assert absent not in text


def test_a_designation_narrows_it(reader, editions):
    text = words(compare(reader, editions, q="73 24"))
    assert "7324 B" in text
    assert "7320 X" not in text


def test_of_a_newer_source_alone_the_edition_before_it_is_compared(reader, editions):
    text = words(reader.get(PAGE, {"newer": editions[1].pk}))
    assert "−10.0" in text


def test_without_a_choice_the_page_asks_and_a_source_against_itself_is_refused(reader, editions):
    assert reader.get(PAGE).status_code == 200
    older = editions[0]
    answer = reader.get(PAGE, {"older": older.pk, "newer": older.pk})
    assert answer.status_code == 422
    assert "Choose two different sources." in words(answer)
    assert reader.get(PAGE, {"older": "x", "newer": "99999"}).status_code == 422
    assert reader.get(PAGE, {"newer": "99999"}).status_code == 200


def test_the_page_costs_the_same_for_few_and_for_many(reader, editions, django_assert_num_queries):
    for n in range(60):
        for source in editions:
            make_rating(source, designation=f"T{n}", figures={"limiting_speed_rpm": 1000 + source.pk * n})
    who = 2  # session and person
    with django_assert_num_queries(who + 6):
        answer = compare(reader, editions)
    assert "1–50 of" in words(answer)
