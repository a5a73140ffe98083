"""Shop tests in words: one file a test."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from repairs.measurements.words import (
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
from repairs.measurements.words.shape import SubjectWords

BY_CODE: Final[Mapping[str, SubjectWords]] = {
    "insulation": insulation.WORDS,
    "winding_resistance": winding_resistance.WORDS,
    "hot_resistance": hot_resistance.WORDS,
    "high_potential": high_potential.WORDS,
    "surge": surge.WORDS,
    "no_load": no_load.WORDS,
    "load_run": load_run.WORDS,
    "nameplate_check": nameplate_check.WORDS,
    "sensors": sensors.WORDS,
    "shaft_voltage": shaft_voltage.WORDS,
    "core_test": core_test.WORDS,
    "oven": oven.WORDS,
    "vibration": vibration.WORDS,
    "balance": balance.WORDS,
    "shaft_runout": shaft_runout.WORDS,
    "air_gap": air_gap.WORDS,
    "end_play": end_play.WORDS,
    "run_temperatures": run_temperatures.WORDS,
    "lubricant": lubricant.WORDS,
    "lock_nut": lock_nut.WORDS,
    "spectrum": spectrum.WORDS,
}
