"""One figure that a gate asks for, taken by the test that answers it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from repairs.ledger.services import Actor
from repairs.measurements.engineering.subjects import BY_CODE, TEST_OF
from repairs.measurements.models import Reading
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.motors.units import unit_of
from repairs.work_orders.models import Job, Step


def entries_for(asked: str, value: float) -> dict[str, Any]:
    """Return what is entered of a test so that one of its results is this figure."""
    return {
        "end_play": {"down_1": 0.0, "up_1": value},
        "runout": {"shaft_tir": value},
        "insulation": {"r_1min": value, "winding_c": 40.0},
    }.get(asked, {asked: value})


def take_figure(*, actor: Actor, job: Job, step: Step, asked: str, value: Decimal, unit: str) -> Reading:
    """Make the test of a figure, and return the reading that it filed."""
    test = TEST_OF[asked]
    canonical = unit_of(BY_CODE[test].results[asked], unit).to_si(float(value))
    entry = TestEntry(test=test, values=entries_for(asked, canonical))
    return record_test(actor=actor, job=job, step=step, entry=entry).readings.get(asked=asked)
