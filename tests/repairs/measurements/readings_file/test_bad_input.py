"""What people get wrong: asked about and kept, not checked with the reason, or refused with what to do."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.repairs.measurements.readings_file.asking import ask, ask_text, missing, notes, result, wrong

MOTOR = {"voltage_v": 460, "winding": "random"}
INSULATION: dict[str, Any] = {"method": "ten_degree", "winding_c": 40, "r_1min": 500}
RUN = {"top_kind": "rolling", "bottom_kind": "rolling", "uncoupled": "no"}
STEADY = [[minute, 25, 40, 40] for minute in range(0, 91, 15)]


def _insulation(**entries: Any) -> dict[str, Any]:
    return {"test": "insulation", "entries": INSULATION | entries}


def _run(rows: list[Any]) -> dict[str, Any]:
    return {"test": "run_temperatures", "entries": RUN | {"temperatures": rows}}


def _limit(**more: Any) -> dict[str, Any]:
    limit = {"result": "insulation", "low": 10, "level": "customer", "source": "PO"} | more
    return _insulation() | {"limits": [{key: value for key, value in limit.items() if value != ""}]}


def test_ohms_typed_as_megohms_are_asked_about_and_kept(tmp_path: Path) -> None:
    status, answer = ask(tmp_path, _insulation(r_1min=5e8), motor=MOTOR)
    assert status == 0
    assert result(answer, "insulation")["value"] == 5e8
    doubt = notes(answer)["ohms_typed"]
    assert doubt["severity"] == "doubt"
    assert doubt["figures"] == {"field": "r_1min", "value": 5e8, "as_mohm": 500.0}
    assert "500" in doubt["message"]


def test_a_missing_temperature_is_not_checked_with_the_reason(tmp_path: Path) -> None:
    status, answer = ask(tmp_path, _insulation(winding_c=None), motor=MOTOR)
    assert status == 3
    assert answer["verdict"] == "not_checked"
    asked = answer["tests"][0]["missing"]
    assert {"field": "winding_c", "result": "insulation", "asks": "Winding temperature"} in asked


def test_what_the_plate_lacks_is_asked_for_by_its_name_in_the_file(tmp_path: Path) -> None:
    status, answer = ask(tmp_path, _insulation())
    assert status == 3
    assert "motor.voltage_v" in missing(answer)


def test_ten_minutes_below_one_minute_is_told(tmp_path: Path) -> None:
    _status, answer = ask(tmp_path, _insulation(r_10min=400), motor=MOTOR)
    assert notes(answer)["falls_with_time"]["severity"] == "warn"


def test_a_series_with_a_gap_is_told_and_not_stable(tmp_path: Path) -> None:
    status, answer = ask(tmp_path, _run([*STEADY[:2], [90, 25, 40, 40], [180, 25, 40, 40]]))
    assert status == 3
    assert {"gap", "not_stable"} <= set(notes(answer))
    assert ask(tmp_path, _run(STEADY))[0] == 0


def test_a_series_that_goes_back_in_time_proves_nothing(tmp_path: Path) -> None:
    status, answer = ask(tmp_path, _run([*STEADY, [30, 25, 40, 40]]))
    assert status == 3
    assert notes(answer)["back_in_time"]["figures"] == {"row": 8}


def test_an_empty_cell_is_no_reading(tmp_path: Path) -> None:
    status, answer = ask(tmp_path, _run([*STEADY[:-1], [90, 25, None, 40]]))
    assert status == 3
    assert "run_top" in missing(answer)


def test_a_spectrum_in_the_wrong_unit_is_refused(tmp_path: Path) -> None:
    entries = {"from_hz": {"value": 0, "unit": "cpm"}, "peaks": [[30, {"value": 0.1, "unit": "g"}]]}
    status, answer = ask(tmp_path, {"test": "spectrum", "entries": entries})
    assert status == 2
    assert wrong(answer) == {
        "tests[0].entries.from_hz.unit": 'Not a unit of this reading. Accepted: "Hz".',
        "tests[0].entries.peaks[0].peak_size.unit": 'Not a unit of this reading. Accepted: "mm/s rms", "in/s pk".',
    }


def test_a_spectrum_in_cycles_a_minute_is_asked_about(tmp_path: Path) -> None:
    """1785 rpm is 29.75 Hz; a peak at 1785 and none at 29.75 was read in cycles a minute."""
    entries = {"run_rpm": 1785, "from_hz": 0, "to_hz": 60000, "resolution_hz": 5, "peaks": [[1785, 2.0]]}
    _status, answer = ask(tmp_path, {"test": "spectrum", "entries": entries})
    assert "doubt" in {one["severity"] for one in notes(answer).values()}


REFUSED: list[Any] = [
    (_limit(low=20, high=10), "limits[0].low", "Low is above high. Swap the two."),
    (_limit(low=""), "limits[0]", "A limit without an end. Enter low, high or both."),
    (_limit(level="standard"), "limits[0].level", 'Accepted: "customer", "maker", "shop".'),
    (_limit(level=""), "limits[0].level", "Required."),
    (_limit(source=""), "limits[0].source", "Required."),
    (_limit(source="  "), "limits[0].source", "Required."),
    (_limit(result="end_play"), "limits[0].result", 'Accepted: "insulation", "polarization_index"'),
    (_limit(result=""), "limits[0].result", "Required."),
    (_limit(unit="V"), "limits[0].unit", 'Accepted: "MΩ", "kΩ", "GΩ".'),
    (
        _limit(result="absorption_ratio", unit="%", low=float("inf")),
        "limits[0].low",
        "Enter a finite number.",
    ),
    (_limit(most=7), "limits[0].most", "Unknown field."),
    (_insulation(r_1min=True), "entries.r_1min", "Enter a number."),
    (_insulation(r_1min="500"), "entries.r_1min", "Enter a number."),
    (_insulation(r_1min=float("nan")), "entries.r_1min", "Enter a finite number."),
    (_insulation(r_1min=float("-inf")), "entries.r_1min", "Enter a finite number."),
    (_insulation(r_1min=10**350), "entries.r_1min", "Enter a finite number."),
    (_insulation(r_1min=-1), "entries.r_1min", "Accepted: a number from 0 to 1,000,000,000,000 MΩ."),
    (_insulation(winding_c=151), "entries.winding_c", "Accepted: a number from −20 to 150 °C."),
    (_insulation(winding_c={"value": 303, "unit": "°F"}), "entries.winding_c.value", "from −4 to 302 °F."),
    (_insulation(winding_c={"value": 30}), "entries.winding_c.unit", 'Required. Accepted: "°C", "°F".'),
    (_insulation(winding_c={"unit": "°F"}), "entries.winding_c.value", "Required."),
    (_insulation(winding_c={"value": 9, "unit": "°C", "at": 1}), "entries.winding_c.at", "Unknown field."),
    (_insulation(winding_c=[30]), "entries.winding_c", "Enter a number."),
    (_insulation(method="both"), "entries.method", 'Accepted: "ten_degree", "thermosetting".'),
    (_insulation(method=1), "entries.method", "Enter text."),
    (_insulation(r_1=9), "entries.r_1", "Unknown field."),
    ({"test": "insulation", "entries": [1]}, "entries", "Not an object."),
    ({"test": "insulation", "limits": {}}, "limits", "Not a list."),
    ({"test": "insulation", "limits": [7]}, "limits[0]", "Not an object."),
    ({"test": "insulation", "entry": {}}, "entry", "Unknown field."),
    ({"test": "insulating"}, "test", "Use one of the choices."),
    ({"entries": {}}, "test", "Required."),
    (_run([[0, 25, 40, 40, 40, 40, 40, 0, 40]]), "entries.temperatures[0]", "Too many entries (9)."),
    (_run([[]]), "entries.temperatures[0]", "Empty row. Accepted: a list of run_minute, run_ambient"),
    (_run([[0], None]), "entries.temperatures[1]", "Empty row."),
    (_run([7]), "entries.temperatures[0]", "Not a list."),
    (_run([[0, "25"]]), "entries.temperatures[0].run_ambient", "Enter a number."),
    (_run([[0]] * 2001), "entries.temperatures", "Accepted: at most 2,000."),
    (
        {"test": "sensors", "entries": {"ptc_pieces": {"value": 3, "unit": ""}}},
        "entries.ptc_pieces.unit",
        "no unit",
    ),
]


@pytest.mark.parametrize(("test", "field", "words"), REFUSED)
def test_a_mistake_is_refused_by_its_name_with_what_is_accepted(
    tmp_path: Path, test: dict[str, Any], field: str, words: str
) -> None:
    status, answer = ask(tmp_path, test, motor=MOTOR)
    assert status == 2
    assert list(wrong(answer)) == [f"tests[0].{field}"]
    assert words in wrong(answer)[f"tests[0].{field}"]


def test_two_limits_of_one_level_are_refused_and_of_two_levels_the_customer_counts(tmp_path: Path) -> None:
    one, shop = _limit()["limits"][0], _limit(level="shop", low=1)["limits"][0]
    status, answer = ask(tmp_path, _insulation() | {"limits": [one, one | {"low": 9}]})
    assert (status, list(wrong(answer))) == (2, ["tests[0].limits[1].level"])
    _status, answer = ask(tmp_path, _insulation() | {"limits": [shop, one]}, motor=MOTOR)
    limit = result(answer, "insulation")["limit"]
    assert limit == {"low": 10.0, "high": None, "level": "customer", "source": "PO", "sureness": "entered"}


def test_a_limit_in_another_unit_is_converted_and_met_at_its_end(tmp_path: Path) -> None:
    limit = {
        "result": "end_play",
        "low": 0.005,
        "high": 0.01,
        "unit": "in",
        "level": "maker",
        "source": "drawing",
    }
    entries = {"down_1": 0, "up_1": {"value": 0.01, "unit": "in"}}
    status, answer = ask(tmp_path, {"test": "end_play", "entries": entries, "limits": [limit]})
    assert status == 0
    assert result(answer, "end_play")["limit"]["high"] == pytest.approx(0.254)
    entries["up_1"] = {"value": 0.0101, "unit": "in"}
    assert ask(tmp_path, {"test": "end_play", "entries": entries, "limits": [limit]})[0] == 1


@pytest.mark.parametrize("sign", ["Ω", "\u2126"])
def test_both_signs_for_ohm_are_one(tmp_path: Path, sign: str) -> None:
    _status, answer = ask(tmp_path, _insulation(r_1min={"value": 2, "unit": f"G{sign}"}), motor=MOTOR)
    assert result(answer, "insulation")["value"] == pytest.approx(2000)


def test_the_worst_test_is_the_verdict(tmp_path: Path) -> None:
    good, open_one, bad = _insulation(), _insulation(winding_c=None), _insulation(r_1min=1)
    told = {"test": "nameplate_check", "entries": {}}
    for tests, status, verdict in (
        ((good, bad, open_one), 1, "fail"),
        ((good, open_one, told), 3, "not_checked"),
        ((good,), 0, "pass"),
    ):
        found, answer = ask(tmp_path, *tests, motor=MOTOR)
        assert (found, answer["verdict"]) == (status, verdict)
        assert [one["test"] for one in answer["tests"]] == [one["test"] for one in tests]


MOTORS: list[Any] = [
    ({"volts": 460}, "motor.volts", "Unknown field."),
    ({"voltage_v": 4}, "motor.voltage_v", "from 50 to 15,000 V."),
    ({"poles": 4.5}, "motor.poles", "Enter a whole number."),
    ({"phases": True}, "motor.phases", "Enter a number."),
    ({"vertical": True}, "motor.vertical", 'Accepted: "yes", "no".'),
    ({"winding": "mush"}, "motor.winding", 'Accepted: "random", "form".'),
    ({"efficiency": 95.4}, "motor.efficiency", "from 0.1 to 0.999."),
    ({"efficiency": {"value": 101, "unit": "%"}}, "motor.efficiency.value", "from 10 to 99.9%."),
    ([460], "motor", "Not an object."),
]


@pytest.mark.parametrize(("motor", "field", "words"), MOTORS)
def test_a_mistake_of_the_motor(tmp_path: Path, motor: Any, field: str, words: str) -> None:
    status, answer = ask(tmp_path, _insulation(), motor=motor)
    assert status == 2
    assert words in wrong(answer)[field]


FILES: list[Any] = [
    (b"", "file"),
    (b"[]", "file"),
    (b"\xff", "file"),
    (b"\xef\xbb\xbf{}", "file"),
    (b'{"readings_file": 1, "tests": [' + b"[" * 20 + b"]" * 20 + b"]}", "file"),
    (b" " * (1024 * 1024 + 1), "file"),
    (b'{"tests": [{"test": "insulation"}]}', "readings_file"),
    (b'{"readings_file": 2, "tests": [{"test": "insulation"}]}', "readings_file"),
    (b'{"readings_file": true, "tests": [{"test": "insulation"}]}', "readings_file"),
    (b'{"readings_file": 1}', "tests"),
    (b'{"readings_file": 1, "tests": []}', "tests"),
    (b'{"readings_file": 1, "tests": {"test": "insulation"}}', "tests"),
    (b'{"readings_file": 1, "tests": [7]}', "tests[0]"),
    (
        b'{"readings_file": 1, "tests": [' + b'{"test": "insulation"},' * 200 + b'{"test": "insulation"}]}',
        "tests",
    ),
    (b'{"readings_file": 1, "job": 7, "tests": [{"test": "insulation"}]}', "job"),
    (b'{"readings_file": 1, "note": 7, "tests": [{"test": "insulation"}]}', "note"),
    (b'{"readings_file": 1, "tests": [{"test": "insulation", "test": "insulation"}]}', "tests[0].test"),
]


@pytest.mark.parametrize(("content", "field"), FILES)
def test_what_is_no_readings_file_is_refused(tmp_path: Path, content: bytes, field: str) -> None:
    status, answer = ask_text(tmp_path, content)
    assert status == 2
    assert list(wrong(answer)) == [field]


def test_every_mistake_is_named_at_once_with_what_was_found(tmp_path: Path) -> None:
    status, answer = ask(
        tmp_path, _insulation(r_1min=-1, winding_c="hot"), _limit(low=20, high=10), motor={"poles": 3.5}
    )
    assert status == 2
    assert [(one["field"], one["value"]) for one in answer["errors"]] == [
        ("motor.poles", 3.5),
        ("tests[0].entries.winding_c", "hot"),
        ("tests[0].entries.r_1min", -1),
        ("tests[1].limits[0].low", 20),
    ]


def test_a_refusal_in_text(tmp_path: Path) -> None:
    content = json.dumps({"readings_file": 1, "tests": [_insulation(winding_c="hot")]})
    status, text = ask_text(tmp_path, content, "text")
    assert status == 2
    assert "tests[0].entries.winding_c: Enter a number." in text
    assert "('hot')" in text
