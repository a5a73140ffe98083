"""Passing orders against published fault-frequency sets."""

import csv
from pathlib import Path

import pytest

from bearings.engineering.assessment import check_stack
from bearings.engineering.kinematics import passing_orders, stack_orders
from bearings.engineering.quantities import Bearing
from tests.bearings.factories import angular, stack

SET = (Path(__file__).parents[1] / "reference" / "internal_geometry.csv").read_text(encoding="utf-8")
ROWS = list(csv.DictReader(SET.splitlines()))
TYPES = {"deep groove ball": "deep_groove_ball", "cylindrical roller": "cylindrical_roller"}


def bearing(row):
    angle = float(row["alpha_deg"])
    kind = TYPES.get(row["type"], "angular_contact_ball")
    return Bearing(
        type=kind,
        contact_angle_deg=angle if kind == "angular_contact_ball" else None,
        wide_face="down" if kind == "angular_contact_ball" else None,
        ball_count=int(row["Z"]),
        ball_diameter_mm=float(row["Dw_mm"]),
        pitch_diameter_mm=float(row["Dpw_mm"]),
    )


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['designation']} {row['source'][:12]}")
def test_orders_follow_from_the_inside_of_published_test_bearings(row):
    # Column *_calc: computed apart from this code from the sizes that the data papers print.
    orders = passing_orders(bearing(row))
    assert orders.outer == pytest.approx(float(row["bpfo_order_calc"]), abs=6e-5)
    assert orders.inner == pytest.approx(float(row["bpfi_order_calc"]), abs=6e-5)


@pytest.mark.parametrize("row", [row for row in ROWS if row["bpfo_pub"]], ids=lambda row: row["designation"])
def test_orders_agree_with_those_that_a_test_rig_publishes(row):
    # Its page prints four decimals from inch sizes; the sizes here are recollected, so three decimals are asked.
    orders = passing_orders(bearing(row))
    assert orders.outer == pytest.approx(float(row["bpfo_pub"]), abs=5e-4)
    assert orders.inner == pytest.approx(float(row["bpfi_pub"]), abs=5e-4)


def test_cage_and_ball_orders_agree_with_the_published_ones():
    # 6205 of the same page: cage 0.39828; it prints twice the ball's turn, 4.7135.
    row = next(row for row in ROWS if row["bpfo_pub"] and row["designation"] == "6205")
    orders = passing_orders(bearing(row))
    assert orders.cage == pytest.approx(0.39828, abs=5e-5)
    assert 2 * orders.ball == pytest.approx(4.7135, abs=2e-3)


def test_ball_passes_of_both_rings_add_up_to_the_number_of_balls():
    orders = passing_orders(angular())
    assert orders.outer + orders.inner == pytest.approx(13)


def test_an_unknown_inside_gives_no_orders():
    assert passing_orders(angular(ball_count=None)) is None
    assert passing_orders(angular(contact_angle_deg=None)) is None


def test_the_working_tells_the_orders_of_each_bearing_whose_inside_is_known():
    lines = check_stack(stack(angular("d"), angular("d", ball_count=None))).working
    told = [(line.ref, line.symbol) for line in lines if line.topic == "passing"]
    assert told == [("1", "cage"), ("1", "outer"), ("1", "inner"), ("1", "ball")]


def test_a_stack_tells_the_orders_of_the_bearings_whose_inside_is_known():
    one = stack(angular("d"), angular("d", ball_count=None))
    assert stack_orders(one) == {"1": passing_orders(angular("d"))}
