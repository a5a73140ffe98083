"""Jobs, readings and limits, for tests of what opens a measured gate."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from repairs.measurements.engineering.subjects import BY_CODE
from repairs.measurements.limit_services import enter_limit
from repairs.measurements.models import Reading, StandingLimit
from repairs.measurements.shop_tests.services import TestEntry, correct_test
from repairs.motors.units import unit_of
from repairs.work_orders.gates import STACK_STEPS
from repairs.work_orders.models import Job, Step, StepKind
from tests.repairs.factories import actor_for, make_job, make_motor, make_user
from tests.repairs.measurements.one_figure import entries_for, take_figure

D = Decimal


def plate(**fields: tuple[str, str, float]) -> dict[str, Any]:
    """Return plate fields as they were read: typed, unit, SI."""
    return {
        key: {"state": "read", "typed": typed, "unit": unit, "si": si}
        for key, (typed, unit, si) in fields.items()
    }


def plain_job(**nameplate: tuple[str, str, float]) -> Job:
    """A job without a stack, so that nothing but evidence keeps its steps."""
    job = make_job(make_motor(nameplate=plate(**nameplate)))
    job.steps.filter(kind__in=STACK_STEPS).delete()
    return job


def step_of(job: Job, kind: str = StepKind.END_PLAY) -> Step:
    return job.steps.get(kind=kind)


def take(
    job: Job, value: str, by: Any = None, asked: str = "end_play", unit: str = "mm", **more: Any
) -> Reading:
    kind = StepKind.END_PLAY if asked in {"end_play", "runout"} else StepKind.FINAL_TEST
    actor = actor_for(by or make_user(), **more)
    return take_figure(actor=actor, job=job, step=step_of(job, kind), asked=asked, value=D(value), unit=unit)


def corrected(row: Reading, value: str, by: Any = None) -> Reading:
    """Correct a figure of a gate by its test, in the unit that it is kept in."""
    assert row.test is not None
    test = row.test.test
    canonical = unit_of(BY_CODE[test].results[row.asked], row.unit).to_si(float(D(value)))
    entry = TestEntry(test=test, values=entries_for(row.asked, canonical))
    newer = correct_test(actor=actor_for(by or make_user()), record=row.test, entry=entry, reason="slipped")
    return newer.readings.get(asked=row.asked)


def limit(job: Job | None, by: Any = None, asked: str = "end_play", **more: Any) -> StandingLimit:
    fields = {"unit": "mm", "high": D("0.25"), "source": "order 7", **more}
    return enter_limit(actor=actor_for(by or make_user("lead")), job=job, asked=asked, **fields)
