"""What a step must have measured before it is signed: the standing list of its kind, and what its sheet requires."""

from __future__ import annotations

from dataclasses import replace

from repairs.measurements.asked_readings import BY_CODE, AskedReading, asked_at
from repairs.measurements.shop_tests.sheets import sheet_of
from repairs.work_orders.models import Step


def required_at(step: Step) -> tuple[AskedReading, ...]:
    """Return what a step is measured by. No sheet takes anything off the list of its kind."""
    listed = asked_at(step.kind)
    sheet = sheet_of(step)
    known = {one.code for one in listed}
    more = [code for row in (sheet.tests if sheet else ()) for code in row.required if code not in known]
    return (
        *listed,
        *(replace(BY_CODE[code], kind=step.kind) for code in dict.fromkeys(more) if code in BY_CODE),
    )
