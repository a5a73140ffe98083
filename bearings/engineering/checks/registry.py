"""Which checks there are, and in which order they run."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from bearings.engineering.checks import duty, fitness, handling
from bearings.engineering.judged import Figures
from bearings.engineering.results import Finding

Check = Callable[[Figures], Iterator[Finding]]

CHECKS: Final[dict[str, Check]] = {
    "down-thrust-not-carried": duty.down_thrust_not_carried,
    "up-thrust-not-carried": duty.up_thrust_not_carried,
    "washers-part": duty.washers_part,
    "speed-margin": fitness.speed_margin,
    "reference-speed": fitness.reference_speed,
    "speed-not-rated": fitness.speed_not_rated,
    "life": fitness.life,
    "static-safety": fitness.static_safety,
    "radial-load-on-thrust-roller": duty.radial_load_on_thrust_roller,
    "mixed-set": handling.mixed_set,
    "envelope": handling.envelope,
    "minimum-load": duty.minimum_load,
    "not-a-matched-arrangement": handling.not_a_matched_arrangement,
    "stand-out-mismatch": handling.stand_out_mismatch,
    "spacer-pair": handling.spacer_pair,
    "thrust-through-snap-ring": handling.thrust_through_snap_ring,
    "no-radial-guide": handling.no_radial_guide,
    "viscosity": fitness.viscosity,
    "unloaded-in-running": duty.unloaded_in_running,
    "preload-not-proven": handling.preload_not_proven,
}
FINDING_CODES: Final = tuple(CHECKS)
_ORDER: Final = {"stop": 0, "warn": 1, "note": 2}


def run_checks(figures: Figures) -> tuple[Finding, ...]:
    """Return every finding, stops first."""
    found = [finding for check in CHECKS.values() for finding in check(figures)]
    return tuple(sorted(found, key=lambda finding: _ORDER[finding.severity]))
