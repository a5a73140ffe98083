"""Lock nut: the maker's torque alone is a limit. The force by mechanics, against energy and a common short formula."""

from __future__ import annotations

from math import cos, pi, radians, sqrt

import pytest
from scipy import constants

from repairs.measurements.engineering.limits import Limit, Source
from repairs.measurements.engineering.machine import Machine
from repairs.measurements.engineering.shape import Answer
from repairs.measurements.engineering.subjects import check_test
from repairs.measurements.engineering.tables.lock_nut import axial_force, pitch_diameter
from repairs.motors.units import unit_of
from tests.repairs.measurements.engineering.saying import said, severities

MAKER: dict[str, float | str] = {"maker_low_nm": 300.0, "maker_high_nm": 350.0, "nut_locked": "yes"}
THREAD: dict[str, float | str] = {
    "thread_mm": 100.0,
    "pitch_mm": 2.0,
    "friction_thread": 0.12,
    "friction_face": 0.12,
    "face_mm": 115.0,
}


def look(*limits: Limit, **entries: float | str) -> Answer:
    answer = check_test("lock_nut", entries, Machine(), {"nut_torque": limits})
    said("lock_nut", answer)
    return answer


def test_without_friction_the_work_of_a_turn_is_force_times_pitch() -> None:
    assert axial_force(10, 20, 2, 0, 0, 30) == pytest.approx(2 * pi * 10 / 0.002)


def test_pitch_diameter() -> None:
    """M12: 10.863 mm, a value that every thread table has (from memory, unverified)."""
    assert pitch_diameter(12, 1.75) == pytest.approx(10.863, abs=5e-4)


def test_against_the_short_formula_of_machine_design() -> None:
    """F = T / (0.159 P + 0.578 d2 mu + mu D / 2), small angles: within 2 %. From memory, unverified."""
    for thread, pitch, face, mu in ((12, 1.75, 15.75, 0.12), (100, 2.0, 115, 0.15), (200, 3.0, 230, 0.08)):
        d2 = thread - 0.6495 * pitch
        short = 100_000 / (0.159 * pitch + 0.578 * d2 * mu + mu * face / 2)
        assert axial_force(100, thread, pitch, mu, mu, face) == pytest.approx(short, rel=0.02)


def test_the_thread_as_a_wedge_by_forces() -> None:
    """Equilibrium on the wedge with the friction of a 60° flank, solved by hand for the force along the slope."""
    force, d2, pitch, mu = 1000.0, pitch_diameter(50, 1.5), 1.5, 0.15
    slope, flank = pitch / (pi * d2), mu / cos(radians(30))
    around = force * (slope + flank) / (1 - slope * flank)
    assert axial_force(around * d2 / 2000, 50, 1.5, mu, 0, 60) == pytest.approx(force)


def test_the_makers_torque_is_the_limit() -> None:
    for torque, verdict in ((300.0, "pass"), (350.0, "pass"), (299.9, "fail"), (350.1, "fail")):
        result = look(torque_nm=torque, **MAKER).result("nut_torque")
        assert (result.verdict, result.limit and result.limit.level) == (verdict, "maker")
    at = unit_of("torque", "lb ft").to_si(250)
    assert look(torque_nm=at, maker_high_nm=250 * constants.lbf * constants.foot).verdict == "pass"


def test_no_limit_is_invented() -> None:
    answer = look(torque_nm=300.0, nut_locked="yes", **THREAD)
    assert answer.verdict == "not_checked"
    assert answer.result("nut_torque").limit is None
    assert answer.result("nut_force").verdict == "noted"
    assert {one.field for one in answer.missing} == {"maker_low_nm", "maker_high_nm"}


def test_customer_goes_before_maker() -> None:
    customer = Limit(400, None, Source("PO", sureness="entered"), "customer")
    assert look(customer, torque_nm=320.0, **MAKER).verdict == "fail"


def test_reversed_limits_are_asked_and_hold_nothing() -> None:
    answer = look(torque_nm=320.0, maker_low_nm=350.0, maker_high_nm=300.0)
    assert severities(answer)["reversed"] == "doubt"
    assert answer.verdict == "not_checked"


def test_inch_pounds_are_asked() -> None:
    """Twelve times, or a twelfth."""
    for torque in (320.0 * 12, 320.0 / 12):
        assert severities(look(torque_nm=torque, **MAKER))["other_unit"] == "doubt"
    assert "other_unit" not in severities(look(torque_nm=250.0, **MAKER))


def test_lock_and_face() -> None:
    assert severities(look(torque_nm=320.0, nut_locked="no"))["not_locked"] == "warn"
    assert "lock_unknown" in severities(look(torque_nm=320.0))
    assert severities(look(**{**THREAD, "face_mm": 90.0}))["small_face"] == "doubt"


def test_half_a_thread_gives_no_force_and_names_the_rest() -> None:
    answer = look(torque_nm=320.0, thread_mm=100.0, **MAKER)
    assert answer.result("nut_force").value is None
    assert {one.field for one in answer.missing} == {
        "pitch_mm",
        "friction_thread",
        "friction_face",
        "face_mm",
    }
    assert (
        look(torque_nm=1.0, **{**THREAD, "thread_mm": 3.0, "pitch_mm": 20.0}).result("nut_force").value
        is None
    )


def test_the_working_shows_each_figure() -> None:
    shown = {one.symbol: one.value for one in look(torque_nm=320.0, **MAKER, **THREAD).working}
    assert shown["d2"] == pytest.approx(100 - 3 * sqrt(3) / 4)
    assert shown["F"] == pytest.approx(axial_force(320, 100, 2, 0.12, 0.12, 115))
