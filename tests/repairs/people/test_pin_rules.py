"""Which PINs are refused, and how long wrong ones make people wait."""

from __future__ import annotations

from datetime import timedelta

import pytest

from repairs.people.pin_forms import NewPinForm
from repairs.people.pin_rules import fault_of, lock_for, wait_after


@pytest.mark.parametrize(
    ("pin", "digits", "word"),
    [
        ("0000", 4, "at least three different"),
        ("111111", 6, "at least three different"),
        ("373737", 6, "at least three different"),
        ("1234", 4, "in sequence"),
        ("123456", 6, "in sequence"),
        ("654321", 6, "in sequence"),
        ("890123", 6, "in sequence"),
        ("427427", 6, "Repeated groups"),
        ("1987", 4, "like a year"),
        ("198742", 6, "like a year"),
        ("421987", 6, "like a year"),
        ("2580", 4, "straight line"),
        ("147258", 6, "straight line"),
        ("40291", 6, "5 digits; it needs 6"),
        ("40291755554444333322", 6, "20 digits; it needs 6"),
        ("40a917", 6, "digits 0 to 9"),
        ("٤٠٢٩١٧", 6, "digits 0 to 9"),
        ("", 6, "digits 0 to 9"),
    ],
)
def test_a_pin_that_is_guessed_first_is_refused_in_words(pin, digits, word):
    assert word in fault_of(pin, digits)


@pytest.mark.parametrize(("pin", "digits"), [("402917", 6), ("7159", 4), ("60381725", 8), ("715038", 6)])
def test_other_pins_will_do(pin, digits):
    assert fault_of(pin, digits) == ""


def test_the_wait_grows_with_each_wrong_try():
    waits = [wait_after(failures) for failures in range(8)]
    assert waits == sorted(waits)
    assert waits[1] == timedelta(0) < waits[2] < waits[3] < waits[4]


def test_each_lock_in_a_row_lasts_twice_as_long_up_to_a_day():
    assert [lock_for(n) for n in range(3)] == [
        timedelta(minutes=15),
        timedelta(minutes=30),
        timedelta(hours=1),
    ]
    assert lock_for(7) == lock_for(500) == timedelta(hours=24)


@pytest.mark.parametrize(
    ("typed", "taken"), [("402", False), ("4029", True), ("40291738", True), ("402917385", False)]
)
def test_a_pin_is_typed_in_four_to_eight_figures(typed, taken):
    form = NewPinForm({"pin": typed, "again": typed})
    assert form.is_valid() is taken
    assert taken or form.errors["pin"] == ["A PIN has 4 to 8 digits."]
