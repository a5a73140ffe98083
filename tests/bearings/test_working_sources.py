"""A figure of the working that rests on memory or on common practice says so."""

from __future__ import annotations

import pytest

from bearings.engineering.assessment import check_stack
from tests.bearings.factories import angular, duty, guide, oil, stack, thrust_roller

MEMORY = "from memory, unverified"


def sources(built, symbol: str) -> set[str]:
    return {line.source for line in check_stack(built).working if line.symbol.split(" ")[0] == symbol}


def test_the_life_of_a_thrust_roller_says_what_of_it_is_from_memory():
    built = stack(thrust_roller(), guides=(guide("up"),), lubrication=oil())
    assert any("thrust roller bearings from memory" in one for one in sources(built, "aISO"))
    assert not any("thrust roller" in one for one in sources(stack(angular(), lubrication=oil()), "aISO"))


@pytest.mark.parametrize(("load_n", "said"), [(200.0, True), (60_000.0, False)])
def test_a_load_so_low_that_the_limit_counts_says_that_the_limit_is_from_memory(load_n, said):
    light = stack(angular(), motor=duty(down_thrust_n=load_n, rotor_weight_n=1.0), lubrication=oil())
    assert any("eC Cu / P = 5" in one for one in sources(light, "aISO")) is said


@pytest.mark.parametrize(("angle", "said"), [(40.0, False), (25.0, False), (35.0, True), (28.0, True)])
def test_the_static_factor_of_an_angle_that_nobody_confirmed_says_so(angle, said):
    found = sources(stack(angular(contact_angle_deg=angle)), "P0")
    assert found
    assert all((MEMORY in one) is said for one in found)


def test_the_static_load_of_a_thrust_roller_is_common_practice():
    found = sources(stack(thrust_roller(), guides=(guide("up"),)), "P0")
    assert any("common practice, no source" in one for one in found)
