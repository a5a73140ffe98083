"""The one formatter: thousands, kept decimals, ends of ranges."""

from __future__ import annotations

from decimal import Decimal

import pytest

from bearings.wording.figures import Figures, exact, plain, range_end


@pytest.mark.parametrize(
    ("kept", "decimals", "us"),
    [
        ("5000", 0, "5,000"),
        ("5000.250000", 0, "5,000.25"),
        ("0.0005", 0, "0.0005"),
        ("-0.5", 0, "\u22120.5"),
        ("-12", 1, "\u221212.0"),
        ("3.9", 4, "3.9000"),
        ("0", 0, "0"),
    ],
)
def test_a_kept_number_is_written_exactly(settings, kept, decimals, us):
    settings.SHOP_UNITS = "us"
    assert exact(Decimal(kept), decimals) == us
    # Fifteen digits, as a column returns them.
    assert exact(Decimal(kept).normalize(), decimals) == us


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (0.1341, 67051.1, ("0.1341", "67,000")),
        (0.13410221, 67.0511, ("0.14", "67")),
        (-40.0, 194.0, ("\u221240", "194")),
        (-123.456, 98.765, ("\u2212120", "98")),
        (0.0, 99.95, ("0", "99.95")),
        (90, 19685.04, ("90", "19,000")),
    ],
)
def test_the_end_of_a_range_is_round_and_inside_it(settings, low, high, words):
    settings.SHOP_UNITS = "us"
    assert (range_end(low, is_low=True), range_end(high, is_low=False)) == words


def test_no_figure_is_written_with_an_exponent(settings):
    settings.SHOP_UNITS = "us"
    assert Figures("si").length(1234567.0) == "1,234,570\u00a0mm"
    assert Figures("si").small_length(-0.00001) == "\u22120.00001\u00a0µm"
    assert plain(1e-7) == "0.0000001"
