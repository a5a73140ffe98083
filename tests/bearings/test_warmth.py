"""Preload and life over the warmth of the shaft, against the published check values of the contract's triple."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bearings.engineering.curve import load_curve
from bearings.engineering.judgement import Judgement
from bearings.engineering.warmth import COLDEST_K, WARMEST_K, warmth_curve
from tests.bearings.factories import faces, stack
from tests.reference.test_verdict_figures import triple


def test_the_life_over_warmth_is_that_of_the_check_values():
    """Solid mount, 20 µm interference, 32 200 N: 45 891 h at 10 K, 35 468 h at 15 K (bisection, apart from here)."""
    points = warmth_curve(triple(warmer_k=0.0, interference_um=20.0), [10.0, 15.0])
    assert [point.stack_l10h for point in points] == pytest.approx([45_891, 35_468], rel=2e-3)


def test_a_set_back_to_back_gains_preload_as_the_shaft_warms():
    points = warmth_curve(triple(warmer_k=0.0, interference_um=20.0))
    preloads = [point.preload_n for point in points]
    assert (points[0].warmer_k, points[-1].warmer_k) == (COLDEST_K, WARMEST_K)
    assert preloads == sorted(preloads)
    assert all(point.stack_l10h for point in points)


def test_where_heat_changes_nothing_or_nothing_opposes_there_is_no_curve():
    assert warmth_curve(stack(*faces("dd"))) == ()


def test_the_warm_loads_over_the_thrust_meet_the_check_values():
    """10 K, 20 µm, solid, 32 200 N: 15 573.0, 19 758.8 and 3 131.8 N (bisection, apart from here)."""
    built = triple(warmer_k=10.0, interference_um=20.0)
    warm = Judgement(built).middle.warm_sharing
    curve = load_curve(replace(built), points=200, sharing=warm)
    nearest = min(curve.points, key=lambda point: abs(point.net_axial_n - 32_200.0))
    assert nearest.loads == pytest.approx((15_573.0, 19_758.8, 3_131.8), rel=0.02)
