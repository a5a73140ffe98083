"""A match of many candidates judges each no further than decides it."""

from __future__ import annotations

from bearings.engineering.judgement import Judgement
from tests.bearings.factories import duty, faces, stack
from tests.bearings.test_candidates import bare, codes, place, tried


def test_a_candidate_too_slow_for_the_motor_is_not_tried_over_the_ranges_of_the_rest(monkeypatch):
    """Refused for its speed alone; one that lacks a needed figure is left open for that alone."""
    tried_over_ranges = []
    results = Judgement.results.func
    monkeypatch.setattr(
        Judgement, "results", property(lambda self: tried_over_ranges.append(self) or results(self))
    )
    open_pattern = place(stack(*faces("ddu"), motor=duty(maximum_down_thrust_n=None)))
    slow = tried(open_pattern, bare(limiting_speed_rpm=1_000.0, dynamic_rating_n=None))
    assert (slow.verdict, codes(slow)) == ("refused", ["speed-margin"])
    lacking = tried(open_pattern, bare(dynamic_rating_n=None))
    assert (lacking.verdict, lacking.lacks_data) == ("not_checked", True)
    assert tried_over_ranges == []
    assert tried(open_pattern, bare()).verdict in ("fits", "not_checked")
    assert tried_over_ranges
