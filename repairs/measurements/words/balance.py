"""Balance in words."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.shape import Note
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords

_L = gettext_lazy


def _no_half_key(note: Note, write: Written) -> str:
    return _(
        "Balanced without a half key: with the key installed the rotor is out of balance. Balance with one."
    )


def _half_key_unknown(note: Note, write: Written) -> str:
    return _("Enter whether a half key was used. Without one the key unbalances the rotor.")


def _row_incomplete(note: Note, write: Written) -> str:
    words = _(
        "Run {row} is incomplete. Enter plane, weight with its angle, and each vibration with its angle."
    )
    return words.format(row=write.of(note.params["row"], "plain"))


def _runs_missing(note: Note, write: Written) -> str:
    if note.params["planes"] == "two":
        return _("Enter a run without weight, one with a weight in plane A and one with a weight in plane B.")
    return _("Enter a run without weight and one with a weight in plane A.")


def _trial_weak(note: Note, write: Written) -> str:
    words = _(
        "Plane {plane}: the trial weight changed the reading by {percent}. Use a heavier one: aim for 30%."
    )
    return words.format(plane=note.params["plane"], percent=write.of(note.params["percent"], "percent"))


def _planes_alike(note: Note, write: Written) -> str:
    if note.params["planes"] == "two":
        return _(
            "Both planes act alike on both sensors: nothing follows. Move a plane or a sensor, or balance in one."
        )
    return _("The trial weight changed nothing. Check the sensor, or use a heavier weight.")


def _few_positions(note: Note, write: Written) -> str:
    words = _("Plane {plane}: residual test at {count} positions. Use at least 6, evenly spaced.")
    return words.format(plane=note.params["plane"], count=write.of(note.params["count"], "plain"))


def _test_unclear(note: Note, write: Written) -> str:
    words = _(
        "Plane {plane}: the residual test gives no figure. Repeat it at 6 even positions with one weight."
    )
    return words.format(plane=note.params["plane"])


def _weight_light(note: Note, write: Written) -> str:
    words = _(
        "Plane {plane}: {value} found with a weight of {weight}. Repeat the test with a heavier weight."
    )
    return words.format(
        plane=note.params["plane"],
        value=write.of(note.params["value"], "unbalance"),
        weight=write.of(note.params["weight"], "unbalance"),
    )


def _residuals_differ(note: Note, write: Written) -> str:
    words = _(
        "Plane {plane}: residuals of {low} and {high}. The larger one counts: check the machine's calibration."
    )
    return words.format(
        plane=note.params["plane"],
        low=write.of(note.params["low"], "unbalance"),
        high=write.of(note.params["high"], "unbalance"),
    )


def _grew(note: Note, write: Written) -> str:
    words = _("Plane {plane}: residual {value} is above the initial {initial}. Initial and residual swapped?")
    return words.format(
        plane=note.params["plane"],
        value=write.of(note.params["value"], "unbalance"),
        initial=write.of(note.params["initial"], "unbalance"),
    )


def _correction(note: Note, write: Written) -> str:
    words = _("Plane {plane}: to balance it, add {value} at {angle}, or remove it opposite.")
    return words.format(
        plane=note.params["plane"],
        value=write.of(note.params["value"], "unbalance"),
        angle=write.of(note.params["angle"], "angle"),
    )


WORDS: Final = SubjectWords(
    title=_L("Balance"),
    fields={
        "method": _L("Limit by"),
        "grade_mm_s": _L("Balance grade G"),
        "planes": _L("Planes"),
        "rotor_mass_kg": _L("Rotor weight"),
        "service_rpm": _L("Highest service RPM"),
        "to_a_mm": _L("Center of gravity to plane A"),
        "to_b_mm": _L("Center of gravity to plane B"),
        "journal_a_kg": _L("Load at journal A"),
        "journal_b_kg": _L("Load at journal B"),
        "half_key": _L("Half key used"),
        "initial_a": _L("Initial unbalance, plane A"),
        "initial_a_deg": _L("Initial angle, plane A"),
        "residual_a": _L("Residual unbalance, plane A"),
        "residual_a_deg": _L("Residual angle, plane A"),
        "initial_b": _L("Initial unbalance, plane B"),
        "initial_b_deg": _L("Initial angle, plane B"),
        "residual_b": _L("Residual unbalance, plane B"),
        "residual_b_deg": _L("Residual angle, plane B"),
        "runs": _L("Trial weight runs"),
        "run_plane": _L("Plane (0 none, 1 A, 2 B)"),
        "run_trial": _L("Trial weight × radius"),
        "run_trial_deg": _L("Angle of trial weight"),
        "run_v1": _L("Vibration, sensor 1"),
        "run_v1_deg": _L("Angle, sensor 1"),
        "run_v2": _L("Vibration, sensor 2"),
        "run_v2_deg": _L("Angle, sensor 2"),
        "test_a_weight": _L("Test weight × radius, plane A"),
        "test_a_bare": _L("Reading without weight, plane A"),
        "test_a": _L("Residual test, plane A"),
        "test_b_weight": _L("Test weight × radius, plane B"),
        "test_b_bare": _L("Reading without weight, plane B"),
        "test_b": _L("Residual test, plane B"),
        "test_deg": _L("Angle of weight"),
        "test_reading": _L("Reading"),
    },
    choices={
        "grade": _L("balance grade G"),
        "four_w_n": _L("4W/N"),
        "one": _L("one plane"),
        "two": _L("two planes"),
    },
    results={
        "balance_a": _L("Residual unbalance in plane A"),
        "balance_b": _L("Residual unbalance in plane B"),
    },
    notes={
        "no_half_key": _no_half_key,
        "half_key_unknown": _half_key_unknown,
        "row_incomplete": _row_incomplete,
        "runs_missing": _runs_missing,
        "trial_weak": _trial_weak,
        "planes_alike": _planes_alike,
        "few_positions": _few_positions,
        "test_unclear": _test_unclear,
        "weight_light": _weight_light,
        "residuals_differ": _residuals_differ,
        "grew": _grew,
        "correction": _correction,
    },
    cautions=(
        _L("Guard the machine before it turns. Weights, keys and tools on the rotor fly out."),
        _L("Secure every trial weight. Stay out of the plane of rotation."),
        _L("Your employer's safety program and local codes govern."),
    ),
    hints={
        "journal_a_kg": _L("What the support carries in the balancing machine."),
        "run_plane": _L("Count all angles in one direction. Take the trial weight off before the next run."),
    },
)
