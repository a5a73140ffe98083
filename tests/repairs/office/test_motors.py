"""Pages of motors and the nameplate's editor."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from repairs.customers.models import Site
from repairs.motors.models import Motor
from repairs.motors.plate_fields import FIELDS
from tests.repairs.factories import make_customer, make_job, make_motor, make_user, picture_file

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    client.force_login(make_user("office"))
    return client


def motor_form(customer: str, **fields) -> dict[str, str]:
    return {
        "customer": customer, "site": "", "tag": "Well 7", "serial": "RM-77", "serial_state": "read",
        "build": "vertical_hollow", "note": "", **fields,
    }  # fmt: skip


def plate(**typed) -> dict[str, str]:
    """Return plate fields as the page sends them: value, unit, state."""
    sent = {}
    for key, (value, unit, state) in typed.items():
        sent |= {f"plate-{key}": value, f"unit-{key}": unit, f"state-{key}": state}
    return sent


def test_a_motor_is_added_once_with_what_its_plate_says(office):
    customer = make_customer()
    form = motor_form(customer.name, form_key=uuid4().hex) | plate(
        power_w=("300", "hp", "read"),
        frame=("", "", "illegible"),
        down_thrust_n=("10,000", "lbf", "inferred"),
    )
    for _time in range(2):
        assert office.post(reverse("office:new_motor"), form).status_code == 302
    motor = Motor.objects.get()
    assert motor.nameplate["power_w"]["si"] == pytest.approx(300 * 745.6999, rel=1e-6)
    assert motor.nameplate["frame"]["state"] == "illegible"
    assert motor.nameplate["down_thrust_n"] == {
        "state": "inferred", "typed": "10,000", "unit": "lbf", "si": pytest.approx(44482.216),
    }  # fmt: skip


def test_a_wrong_figure_is_refused_beside_its_field_and_nothing_typed_is_lost(office):
    motor = make_motor()
    form = motor_form(motor.customer.name, version="1") | plate(
        end_play_mm=("55", "in", "read"),
        guide_bearing=("6318", "", "inferred"),
        frequency_hz=("60", "", "illegible"),
    )
    answer = office.post(reverse("office:edit_motor", args=[motor.pk]), form)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "55\u00a0in is out of range. Accepted: 0 to 0.78\u00a0in." in page
    assert 'aria-describedby="hint-end_play_mm error-end_play_mm"' in page
    assert "the field is marked illegible" in page
    for typed in ('value="55"', 'value="6318"', 'value="60"', '<option value="inferred" selected>'):
        assert typed in page
    motor.refresh_from_db()
    assert motor.version == 1


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"customer": "Nobody"}, "No customer named “Nobody”"),
        ({"site": "Nowhere"}, "has no site “Nowhere”. Sites: North."),
        ({"serial": "", "tag": ""}, "Enter the serial no. or the customer&#x27;s tag"),
        ({"serial": "OTHER-1"}, "already has a motor with serial no. OTHER-1"),
        ({"build": "sideways"}, "Select a valid choice"),
        ({"version": "x"}, "Enter a whole number"),
    ],
)
def test_what_cannot_be_is_refused_in_words(office, fields, said):
    customer = make_customer()
    Site.objects.create(customer=customer, name="North")
    make_motor(customer, serial="OTHER-1")
    motor = make_motor(customer, serial="RM-77")
    answer = office.post(
        reverse("office:edit_motor", args=[motor.pk]), motor_form(customer.name, version="1") | fields
    )
    assert answer.status_code == 422
    assert said in answer.content.decode()


def test_two_people_see_each_others_reading_of_the_plate(office):
    motor = make_motor()
    url = reverse("office:edit_motor", args=[motor.pk])
    form = motor_form(motor.customer.name, version="1")
    assert office.post(url, form | plate(poles=("4", "", "read"))).status_code == 302
    answer = office.post(url, form | plate(poles=("6", "", "read")))
    page = answer.content.decode()
    assert answer.status_code == 409
    assert ("Poles", "4") in answer.context["differs"]
    assert 'id="plate-poles" name="plate-poles" value="6"' in page
    assert office.post(url, form | plate(poles=("6", "", "read")) | {"version": "2"}).status_code == 302
    motor.refresh_from_db()
    assert motor.si("poles") == 6


def test_the_editor_shows_every_field_with_what_is_stored(office):
    motor = make_motor(nameplate={
        "power_w": {"state": "read", "typed": "300", "unit": "hp", "si": 223709.96},
        "kept_from_before": {"state": "read", "typed": "x", "unit": "", "si": "x"},
    })  # fmt: skip
    page = office.get(reverse("office:edit_motor", args=[motor.pk])).content.decode()
    assert [field.key for field in FIELDS if f'id="plate-{field.key}"' not in page] == []
    assert 'id="plate-power_w" name="plate-power_w" value="300"' in page
    assert '<option value="hp" selected>hp</option>' in page
    form = motor_form(motor.customer.name, version="1") | plate(power_w=("300", "hp", "read"))
    office.post(reverse("office:edit_motor", args=[motor.pk]), form)
    motor.refresh_from_db()
    assert set(motor.nameplate) == {"power_w", "kept_from_before"}


def test_the_page_says_what_does_not_fit_and_what_is_not_checked(office):
    motor = make_motor(nameplate={
        "rated_speed_rpm": {"state": "read", "typed": "1850", "unit": "rpm", "si": 1850.0},
        "frequency_hz": {"state": "read", "typed": "60", "unit": "Hz", "si": 60.0},
        "poles": {"state": "read", "typed": "4", "unit": "", "si": 4.0},
    })  # fmt: skip
    page = office.get(reverse("office:motor", args=[motor.pk])).content.decode()
    assert "1,850 rpm is above the synchronous speed, 1,800 rpm" in page
    assert "NOT CHECKED" in page
    assert "1,800\u00a0rpm" in page


def test_the_page_tells_the_motors_jobs(office, django_assert_max_num_queries):
    motor = make_motor()
    numbers = [make_job(motor, complaint=f"It growls, time {n}").number for n in range(6)]
    with django_assert_max_num_queries(5):
        page = office.get(reverse("office:motor", args=[motor.pk])).content.decode()
    assert all(number in page for number in numbers)


def test_a_photo_of_the_plate_is_kept_and_shown(office):
    motor = make_motor()
    url = reverse("office:plate_photo", args=[motor.pk])
    answer = office.post(url, {"file": picture_file("plate.jpg"), "form_key": uuid4().hex})
    assert answer.status_code == 302
    motor.refresh_from_db()
    assert motor.version == 2
    page = office.get(reverse("office:motor", args=[motor.pk])).content.decode()
    assert reverse("photo_file", args=[motor.plate_photo_id, "print"]) in page


def test_a_file_that_is_no_picture_is_refused_and_the_photo_before_stays(office):
    motor = make_motor()
    url = reverse("office:plate_photo", args=[motor.pk])
    office.post(url, {"file": picture_file("plate.jpg"), "form_key": uuid4().hex})
    false = SimpleUploadedFile("plate.jpg", b"not a picture", content_type="image/jpeg")
    answer = office.post(url, {"file": false, "form_key": uuid4().hex})
    assert answer.status_code == 422
    assert "cannot be read as a photo" in answer.content.decode()
    motor.refresh_from_db()
    assert motor.version == 2
    assert office.post(url, {"form_key": uuid4().hex}).status_code == 422


@pytest.mark.parametrize("motors", [1, 15])
def test_the_list_costs_the_same_queries_however_long_it_is(office, motors, django_assert_max_num_queries):
    for _n in range(motors):
        make_job()
    with django_assert_max_num_queries(4):
        answer = office.get(reverse("office:motor_list"))
    assert len(answer.context["motors"]) == motors
    assert all(row["open"] for row in answer.context["motors"])


def test_the_list_narrows_by_serial_tag_and_owner(office):
    owner = make_customer(name="Kestrel Paper")
    make_motor(owner, serial="ABC-1", tag="Fan 2")
    make_motor(serial="XYZ-9", tag="Well 9")
    for typed in ("bc-1", "fan", "kestrel"):
        rows = office.get(reverse("office:motor_list"), {"q": typed}).context["motors"]
        assert [row["serial"] for row in rows] == ["ABC-1"]
    rows = office.get(reverse("office:motor_list"), {"customer": owner.pk}).context["motors"]
    assert [row["serial"] for row in rows] == ["ABC-1"]
    assert office.get(reverse("office:motor_list"), {"customer": "9" * 30}).status_code == 404


def test_names_are_offered_while_one_types(office):
    make_customer(name="Kestrel <Paper>")
    page = office.get(reverse("office:customer_names"), {"customer": "kes"}).content.decode()
    assert "Kestrel &lt;Paper&gt;" in page
    assert office.get(reverse("office:customer_names"), {"customer": ""}).content.strip() == b""


@pytest.mark.parametrize("typed", ["sf 20871", "SF20871", "Sf-20871", "SF.20871"])
def test_a_serial_number_is_known_whatever_its_spaces_dashes_and_case_and_never_taken_for_it_unasked(
    client, typed
):
    before = make_motor(serial="SF-20871")
    client.force_login(make_user("office"))
    page = client.get(reverse("office:new_motor"))
    sent = {
        "form_key": page.context["form"]["form_key"].value(),
        "customer": before.customer.name,
        "serial": typed,
        "serial_state": "read",
        "build": "vertical_hollow",
        "tag": "Well 7",
    }
    refused = client.post(reverse("office:new_motor"), sent)
    assert refused.status_code == 422
    if typed == "Sf-20871":
        # The customer's own motor with the very same number is no other motor.
        assert "already has a motor with serial no." in refused.content.decode()
        return
    assert "Repeat motor" in refused.content.decode()
    assert reverse("office:motor", args=[before.pk]) in refused.content.decode()
    assert Motor.objects.count() == 1
    again = {**sent, "seen_serial": refused.context["form"]["seen_serial"].value()}
    assert client.post(reverse("office:new_motor"), again).status_code == 302
    assert Motor.objects.count() == 2
    assert "SF-20871" in client.get(reverse("office:motor_list"), {"q": typed}).content.decode()


def test_ambient_is_asked_in_celsius_beside_a_us_plate_and_an_unlikely_one_is_remarked(client):
    motor = make_motor()
    client.force_login(make_user("office", units="us"))
    page = client.get(reverse("office:edit_motor", args=[motor.pk]))
    row = next(row for group in page.context["groups"] for row in group.rows if row.key == "ambient_c")
    assert row.unit == "°C"
    plate = {"plate-ambient_c": "40", "state-ambient_c": "read"}
    sent = {
        **{name: page.context["form"][name].value() or "" for name in page.context["form"].fields},
        **plate,
    }
    assert client.post(reverse("office:edit_motor", args=[motor.pk]), sent).status_code == 302
    motor.refresh_from_db()
    assert motor.si("ambient_c") == 40
    assert "is unusual" not in client.get(reverse("office:motor", args=[motor.pk])).content.decode()
    sent |= {"version": motor.version, "unit-ambient_c": "°F"}
    assert client.post(reverse("office:edit_motor", args=[motor.pk]), sent).status_code == 302
    text = client.get(reverse("office:motor", args=[motor.pk])).content.decode()
    assert "Max. ambient 4.4 °C (40 °F) is unusual; most plates say 40 °C" in text
