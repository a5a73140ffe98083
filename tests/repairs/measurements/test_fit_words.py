"""A fit in words: how tight, what it does to the bearing, and how warm the ring must be; in both systems of units."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import pytest

from repairs.measurements.fit_words import (
    effect_lines,
    fit_bars_of,
    fit_rows,
    fit_text,
    heat_of,
    one_text,
    ring_text,
)
from repairs.measurements.models import SeatRecord

D = Decimal
ON_A_SHAFT = {"type": "angular_contact_ball", "contact_angle_deg": 40}


def seat(place: str = "mount", fits: dict[str, Any] | None = None, **more: Any) -> SeatRecord:
    """A seat of 100 mm; its ring by tolerance from 3 to 38 µm tight (100 k5 over a Normal bore, ISO 286-2, ISO 492)."""
    kept = {"by_tolerance": ["38", "3"], "seat_measured": None, "measured": None, **(fits or {})}
    figures = {
        "fits": kept,
        "ring_um": ["-20", "0"],
        "zone_um": ["3", "18"],
        "planes": [],
        **more.pop("figures", {}),
    }
    usual = {
        "nominal_mm": D(100),
        "tolerance_class": "Normal",
        "zone": "k5",
        "bearing": ON_A_SHAFT,
        "moment": "as_left",
    }
    return SeatRecord(place=place, figures=figures, **{**usual, **more})


@pytest.mark.parametrize(
    ("size", "metric", "inches"),
    [
        ("12.7", "12.7\u00a0µm tight", "0.00050\u00a0in tight"),
        ("-25.4", "25.4\u00a0µm loose", "0.00100\u00a0in loose"),
        ("0", "neither tight nor loose", "neither tight nor loose"),
    ],
)
def test_an_interference_is_tight_and_a_clearance_loose(size, metric, inches):
    assert (one_text(D(size), "metric"), one_text(D(size), "us")) == (metric, inches)


def test_the_fits_that_are_known_are_told_from_the_widest_to_the_narrowest():
    rows = fit_rows(seat(fits={"seat_measured": ["31", "11"], "measured": "21"}), "metric")
    assert [text for _name, text in rows] == [
        "3\u00a0µm tight to 38\u00a0µm tight",
        "11\u00a0µm tight to 31\u00a0µm tight",
        "21\u00a0µm tight",
    ]
    assert [text for _name, text in fit_rows(seat(), "metric")][1:] == ["not known", "not known"]
    assert fit_text(None, "us") == "not known"


@pytest.mark.parametrize(
    ("place", "kind", "words"),
    [
        ("mount", "angular_contact_ball", "bore, Normal (ISO 492)"),
        ("housing", "angular_contact_ball", "outside diameter, Normal (ISO 492)"),
        ("mount", "spherical_roller_thrust", "bore, Normal (ISO 199)"),
        ("housing", "spherical_roller_thrust", "outside diameter, Normal (ISO 199)"),
    ],
)
def test_a_ring_is_named_by_its_surface_class_and_standard(place, kind, words):
    assert ring_text(seat(place, bearing={"type": kind})) == words
    assert ring_text(seat(place, figures={"ring_um": None})) == ""


def test_the_heat_is_said_in_the_units_of_the_shop():
    # (38 + 50) µm over 12e-6 x 100 mm are 73.4 K above 20 °C, by hand; 93.4 °C are 200 °F.
    metric, us = heat_of(seat(), "metric"), heat_of(seat(), "us")
    assert metric["temperature"] == "93.4\u00a0°C"
    assert us["temperature"] == "200\u00a0°F (93\u00a0°C)"
    assert (metric["verdict"], metric["warns"]) == ("above_sealed", False)
    assert "shaft at 20\u00a0°C" in metric["how"]
    assert "shaft at 68\u00a0°F (20\u00a0°C)" in us["how"]
    assert "For 38\u00a0µm tight" in metric["how"]


@pytest.mark.parametrize(
    ("tightest", "verdict", "warns", "words"),
    [
        ("-2", "no_heat", False, "No heat needed"),
        ("10", "within", False, "At most 80\u00a0°C"),
        ("40", "above_sealed", False, "not for a sealed"),
        ("60", "above_normal", True, "Not above 120\u00a0°C"),
        ("90", "above_ceiling", True, "harms the ring"),
    ],
)
def test_what_is_too_warm_for_a_bearing_warns(tightest, verdict, warns, words):
    found = heat_of(seat(fits={"by_tolerance": [tightest, "-9"]}), "metric")
    assert (found["verdict"], found["warns"]) == (verdict, warns)
    assert words in found["words"]


def test_a_housing_and_an_unknown_fit_are_not_heated():
    assert heat_of(seat("housing"), "metric") is None
    assert heat_of(seat(fits={"by_tolerance": None}), "metric") is None


def test_what_a_fit_does_to_a_bearing_is_half_to_four_fifths_of_it():
    # Raceway 1.5 to 30.4 µm of 3 to 38 µm (0.5 and 0.8: common practice, no source); axially over 2 tan 40°.
    grows, closes = effect_lines(seat(), "metric")
    assert "1.5\u00a0µm to 30.4\u00a0µm" in grows
    assert "At 40° one bearing closes axially by 0.9\u00a0µm to 18.1\u00a0µm" in closes
    assert "by 1.8\u00a0µm to 36.2\u00a0µm" in closes
    assert len(effect_lines(seat(bearing={"type": "deep_groove_ball"}), "metric")) == 1
    assert effect_lines(seat(bearing={"type": "spherical_roller_thrust"}), "metric") == []
    assert effect_lines(seat(fits={"by_tolerance": None}), "metric") == []
    (loose,) = effect_lines(seat(fits={"by_tolerance": ["0", "-9"]}), "metric")
    assert "changes neither clearance nor preload" in loose


def test_the_bars_of_a_seat_are_zone_readings_and_ring():
    left = seat(ring_mm=D("99.985"), typed=[], planes_mm=[["100.010", "100.012"]])
    bars = fit_bars_of(None, left)
    assert [(bar.label, bar.lower_um, bar.upper_um) for bar in bars if bar.kind != "measured"] == [
        ("k5", 3, 18),
        ("bore, Normal", -20, 0),
        ("ring as measured", -15, -15),
    ]
    assert fit_bars_of(None, None) == []


@pytest.mark.parametrize("tightest", ["10", "40", "60", "90"])
def test_the_heat_of_a_us_reader_is_in_degrees_fahrenheit_with_the_standards_own_beside_it(tightest):
    found = heat_of(seat(fits={"by_tolerance": [tightest, "-9"]}), "us")
    told = f"{found['words']} {found['how']} {found['temperature']}".replace("\u00a0", " ")
    assert "°F (" in told
    assert not re.search(r"[^(\d.][\d.]+ °C|\d K\b|µm|kelvin", told)
