"""A recorded bearing against the newest edition of the book that it came from. Makers and figures are invented."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from bearings.models import Rating
from bearings.public import Editions, rating_as_bearing
from tests.repairs.factories import make_rating, make_source

pytestmark = [pytest.mark.django_db, pytest.mark.data]
FIGURES = {
    "contact_angle_deg": 40,
    "dynamic_rating_n": 216000,
    "static_rating_n": 208000,
    "limiting_speed_rpm": 2700,
}


def edition(year: int | None, name: str = "", **more: Any):
    published = date(year, 1, 1) if year else None
    return make_source(edition=name or f"{year}", published_on=published, **more)


def rated(source, speed: float | None = 2700, **more: Any) -> Rating:
    figures = {name: value for name, value in {**FIGURES, "limiting_speed_rpm": speed}.items() if value}
    return make_rating(source, **{"designation": "7320 X", "variant": "C3", "figures": figures, **more})


def copied(rating: Rating, *, linked: bool = True, **data: Any) -> dict[str, Any]:
    fields = {**rating_as_bearing(rating), "wide_face": "down", **data}
    return {"uid": "b1", "rating_id": rating.pk if linked else None, "data": fields}


def renewal(entry):
    return Editions([entry]).renewal(entry)


def test_a_newer_edition_of_the_same_title_gives_its_figures_and_the_record_is_untouched():
    old, new = rated(edition(2019)), rated(edition(2024), 2500)
    entry = copied(old)
    found = renewal(entry)
    assert found.changes == {"limiting_speed_rpm": (2700, 2500)}
    assert found.data == {**entry["data"], "limiting_speed_rpm": 2500, "source": str(new.source)}
    assert entry["data"]["limiting_speed_rpm"] == 2700


def test_an_entry_without_a_link_is_found_by_what_it_says_of_itself():
    old = rated(edition(2019), cage="brass")
    rated(edition(2024), 2500, cage="brass")
    assert renewal(copied(old, linked=False)).changes == {"limiting_speed_rpm": (2700, 2500)}
    assert (
        renewal(copied(old, linked=False, designation="7320-x", cage="Brass")).data["limiting_speed_rpm"]
        == 2500
    )
    assert (
        renewal(copied(old, linked=False, source="the book on the shelf")).data["limiting_speed_rpm"] == 2500
    )


def test_a_bearing_that_names_no_source_did_not_come_from_the_book():
    old = rated(edition(2019))
    rated(edition(2024), 2500)
    assert renewal(copied(old, linked=False, source="")) is None


@pytest.mark.parametrize("other", [{"variant": "C4"}, {"cage": "steel"}, {"designation": "7322 X"}])
def test_another_variant_cage_or_designation_changes_nothing(other):
    old = rated(edition(2019))
    rated(edition(2024), 2500, **other)
    assert renewal(copied(old)) is None


def test_another_title_of_the_same_maker_changes_nothing():
    old = rated(edition(2019))
    rated(edition(2024, title="Pocket tables"), 2500)
    assert renewal(copied(old)) is None


def test_an_unlinked_entry_that_several_titles_print_is_left_alone():
    old = rated(edition(2019))
    rated(edition(2024, title="Pocket tables"), 2500)
    assert renewal(copied(old, linked=False, source="the book on the shelf")) is None


def test_an_older_edition_entered_later_changes_nothing():
    new = rated(edition(2024))
    rated(edition(2011), 2500)
    assert renewal(copied(new)) is None


def test_without_a_date_the_year_in_the_name_tells_and_then_the_order_of_entry():
    old = rated(edition(None, "2019 autumn"))
    rated(edition(None, "printing of 2011"), 2400)
    assert renewal(copied(old)) is None
    rated(edition(None, "2023"), 2500)
    assert renewal(copied(old)).data["limiting_speed_rpm"] == 2500


def test_a_rating_corrected_after_it_was_copied_gives_its_figures_of_today():
    own = rated(edition(2024))
    entry = copied(own)
    assert renewal(entry) is None
    own.figures, own.version = {**own.figures, "limiting_speed_rpm": 2600}, 2
    own.save()
    assert renewal(entry).changes == {"limiting_speed_rpm": (2700, 2600)}


def test_a_speed_that_the_newest_edition_no_longer_prints_is_not_known_any_more():
    old = rated(edition(2019))
    rated(edition(2024), None)
    found = renewal(copied(old))
    assert found.changes == {"limiting_speed_rpm": (2700, None)}
    assert "limiting_speed_rpm" not in found.data


def test_what_was_measured_or_changed_by_hand_stays():
    old = rated(edition(2019))
    rated(edition(2024), 2500)
    found = renewal(copied(old, ball_count=13, dynamic_rating_n=180000))
    assert found.changes == {"limiting_speed_rpm": (2700, 2500)}
    assert (found.data["ball_count"], found.data["dynamic_rating_n"]) == (13, 180000)


def test_a_link_that_its_entry_outgrew_is_not_followed():
    old = rated(edition(2019))
    rated(edition(2024), 2500)
    assert renewal(copied(old, designation="7322 X")) is None


def test_a_whole_chunk_of_bearings_asks_the_book_once(django_assert_num_queries):
    old = rated(edition(2019))
    rated(edition(2024), 2500)
    entries = [copied(old) for _number in range(50)]
    with django_assert_num_queries(1):
        editions = Editions(entries)
        assert all(editions.renewal(entry) for entry in entries)
    with django_assert_num_queries(0):
        Editions([copied(old, linked=False, source="")])


@pytest.mark.parametrize(
    ("name", "own", "newer", "today"),
    [
        ("limiting_speed_rpm", 2700, 3000, 2700),
        ("limiting_speed_rpm", 2700, 2500, 2500),
        ("dynamic_rating_n", 216000, 230000, 216000),
        ("static_rating_n", 208000, 190000, 190000),
        ("minimum_load_factor_n", 300, 200, 300),
        ("minimum_load_factor_n", 300, 400, 400),
    ],
)
def test_a_newer_edition_lowers_a_rating_and_never_raises_it(name, own, newer, today):
    """What is built in does not become better because a later book says more of bearings made since."""
    old = make_rating(edition(2019), designation="7320 X", figures={**FIGURES, name: own})
    make_rating(edition(2024), designation="7320 X", figures={**FIGURES, name: newer})
    entry = copied(old)
    found = renewal(entry)
    assert (entry if found is None else {"data": found.data})["data"][name] == today
