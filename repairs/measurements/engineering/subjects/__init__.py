"""Every shop test, in the order in which a motor meets them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from repairs.measurements.engineering.limits import Limit
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import NO_LIMITS, Answer, Entries, Subject, Value, judged
from repairs.measurements.engineering.subjects import (
    air_gap,
    balance,
    core_test,
    end_play,
    high_potential,
    hot_resistance,
    insulation,
    load_run,
    lock_nut,
    lubricant,
    nameplate_check,
    no_load,
    oven,
    run_temperatures,
    sensors,
    shaft_runout,
    shaft_voltage,
    spectrum,
    surge,
    vibration,
    winding_resistance,
)

SUBJECTS: Final[tuple[Subject, ...]] = (
    insulation.SUBJECT,
    winding_resistance.SUBJECT,
    hot_resistance.SUBJECT,
    high_potential.SUBJECT,
    surge.SUBJECT,
    no_load.SUBJECT,
    load_run.SUBJECT,
    nameplate_check.SUBJECT,
    sensors.SUBJECT,
    shaft_voltage.SUBJECT,
    core_test.SUBJECT,
    oven.SUBJECT,
    vibration.SUBJECT,
    balance.SUBJECT,
    shaft_runout.SUBJECT,
    air_gap.SUBJECT,
    end_play.SUBJECT,
    run_temperatures.SUBJECT,
    lubricant.SUBJECT,
    lock_nut.SUBJECT,
    spectrum.SUBJECT,
)
BY_CODE: Final[Mapping[str, Subject]] = {one.code: one for one in SUBJECTS}
# Which test answers a result.
TEST_OF: Final[Mapping[str, str]] = {code: one.code for one in SUBJECTS for code in one.results}


def check_test(
    code: str,
    entries: Mapping[str, Value],
    machine: Machine,
    held: Mapping[str, tuple[Limit, ...]] = NO_LIMITS,
) -> Answer:
    """Judge what was entered of one test, held to the limits of customer, maker, standard and shop, in this order."""
    return judged(BY_CODE[code].look(Entries(entries), machine), held)
