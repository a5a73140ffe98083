"""The nameplate's form takes what plates print, says back what it understood, and takes an answer by one key."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.urls import reverse

from repairs.motors.plate_fields import FIELDS
from tests.repairs.factories import make_motor, make_user

pytestmark = pytest.mark.django_db


@pytest.fixture
def motor():
    return make_motor(serial="RM-77")


@pytest.fixture
def send(client, motor):
    """Send the form as its page sends it, with some fields of the plate typed; return the page that follows."""
    client.force_login(make_user("office", units="us"))
    address = reverse("office:edit_motor", args=[motor.pk])

    def send_plate(**typed: str):
        form = client.get(address).context["form"]
        sent = {name: form[name].value() or "" for name in form.fields}
        own = {name: typed.pop(name) for name in ("serial", "serial_state") if name in typed}
        sent |= own | {name if "-" in name else f"plate-{name}": text for name, text in typed.items()}
        answer = client.post(address, sent, follow=True)
        motor.refresh_from_db()
        return answer

    return send_plate


def words_of(answer) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


# Spellings as plates of US shops print them; 1 hp is 745.69987 W, 1 lbf 4.4482216 N.
@pytest.mark.parametrize(
    ("key", "typed", "si", "said"),
    [
        ("rated_speed_rpm", "1785/1185 RPM", 1785, "1,785/1,185 rpm (1,785 rpm counts)"),
        ("rated_speed_rpm", "1785 R/MIN", 1785, "1,785 rpm"),
        ("rated_speed_rpm", "RPM 1785", 1785, "1,785 rpm"),
        ("voltage_v", "230/460", 460, "230/460 V (460 V counts)"),
        ("voltage_v", "2300/4000Y VOLTS", 4000, "2,300/4,000 V (4,000 V counts)"),
        ("voltage_v", "4.16 KV", 4160, "4,160 V"),
        ("voltage_v", "200 or 400", 400, "200/400 V (400 V counts)"),
        ("current_a", "340/170 AMPS", 170, "340/170 A (170 A counts)"),
        ("current_a", "FLA 172.5", 172.5, "172.5 A"),
        ("frequency_hz", "60/50 HZ", 60, "60/50 Hz (60 Hz counts)"),
        ("frequency_hz", "60 CY", 60, "60 Hz"),
        ("phases", "3PH", 3, "3"),
        ("phases", "3Ø", 3, "3"),
        ("phases", "THREE PHASE", 3, "3"),
        ("service_factor", "1.15 SF", 1.15, "1.15"),
        ("service_factor", "S.F. 1.0", 1.0, "1.0"),
        ("ambient_c", "40C AMB", 40, "40 °C"),
        ("ambient_c", "MAX AMB 40 DEG. C", 40, "40 °C"),
        ("ambient_c", "-20 to 40C", 40, "−20 to 40 °C (104 °F counts)"),
        ("ambient_c", "-20…+40 °C", 40, "−20 to 40 °C (104 °F counts)"),
        ("ambient_c", "-4 TO 104F", 40, "−4 to 104 °F (104 °F counts)"),
        ("ambient_c", "-20 - +40", 40, "−20 to 40 °C (104 °F counts)"),
        ("ambient_c", "40C (104F)", 40, "40 °C"),
        ("ambient_c", "-20C (-4F)", -20, "−20 °C"),
        ("ambient_c", "-20", -20, "−20 °C"),
        ("power_w", "150HP/112KW", 150 * 745.69987, "150 hp"),
        ("power_w", "112 kW (150 hp)", 112_000, "112 kW (150.2 hp)"),
        ("power_w", "7 1/2", 7.5 * 745.69987, "7 1/2 hp (7.5 hp)"),
        ("power_w", "7½ HP", 7.5 * 745.69987, "7 1/2 hp (7.5 hp)"),
        ("power_w", "150/66 H.P.", 150 * 745.69987, "150/66 hp (150 hp counts)"),
        ("power_factor", ".86", 0.86, "0.86"),
        ("power_factor", "87.5 PF", 0.875, "87.5%"),
        ("power_factor", "86 %", 0.86, "86%"),
        ("power_factor", "cos φ 0.86", 0.86, "0.86"),
        ("power_factor", "COS Φ = .86", 0.86, "0.86"),
        ("power_factor", "cosphi 0.86", 0.86, "0.86"),
        ("power_factor", "0.86 cos ϕ", 0.86, "0.86"),
        ("efficiency_percent", "93.6%", 93.6, "93.6%"),
        ("efficiency_percent", "NOM EFF .936", 93.6, "93.6%"),
        ("down_thrust_n", "6744 LBS DOWN", 6744 * 4.4482216, "6,744 lbf"),
        ("oil_iso_vg", "ISO-VG-32", 32, "32"),
        ("altitude_m", "3300 ft", 1005.84, "3,300 ft"),
        ("mass_kg", "WT 2500 LBS", 1133.98, "2,500 lb"),
        # Not figures: taken as they are printed.
        ("frame", "L449VP", "L449VP", "L449VP"),
        ("enclosure", "WPI", "WPI", "WPI"),
        ("enclosure", "TEFC", "TEFC", "TEFC"),
        ("duty", "CONT", "CONT", "CONT"),
        ("insulation_class", "F/B", "F/B", "F/B"),
        ("shaft_build", "VHS", "VHS", "VHS"),
    ],
)
def test_a_plate_is_typed_as_it_is_printed_and_said_back(send, motor, key, typed, si, said):
    answer = send(**{key: typed})
    assert answer.status_code == 200, answer.context["refused"]
    stored = motor.nameplate[key]
    assert stored["state"] == "read"
    assert stored["si"] == (si if isinstance(si, str) else pytest.approx(si, rel=1e-6))
    assert said in words_of(answer)


@pytest.mark.parametrize(
    ("typed", "volts"),
    [
        ("3-60-460", "460"), ("460/3/60", "460"), ("460V-3PH-60HZ", "460"), ("3 PH, 60 HZ, 460 V", "460"),
        ("3/60/230/460", "230/460"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("key", ["voltage_v", "phases", "frequency_hz"])
def test_phases_hertz_and_volts_in_one_go_to_their_own_fields(send, motor, key, typed, volts):
    assert send(**{key: typed}).status_code == 200
    assert [motor.si(name) for name in ("phases", "frequency_hz", "voltage_v")] == [3, 60, 460]
    assert motor.nameplate["voltage_v"]["typed"] == volts


def test_phases_hertz_and_volts_in_one_that_contradict_a_field_are_refused_there(send, motor):
    answer = send(voltage_v="3-60-460", frequency_hz="50")
    assert answer.status_code == 422
    assert "“50 Hz” is entered here, but 60 in another field" in words_of(answer)
    assert motor.version == 1


def test_horsepower_and_kilowatts_that_do_not_agree_are_refused(send, motor):
    answer = send(power_w="150HP/150KW")
    assert answer.status_code == 422
    assert "two figures that do not agree" in words_of(answer)
    assert motor.si("power_w") is None


MARKS = [("-", "missing", "not on plate"), ("—", "missing", "not on plate"), ("n/a", "missing", "not on plate"),
         ("?", "illegible", "illegible"), ("???", "illegible", "illegible")]  # fmt: skip


@pytest.mark.parametrize(("mark", "state", "said"), MARKS)
@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.key)
def test_one_key_answers_every_field_that_the_plate_does_not(motor, field, mark, state, said):
    from repairs.motors.nameplate import read_entry, shown

    entry, problem = read_entry(field, "read", mark, "", "us")
    assert (entry, problem) == ({"state": state, "typed": "", "unit": "", "si": None}, "")
    assert shown(field, entry, "us") == said


@pytest.mark.parametrize(("mark", "state", "said"), MARKS)
def test_a_mark_is_kept_as_an_answer_never_as_a_value_and_comes_back_in_its_field(
    client, send, motor, mark, state, said
):
    answer = send(rated_speed_rpm=mark, rotation=mark, frame=mark)
    assert said in words_of(answer)
    assert {motor.nameplate[key]["state"] for key in ("rated_speed_rpm", "rotation", "frame")} == {state}
    assert motor.si("rated_speed_rpm") is None
    page = client.get(reverse("office:edit_motor", args=[motor.pk])).content.decode()
    shown_mark = "-" if state == "missing" else "?"
    assert f'name="plate-rated_speed_rpm" value="{shown_mark}"' in page
    # A figure typed over the mark is a figure, whatever the choice beside it still says.
    send(rated_speed_rpm="1785", **{"state-rated_speed_rpm": state})
    assert motor.si("rated_speed_rpm") == 1785


def test_the_choice_beside_a_mark_says_otherwise_where_it_was_changed(send, motor):
    send(frame="-")
    send(frame="-", **{"state-frame": "illegible"})
    assert motor.nameplate["frame"]["state"] == "illegible"


def test_a_value_known_from_elsewhere_comes_back_behind_its_tilde_and_without_it_was_read(
    client, send, motor
):
    answer = send(rated_speed_rpm="~1785", rotation="ccw", **{"state-rotation": "inferred"})
    assert "1,785 rpm, inferred" in words_of(answer)
    page = client.get(reverse("office:edit_motor", args=[motor.pk])).content.decode()
    assert 'name="plate-rated_speed_rpm" value="~1785"' in page
    # A choice takes no tilde: its list stays in sight while it says so.
    assert 'class="plate-row__state plate-row__state--said" name="state-rotation"' in page
    states = {"state-rated_speed_rpm": "inferred", "state-rotation": "inferred"}
    send(rated_speed_rpm="~1785", rotation="ccw", **states)
    assert [motor.nameplate[key]["state"] for key in ("rated_speed_rpm", "rotation")] == ["inferred"] * 2
    send(rated_speed_rpm="1785", rotation="ccw", **states)
    assert [motor.nameplate[key]["state"] for key in ("rated_speed_rpm", "rotation")] == ["read", "inferred"]


def test_a_span_of_temperatures_comes_back_and_is_read_again(send, motor):
    send(ambient_c="-20 to 40C")
    assert motor.nameplate["ambient_c"]["typed"] == "-20 to 40"
    send(ambient_c="-20 to 40")
    assert (motor.nameplate["ambient_c"]["typed"], motor.si("ambient_c")) == ("-20 to 40", 40)
    assert send(ambient_c="-20 to hot").status_code == 422
    assert send(ambient_c="40C (90F)").status_code == 422


def test_a_negative_figure_is_no_mark(send, motor):
    assert send(duty_1_thrust_n="-500").status_code == 200
    assert motor.si("duty_1_thrust_n") == pytest.approx(-500 * 4.4482216)


@pytest.mark.parametrize(("typed", "state"), [("-", "missing"), ("?", "illegible")])
def test_the_serial_number_takes_the_same_keys(send, motor, typed, state):
    answer = send(serial=typed)
    assert answer.status_code == 200
    assert (motor.serial, motor.serial_state) == ("", state)
    assert answer.context["serial"] == ("not on plate" if typed == "-" else "illegible")


def test_a_serial_number_known_from_elsewhere_comes_back_behind_its_tilde(client, send, motor):
    send(serial="~RM-78")
    assert (motor.serial, motor.serial_state) == ("RM-78", "inferred")
    form = client.get(reverse("office:edit_motor", args=[motor.pk])).context["form"]
    assert form["serial"].value() == "~RM-78"
    send(serial="RM-78", serial_state="inferred")
    assert motor.serial_state == "read"
    send(serial="?")
    send(serial="RM-79", serial_state="illegible")
    assert (motor.serial, motor.serial_state) == ("RM-79", "read")


def test_the_lists_beside_the_fields_are_folded_away_by_one_tick_for_all(client, motor):
    client.force_login(make_user("office"))
    page = client.get(reverse("office:edit_motor", args=[motor.pk])).content.decode()
    assert page.count('id="plate-lists"') == 1
    assert 'tabindex="-1" aria-label="Frame: how it was read"' not in page


def test_the_first_block_is_in_the_order_of_plates_and_the_rest_is_folded(client, motor):
    client.force_login(make_user("office"))
    page = client.get(reverse("office:edit_motor", args=[motor.pk]))
    first, *rest = page.context["groups"]
    assert [row.key for row in first.rows] == [
        "manufacturer", "model", "frame", "power_w", "rated_speed_rpm", "voltage_v", "current_a", "frequency_hz",
        "phases", "service_factor", "enclosure", "insulation_class", "ambient_c", "duty", "shaft_build",
        "down_thrust_n",
    ]  # fmt: skip
    assert (first.is_open, [group.is_open for group in rest]) == (True, [False] * len(rest))
    text = page.content.decode()
    places = [text.index(f'name="{name}"') for name in ("plate-model", "serial", "plate-frame")]
    assert places == sorted(places)
    assert "not on plate" in text[text.index('id="plate-keys"') :][:400]
