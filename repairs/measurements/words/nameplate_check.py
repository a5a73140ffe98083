"""Figures of the plate in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext_lazy

from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy

WORDS: Final = SubjectWords(
    title=_L("Nameplate figures for the test"),
    fields={"supply_v": _L("Test supply volts"), "supply_hz": _L("Supply frequency")},
    results={
        "plate_poles": _L("Poles"),
        "plate_sync_rpm": _L("Synchronous speed on this supply"),
        "plate_slip": _L("Slip at rated load"),
        "plate_torque": _L("Rated torque"),
        "plate_fla": _L("FLA from power, volts, efficiency and power factor"),
        "plate_lra_low": _L("Locked-rotor amps by code letter, from"),
        "plate_lra_high": _L("Locked-rotor amps by code letter, to below"),
    },
    notes={},
)
