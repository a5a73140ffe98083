"""Numbers as people of a motor shop write them; a comma that could be two things is asked about."""

from __future__ import annotations

from decimal import Decimal

import pytest

from repairs.edge.typed_numbers import NumberError, read_number, read_typed


@pytest.mark.parametrize(
    ("typed", "number", "unit"),
    [
        ("1785", "1785", ""),
        (" 1,785 ", "1785", ""),
        ("1 785", "1785", ""),
        ("1\u202f785.5 rpm", "1785.5", "rpm"),
        ("12,345,678", "12345678", ""),
        ("12,345.5", "12345.5", ""),
        (".0005", "0.0005", ""),
        ("5.", "5", ""),
        ("-20 °C", "-20", "°C"),
        ("−20", "-20", ""),
        ("40C", "40", "C"),
        ("40degC", "40", "degC"),
        ("9 qt", "9", "qt"),
        ("3300 ft", "3300", "ft"),
        ("87.5 %", "87.5", "%"),
        ("1 15/16", "1.9375", ""),
        ("34-1/8", "34.125", ""),
        ('14 3/4"', "14.75", '"'),
        ("14-3/4 in.", "14.75", "in."),
        ("3/8", "0.375", ""),
        ("1½ in", "1.5", "in"),
        ("-1/16", "-0.0625", ""),
        ("1.5e-05", "0.000015", ""),
        ("12.500 lbf", "12.5", "lbf"),
    ],
)
def test_what_a_us_shop_types_is_read(typed, number, unit):
    found = read_typed(typed)
    assert (found.number, found.unit) == (Decimal(number), unit)
    assert read_number(found.text) == found.number


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("0,5", "0.5"),
        ("12,75", "12.75"),
        ("0,500", "0.5"),
        ("1.785,5", "1785.5"),
        ("1,785.5", "1785.5"),
        ("1 785,5", "1785.5"),
        ("1234,567", "1234.567"),
        ("1.785", "1.785"),
        ("1.234.567", "1234567"),
    ],
)
def test_an_si_shop_writes_a_comma_before_decimals(typed, number):
    assert read_number(typed, "si") == Decimal(number)


@pytest.mark.parametrize(
    ("typed", "region", "offered"),
    [
        ("0,500", "us", ("0.500", "500")),
        ("1,785", "si", ("1.785", "1785")),
        ("12,500", "si", ("12.500", "12500")),
        ("0,5", "us", ("0.5",)),
        ("1.785,5", "us", ("1785.5",)),
    ],
)
def test_a_comma_that_could_be_two_things_is_asked_about(typed, region, offered):
    with pytest.raises(NumberError) as refused:
        read_typed(typed, region)
    assert typed in str(refused.value)
    assert all(one in str(refused.value) for one in offered)


@pytest.mark.parametrize(
    "typed",
    ["", "abc", "-", ".", "1 2", "1 23", "12 34 567", "1..5", "1,23,456", "230/460", "16/16", "1 3/7", "1/2/4",
     "0 500", "1.5.2", "1,785.5.5", "9" * 41],
)  # fmt: skip
@pytest.mark.parametrize("region", ["us", "si"])
def test_what_is_no_number_is_refused_by_name(typed, region):
    with pytest.raises(NumberError, match="is not a number"):
        read_typed(typed, region)


def test_a_unit_behind_is_refused_where_the_page_has_it():
    with pytest.raises(NumberError, match="12 in"):
        read_number("12 in")
