"""Heights of spacers and shims are read in the person's unit; one that looks like the other unit is asked about."""

from __future__ import annotations

import pytest

from repairs.bench.item_forms import PartForm, typed
from repairs.bench.recorder_rows import part_details


def read(units: str, text: str, **held: float) -> PartForm:
    form = PartForm("part", "spacer", units, {"height_mm": text}, held=held)
    form.is_valid()
    return form


@pytest.mark.parametrize(
    ("units", "text", "height_mm"),
    [
        ("us", "0.012", 0.3048),
        ("us", "1/2", 12.7),
        ("us", "12 mm", 12.0),
        ("si", "12", 12.0),
        ("si", "0,5", 0.5),
        ("si", "0.5 in", 12.7),
    ],
)
def test_a_height_without_a_unit_is_in_the_persons_own(settings, units, text, height_mm):
    settings.SHOP_UNITS = units
    assert read(units, text).cleaned_data["height_mm"] == pytest.approx(height_mm)


@pytest.mark.parametrize(("units", "text", "other"), [("us", "12", "mm"), ("si", "0.012", "in")])
def test_a_height_that_looks_like_the_other_unit_is_asked_about(units, text, other):
    form = read(units, text)
    assert f"looks like {other}" in str(form.errors["height_mm"])
    assert f"{text} {other}" in str(form.errors["height_mm"])


@pytest.mark.parametrize("height_mm", [12.7, 0.3048, 12.0, 9.525, 0.05])
@pytest.mark.parametrize("units", ["us", "si"])
def test_what_is_edited_without_a_change_stays_the_same_to_the_last_digit(units, height_mm):
    shown = typed({"height_mm": height_mm}, "part", units)["height_mm"]
    assert read(units, shown, height_mm=height_mm).cleaned_data["height_mm"] == height_mm
    # What is typed anew from what was read is off by less than a gauge shows.
    assert read(units, shown).cleaned_data["height_mm"] == pytest.approx(height_mm, abs=13e-6)


def test_a_part_is_listed_with_its_height_in_the_readers_unit():
    spacer = {"kind": "spacer", "height_mm": 12.7, "note": "ground"}
    assert part_details(spacer, "us") == "ground · 0.5000\u00a0in"
    assert part_details(spacer, "si") == "ground · 12.7\u00a0mm"
