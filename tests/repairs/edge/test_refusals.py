"""What the framework refuses is said in the shop's words: what to enter, not what was ensured."""

from decimal import Decimal

import pytest
from django import forms

CASES = [
    (forms.IntegerField(min_value=1), "0", "Enter 1 or more."),
    (forms.IntegerField(max_value=90), "91", "Enter 90 or less."),
    (forms.CharField(max_length=3), "abcd", "Use 3 characters at most (you typed 4)."),
    (forms.DecimalField(max_digits=9, decimal_places=2), "99999999", "Digits before the decimal point: 7 at most."),
    (forms.DecimalField(max_digits=9, decimal_places=2), "0.001", "Digits after the decimal point: 2 at most."),
    (forms.DateField(), "abc", "Enter a date such as 2026-11-30."),
    (forms.DateField(), "", "Enter a date such as 2026-11-30."),
    (forms.CharField(), "", "Empty. Fill in this field."),
    (forms.FloatField(), "", "Empty. Enter a number."),
    (forms.BooleanField(), "", "Check this box."),
    (forms.ChoiceField(choices=[("a", "a")]), "", "Choose one."),
    (forms.ChoiceField(choices=[("a", "a")]), "b", "Select a valid choice. b is not one of the available choices."),
    (forms.FileField(), None, "Choose a file."),
]  # fmt: skip


@pytest.mark.parametrize(("field", "typed", "words"), CASES)
def test_a_refusal_says_what_to_enter(field, typed, words):
    with pytest.raises(forms.ValidationError) as refused:
        field.clean(typed)
    assert refused.value.messages == [words]


def test_what_is_within_is_taken():
    assert forms.DecimalField(max_digits=9, decimal_places=2).clean("7.25") == Decimal("7.25")
