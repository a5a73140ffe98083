"""Computed beside measured: what may be compared, and what a shop's runs teach."""

from __future__ import annotations

import pytest

from repairs.measurements.engineering.computed import (
    FEWEST_RUNS,
    compared,
    learned,
    predicted_rise,
    why_loads_differ,
)


@pytest.mark.parametrize(
    ("down", "up", "without", "why"),
    [
        (500, 500, True, None),
        (525, 475, True, None),
        (526, 500, True, "other_load"),
        (500, 474, True, "other_load"),
        (None, 500, True, "no_loads"),
        (500, None, True, "no_loads"),
        (500, 500, None, "weight_unsaid"),
        (500, 500, False, "weight_unsaid"),
    ],
)
def test_an_end_play_is_compared_under_the_predictions_own_load_alone(down, up, without, why) -> None:
    assert why_loads_differ(500, down, up, without_weight=without) == why


def test_both_ends_belong_to_the_band() -> None:
    assert [compared(one, 1.0, 2.0) for one in (0.99, 1.0, 2.0, 2.01)] == [
        "below",
        "inside",
        "inside",
        "above",
    ]


def test_the_rise_is_where_the_seats_pass_on_the_friction() -> None:
    """1000 W, seats that pass on 2000 W at 50 K: 25 K (arithmetic)."""
    assert predicted_rise(1000, 2000, 50) == 25
    assert predicted_rise(1000, 0, 50) is None
    assert predicted_rise(1000, 2000, 0) is None


def test_fewer_than_five_runs_teach_nothing() -> None:
    assert FEWEST_RUNS == 5
    assert learned([1.0, 1.1, 0.9, 1.2]) is None
    assert learned([1.0, 1.1, 0.9, 1.2, 2.0]) == (1.1, 0.9, 2.0, 5)
    assert learned([]) is None
