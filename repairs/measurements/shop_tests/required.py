"""What a step must have measured before it is signed: the standing list of its kind, and what its sheet requires."""

from __future__ import annotations

from typing import Final

from repairs.measurements.asked_readings import BY_CODE as ASKED
from repairs.measurements.asked_readings import AskedReading, asked_at
from repairs.measurements.engineering.subjects import BY_CODE, TEST_OF
from repairs.measurements.shop_tests.sheets import sheet_of
from repairs.measurements.words import BY_CODE as WORDS
from repairs.motors.units import QUANTITIES
from repairs.work_orders.models import Step

# Tests that are made while the motor turns: a run that the customer did without leaves them out.
OF_RUN: Final = frozenset({"no_load", "load_run", "vibration", "run_temperatures", "shaft_voltage"})


def asked_of_result(code: str, kind: str = "") -> AskedReading:
    """Return a result of a shop test as a reading that a gate asks for."""
    if code in ASKED:
        return ASKED[code]
    test = TEST_OF[code]
    units = tuple(dict.fromkeys(unit.name for unit in QUANTITIES[BY_CODE[test].results[code]]))
    return AskedReading(code, WORDS[test].results[code], kind, units, test in OF_RUN)


def required_at(step: Step) -> tuple[AskedReading, ...]:
    """Return what a step is measured by. No sheet takes anything off the list of its kind."""
    listed = asked_at(step.kind)
    sheet = sheet_of(step)
    known = {one.code for one in listed}
    more = [code for row in (sheet.tests if sheet else ()) for code in row.required if code not in known]
    return (*listed, *(asked_of_result(code, step.kind) for code in dict.fromkeys(more) if code in TEST_OF))
