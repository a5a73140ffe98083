"""Signing in, in a real browser."""

from __future__ import annotations

import pytest

from tests.repairs.factories import make_user

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_wrong_password_is_refused_in_words_and_the_name_stays(window):
    make_user("office", username="front")
    reader = window()
    page = reader.open("/sign-in/")
    page.fill("[name=username]", "front")
    page.fill("[name=password]", "wrong")
    page.click("main button[type=submit]")
    assert page.locator("[name=username]").input_value() == "front"
    assert "do not match" in page.locator("main").inner_text()
    assert reader.violations() == []


def test_signing_in_makes_no_foreign_request_and_leaves_no_complaint_in_the_console(window):
    make_user("office", username="front")
    reader = window()
    page = reader.open("/sign-in/")
    page.fill("[name=username]", "front")
    page.fill("[name=password]", "right horse 42")
    page.click("main button[type=submit]")
    page.wait_for_load_state()
    assert (reader.foreign, reader.problems) == ([], [])
