"""Pages of the thrust sheet: filled in, worked out, asked about, signed, used."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from repairs.motors.models import Motor, ThrustSheet
from repairs.motors.plate_fields import FIELDS
from repairs.motors.thrust_services import save_thrust_sheet, sign_thrust_sheet
from tests.repairs.factories import actor_for, make_job, make_motor, make_user
from tests.repairs.motors.thrust_entries import PUMP, entries

CHOICES = {field.key for field in FIELDS if field.kind == "choice"}
pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    client.force_login(make_user("office", units="us"))
    return client


@pytest.fixture
def motor() -> Motor:
    return make_motor()


def page(name: str, motor: Motor, *more: int) -> str:
    return reverse(f"office:{name}", args=[motor.pk, *more])


def typed(version: int = 0, **changes: tuple[str, str] | None) -> dict[str, str]:
    """Return the form as the page sends it."""
    sent = {"version": str(version), "do": "save", "reason": ""}
    for key, value in {**PUMP, **changes}.items():
        if value is not None:
            sent |= {f"thrust-{key}": value[0], f"unit-{key}": value[1]}
    return sent


def test_a_new_sheet_begins_with_the_plate_and_everything_else_empty(office, motor):
    text = office.get(page("edit_thrust_sheet", motor)).content.decode()
    assert 'name="thrust-plate_down_thrust_n" value="30000"' in text
    assert 'name="thrust-thrust_factor_n_per_m" value=""' in text
    assert 'name="thrust-specific_gravity" value=""' in text
    assert text.count("verdict--not_checked") == 3
    assert "verdict--pass" not in text


def test_a_sheet_is_saved_and_shows_inputs_formula_result_and_source(office, motor):
    assert office.post(page("edit_thrust_sheet", motor), typed()).status_code == 302
    text = office.get(page("thrust_sheet", motor)).content.decode()
    # arithmetic: 9.5 x 320 + 200 x 6.01 + 180 = 4423 lbf
    for words in (
        "4,423\u00a0lbf", "T = K · H · SG + W − U", "thrust factor K 9.5\u00a0lbf/ft", "7850 kg/m³",
        "common practice, no source", "curve 4410 (invented)", "external (without rotor)",
        "Never start the motor while it spins backward",
        "the pump and motor manufacturers&#x27; data",
    ):  # fmt: skip
        assert words in text, words
    assert text.count("verdict--pass") == 3


def test_si_readers_get_the_same_sheet_in_newtons_and_metres(client, motor):
    save_thrust_sheet(actor=actor_for(make_user("office")), motor=motor, version=0, entries=entries())
    client.force_login(make_user("engineer", units="si"))
    text = client.get(page("thrust_sheet", motor)).content.decode()
    assert "19,674\u00a0N" in text
    assert "head at duty 97.54\u00a0m" in text


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("head_duty_m", ("-320", "ft"), "−320\u00a0ft is out of range. Accepted: 1.7 to 9,800\u00a0ft."),
        ("specific_gravity", ("13", ""), "13 is out of range. Accepted: 0.4 to 2.5."),
        ("head_duty_m", ("about 320", "ft"), "“about 320” is not a number"),
        ("head_duty_m", ("9" * 40, "ft"), "out of range"),
        ("head_duty_m", ("9" * 41, "ft"), "is not a number"),
        ("plate_meaning", ("gross", ""), "“gross” is not accepted"),
        ("impeller_weight_n", ("-5", "lbf"), "out of range"),
    ],
)
def test_an_impossible_figure_is_refused_beside_its_field_and_nothing_typed_is_lost(
    office, motor, field, value, said
):
    answer = office.post(page("edit_thrust_sheet", motor), typed(**{field: value}))
    text = answer.content.decode()
    assert answer.status_code == 422
    assert said in text
    assert f'aria-describedby="hint-{field} error-{field}"' in text or f"error-{field}" in text
    assert value[0] in text
    assert 'value="1.5"' in text
    assert not ThrustSheet.objects.exists()


@pytest.mark.parametrize(
    ("changes", "said", "code"),
    [
        (
            {"thrust_factor_n_per_m": ("9.5", "N/m")},
            "Was it printed in lb/ft?",
            "factor-small",
        ),
        ({"pump_up_thrust_n": ("7000", "lbf")}, "Were they swapped?", "pump-up-above-down"),
        ({"head_shut_off_m": ("300", "ft")}, "head normally falls with flow", "shut-off-below-duty"),
    ],
)
def test_an_unlikely_figure_is_asked_about_and_taken_on_a_persons_word(office, motor, changes, said, code):
    url = page("edit_thrust_sheet", motor)
    answer = office.post(url, typed(**changes))
    text = answer.content.decode()
    assert answer.status_code == 422
    assert said in text
    assert f'name="confirmed" value="{code}"' in text
    assert office.post(url, typed(**changes) | {"confirmed": code}).status_code == 302
    assert ThrustSheet.objects.get().confirmed == [code]
    assert "confirmed by" in office.get(page("thrust_sheet", motor)).content.decode()


def test_the_button_works_it_out_without_saving(office, motor):
    answer = office.post(page("edit_thrust_sheet", motor), typed() | {"do": "work_out"})
    assert answer.status_code == 200
    assert "4,423\u00a0lbf" in answer.content.decode()
    assert not ThrustSheet.objects.exists()


def test_the_fragment_follows_what_is_typed_and_says_what_it_cannot_read(office, motor):
    answer = office.post(page("thrust_working", motor), typed(head_shut_off_m=("4x", "ft")))
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "<html" not in text
    assert "4,423\u00a0lbf" in text
    assert "Unknown unit “x”" in text
    assert "<b>missing:</b> shutoff head" in text
    assert 'id="thrust-status"' in text


def test_a_fallback_is_marked_wherever_it_stands(office, motor):
    changes = {"plate_up_thrust_n": None, "pump_up_thrust_n": None}
    asked = office.post(page("thrust_working", motor), typed(**changes, up_fallback=("asked", "")))
    assert "rule of thumb, no source" in asked.content.decode()
    assert "2,400\u00a0lbf" in asked.content.decode()
    unasked = office.post(page("thrust_working", motor), typed(**changes)).content.decode()
    assert "rule of thumb, no source" not in unasked
    assert "2,400\u00a0lbf" not in unasked


def test_two_people_see_each_others_sheet(office, motor):
    url = page("edit_thrust_sheet", motor)
    assert office.post(url, typed(head_duty_m=("330", "ft"))).status_code == 302
    answer = office.post(url, typed())
    assert answer.status_code == 409
    assert ("head at duty", "330\u00a0ft") in answer.context["differs"]
    assert 'value="320"' in answer.content.decode()
    assert office.post(url, typed(1)).status_code == 302
    assert ThrustSheet.objects.get().entries["head_duty_m"]["typed"] == "320"


def test_a_signed_revision_is_kept_and_the_next_asks_why(office, motor):
    office.post(page("edit_thrust_sheet", motor), typed())
    assert office.post(page("sign_thrust_sheet", motor), {"version": "1"}).status_code == 302
    changed = typed(2, head_duty_m=("330", "ft"))
    refused = office.post(page("edit_thrust_sheet", motor), changed)
    assert refused.status_code == 422
    assert "Enter a reason for the new revision" in refused.content.decode()
    answer = office.post(page("edit_thrust_sheet", motor), changed | {"reason": "pump lowered by 10 ft"})
    assert answer.status_code == 302
    first = office.get(page("thrust_revision", motor, 1)).content.decode()
    assert "320\u00a0ft" in first
    assert "There is a newer revision." in first
    assert "pump lowered by 10 ft" in office.get(page("thrust_sheet", motor)).content.decode()
    assert office.get(page("thrust_revision", motor, 9)).status_code == 404


def test_signing_a_sheet_that_somebody_changed_is_refused(office, motor):
    office.post(page("edit_thrust_sheet", motor), typed())
    office.post(page("edit_thrust_sheet", motor), typed(1, head_duty_m=("330", "ft")))
    answer = office.post(page("sign_thrust_sheet", motor), {"version": "1"})
    assert answer.status_code == 422
    assert "Someone else changed this thrust sheet" in answer.content.decode()
    assert '<input type="hidden" name="version" value="2"' in answer.content.decode()
    assert office.post(page("sign_thrust_sheet", make_motor()), {"version": "1"}).status_code == 404


def test_both_figures_are_shown_and_a_person_chooses(office, motor):
    office.post(page("edit_thrust_sheet", motor), typed())
    url = page("use_thrust", motor)
    answer = office.get(url)
    rows = {row["key"]: row for row in answer.context["rows"]}
    assert (rows["down_thrust_n"]["plate"], rows["down_thrust_n"]["sheet"]) == (
        "30,000\u00a0N (6,744\u00a0lbf)", "4,423\u00a0lbf",
    )  # fmt: skip
    assert rows["down_thrust_n"]["conflict"]
    assert rows["down_thrust_n"]["chosen"] == ""
    assert rows["maximum_down_thrust_n"]["chosen"] == "sheet"
    form = {"form_key": uuid4().hex, "version": "1", "motor_version": "1"}
    some = {"maximum_down_thrust_n": "sheet", "up_thrust_n": "plate", "rotor_weight_n": "plate"}
    refused = office.post(url, form | some | {"reverse_speed_rpm": "sheet"})
    assert refused.status_code == 422
    assert "Continuous downthrust: choose plate or sheet." in refused.content.decode()
    whole = form | some | {"reverse_speed_rpm": "sheet", "down_thrust_n": "sheet"}
    for _time in range(2):
        assert office.post(url, whole).status_code == 302
    motor.refresh_from_db()
    assert motor.version == 2
    text = office.get(page("motor", motor)).content.decode()
    assert "4,423\u00a0lbf, from thrust sheet, rev. 1; plate: 30,000\u00a0N (6,744\u00a0lbf)" in text
    assert "2023" not in str(motor.nameplate["up_thrust_n"].get("sheet", ""))


def test_a_choice_about_an_older_plate_is_refused_and_can_be_made_again(office, motor):
    office.post(page("edit_thrust_sheet", motor), typed())
    Motor.objects.filter(pk=motor.pk).update(version=5)
    keys = ("down_thrust_n", "maximum_down_thrust_n", "up_thrust_n", "rotor_weight_n", "reverse_speed_rpm")
    form = {"form_key": uuid4().hex, "version": "1", "motor_version": "1", **dict.fromkeys(keys, "sheet")}
    answer = office.post(page("use_thrust", motor), form)
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "Someone else changed this motor" in text
    assert 'name="motor_version" value="5"' in text
    assert text.count(" checked") == len(keys)
    assert office.post(page("use_thrust", motor), form | {"motor_version": "5"}).status_code == 302


def test_saving_the_plate_again_keeps_where_a_figure_came_from(office, motor):
    office.post(page("edit_thrust_sheet", motor), typed())
    choices = dict.fromkeys(
        ("down_thrust_n", "maximum_down_thrust_n", "up_thrust_n", "rotor_weight_n", "reverse_speed_rpm"),
        "sheet",
    )
    form = {"form_key": uuid4().hex, "version": "1", "motor_version": "1"}
    office.post(page("use_thrust", motor), form | choices)
    motor.refresh_from_db()
    before = motor.nameplate
    sent = {
        "customer": motor.customer.name, "tag": motor.tag, "serial": motor.serial, "serial_state": "read",
        "build": motor.build, "version": "2", "note": "seen again",
    }  # fmt: skip
    for key, entry in before.items():
        # As the page shows it: a figure that was not read off the plate carries its mark.
        mark = "~" if entry["state"] == "inferred" and key not in CHOICES else ""
        sent |= {
            f"plate-{key}": mark + entry["typed"], f"unit-{key}": entry["unit"], f"state-{key}": entry["state"],
        }  # fmt: skip
    assert office.post(page("edit_motor", motor), sent).status_code == 302
    motor.refresh_from_db()
    assert motor.nameplate == before
    assert motor.nameplate["down_thrust_n"]["plate"]["si"] == 30000.0


def test_a_motor_without_a_sheet_says_so_and_has_nothing_to_use(office, motor):
    assert "No thrust sheet yet" in office.get(page("thrust_sheet", motor)).content.decode()
    assert office.get(page("use_thrust", motor)).status_code == 404


def test_the_job_page_shows_the_sheet_at_no_further_query(office, django_assert_max_num_queries):
    job = make_job()
    sheet = save_thrust_sheet(
        actor=actor_for(make_user("office")), motor=job.motor, version=0,
        entries=entries(pump_up_thrust_n=None, plate_up_thrust_n=None),
    )  # fmt: skip
    url = reverse("office:job", args=[job.number])
    office.get(url)
    # One asks for the newest event: a signature of the office names what its page showed.
    with django_assert_max_num_queries(11):
        text = office.get(url).content.decode()
    assert "4,423\u00a0lbf" in text
    assert "unknown: nameplate upthrust and upthrust (pump maker)" in text
    assert page("thrust_sheet", job.motor) in text
    assert sheet.revision == 1


@pytest.mark.parametrize("revisions", [1, 4])
def test_the_pages_cost_the_same_however_many_revisions_there_are(
    office, motor, revisions, django_assert_max_num_queries
):
    actor = actor_for(make_user("lead"))
    version = 0
    for number in range(revisions):
        sheet = save_thrust_sheet(
            actor=actor, motor=motor, version=version, entries=entries(head_duty_m=(str(320 + number), "ft")),
            reason="again",
        )  # fmt: skip
        version = sign_thrust_sheet(actor=actor, sheet=sheet, version=sheet.version).version
    # The motor's page asks for its merges as well.
    for name, most in (("thrust_sheet", 4), ("edit_thrust_sheet", 5), ("use_thrust", 4), ("motor", 5)):
        with django_assert_max_num_queries(most):
            assert office.get(page(name, motor)).status_code == 200
