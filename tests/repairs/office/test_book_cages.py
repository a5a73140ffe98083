"""Cage material and highest temperatures in the bearing book's form and pages."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from repairs.office.book_forms import RatingForm, rating_initial
from tests.repairs.factories import make_rating, make_user

pytestmark = [pytest.mark.django_db, pytest.mark.data]

TYPED = {"designation": "7320 X", "type": "angular_contact_ball"}


def test_a_cage_is_chosen_and_a_temperature_typed_in_either_scale():
    form = RatingForm({**TYPED, "cage_material": "polyamide", "temperature_limit_c": "248 °F"})
    assert form.is_valid(), form.errors
    assert form.fields_of_rating()["figures"] == {"cage_material": "polyamide", "temperature_limit_c": 120.0}


def test_no_choice_of_a_cage_is_not_entered_yet():
    form = RatingForm({**TYPED, "cage_material": "", "cage_material_not_printed": "on"})
    assert form.is_valid(), form.errors
    fields = form.fields_of_rating()
    assert (fields["figures"], fields["not_printed"]) == ({}, ["cage_material"])


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("cage_material", "plastic", "Select a valid choice."),
        ("temperature_limit_c", "hot", "Accepted: 0 to 500\u00a0°C. Or type the unit: °F"),
        ("stabilised_to_c", "300 K", "Use °C, °F."),
    ],
)
def test_what_is_no_cage_and_no_temperature_is_refused_beside_its_field(name, typed, said):
    form = RatingForm({**TYPED, name: typed})
    assert said in str(form.errors[name])


def test_a_stored_cage_is_shown_in_words_and_its_temperature_in_the_readers_scale(client):
    rating = make_rating(figures={"cage_material": "peek", "temperature_limit_c": 150.0})
    assert rating_initial(rating)["cage_material"] == "peek"
    client.force_login(make_user("lead", units="us"))
    page = client.get(reverse("office:rating", args=[rating.pk])).content.decode()
    text = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page).replace("\u00a0", " "))
    assert "Cage material PEEK" in text
    assert "Temperature limit 150 °C 302 °F" in text
