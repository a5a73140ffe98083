"""The form that opens a job takes the nameplate's keys for the serial number."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.motors.models import Motor
from tests.repairs.factories import make_motor, make_template, make_user

pytestmark = pytest.mark.django_db


@pytest.fixture
def send(client):
    make_template(name="Vertical", for_build="vertical_hollow")
    client.force_login(make_user("office"))

    def send_job(**typed: str):
        form = client.get(reverse("office:open_job")).context["form"]
        sent = {name: form[name].value() or "" for name in form.fields}
        sent |= {
            "build": "vertical_hollow",
            "priority": "normal",
            "customer_name": "Bell Water",
            "complaint": "Howls",
            "do": "open",
            **typed,
        }
        return client.post(reverse("office:open_job"), sent)

    return send_job


@pytest.mark.parametrize(
    ("typed", "serial", "state"),
    [
        ("-", "", "missing"),
        ("n/a", "", "missing"),
        ("?", "", "illegible"),
        ("~SF-1", "SF-1", "inferred"),
        ("SF-1", "SF-1", "read"),
    ],
)
def test_a_key_says_how_the_serial_number_was_read(send, typed, serial, state):
    assert send(serial=typed, tag="Well 7").status_code == 302
    motor = Motor.objects.get()
    assert (motor.serial, motor.serial_state) == (serial, state)


def test_a_motor_without_a_tag_is_opened_by_its_illegible_plate(send):
    assert send(serial="?").status_code == 302
    assert Motor.objects.get().serial_state == "illegible"


@pytest.mark.parametrize(("typed", "found"), [("~sf 20871", 1), ("SF20871", 1), ("?", 0), ("-", 0)])
def test_a_repeat_motor_is_found_behind_the_tilde_and_never_by_a_mark(client, send, typed, found):
    make_motor(serial="SF-20871")
    make_motor(serial="", tag="Well 8")
    answer = send(serial=typed, do="serial")
    assert len(answer.context["known"]) == found
    if found:
        assert "REPEAT" in answer.content.decode()
        assert send(serial=typed).status_code == 422


def test_the_page_says_the_keys_once_and_keeps_no_list(client):
    client.force_login(make_user("office"))
    page = client.get(reverse("office:open_job")).content.decode()
    assert page.count("<kbd>~</kbd>") == 1
    assert '<select name="serial_state"' not in page
