"""A motor's thrust sheet: saved, signed, used; what it never does silently."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, transaction
from scipy import constants

from bearings.public import thrust_from_values
from repairs.ledger.models import Event
from repairs.motors.duty import duty_of
from repairs.motors.models import Motor, ThrustSheet
from repairs.motors.nameplate import shown
from repairs.motors.plate_fields import BY_KEY
from repairs.motors.plausibility import remarks
from repairs.motors.services import MotorError, StaleMotorError
from repairs.motors.thrust_fields import differing_from_plate, entries_from_plate, inputs_of
from repairs.motors.thrust_services import (
    ThrustQuestionError,
    figures_to_use,
    save_thrust_sheet,
    sign_thrust_sheet,
    use_thrust_sheet,
)
from repairs.motors.thrust_words import short_rows
from repairs.motors.units import QUANTITIES, unit_of
from tests.repairs.factories import actor_for, make_motor, make_user
from tests.repairs.motors.thrust_entries import entries

pytestmark = pytest.mark.django_db
LBF = constants.lbf
ALL_SHEET = dict.fromkeys(
    ("down_thrust_n", "maximum_down_thrust_n", "up_thrust_n", "rotor_weight_n", "reverse_speed_rpm"), "sheet"
)


@pytest.fixture
def actor():
    return actor_for(make_user("office", first_name="Ada", last_name="Marsh"))


def saved(actor, motor: Motor, version: int = 0, **changes) -> ThrustSheet:
    return save_thrust_sheet(actor=actor, motor=motor, version=version, entries=entries(**changes))


def test_a_sheet_is_saved_with_what_was_worked_out_and_an_event(actor):
    sheet = saved(actor, make_motor())
    result = thrust_from_values(sheet.summary)
    # arithmetic: 9.5 x 320 + 200 x 6.01 + 180 = 4423 lbf
    assert (result.figure("down_duty").value or 0) / LBF == pytest.approx(4423, abs=0.5)
    event = Event.objects.get(verb="thrust_sheet.saved")
    assert event.after["head_duty_m"]["typed"] == "320"
    assert (sheet.revision, sheet.version, sheet.saved_by) == (1, 1, "Ada Marsh")


def test_the_same_sheet_saved_again_changes_nothing(actor):
    motor = make_motor()
    saved(actor, motor)
    assert saved(actor, motor, 1).version == 1
    assert Event.objects.filter(verb="thrust_sheet.saved").count() == 1


def test_an_empty_sheet_is_refused_and_one_without_pump_data_is_unknown(actor):
    motor = make_motor()
    with pytest.raises(MotorError, match="Enter at least one figure"):
        save_thrust_sheet(actor=actor, motor=motor, version=0, entries={})
    sheet = saved(actor, motor, thrust_factor_n_per_m=None, specific_gravity=None)
    duty = thrust_from_values(sheet.summary).figure("down_duty")
    assert duty.missing == ("thrust_factor_n_per_m", "specific_gravity")
    assert "down_thrust_n" not in figures_to_use(sheet)
    assert ["downthrust at duty", "unknown: thrust factor K and specific gravity"] in short_rows(
        sheet.summary, "si"
    )


def test_two_people_do_not_overwrite_each_other(actor):
    motor = make_motor()
    saved(actor, motor)
    saved(actor, motor, 1, head_duty_m=("330", "ft"))
    with pytest.raises(StaleMotorError):
        saved(actor, motor, 1, head_duty_m=("340", "ft"))


def test_a_signed_revision_stays_and_a_change_asks_for_a_reason(actor):
    motor = make_motor()
    sheet = sign_thrust_sheet(actor=actor, sheet=saved(actor, motor), version=1)
    assert (sheet.signed_name, sheet.version) == ("Ada Marsh", 2)
    changed = entries(head_duty_m=("330", "ft"))
    with pytest.raises(MotorError, match="Enter a reason for the new revision") as refused:
        save_thrust_sheet(actor=actor, motor=motor, version=2, entries=changed)
    assert refused.value.field == "reason"
    newer = save_thrust_sheet(
        actor=actor, motor=motor, version=2, entries=changed, reason="the pump was lowered"
    )
    assert (newer.revision, newer.version, newer.is_signed) == (2, 3, False)
    first = ThrustSheet.objects.get(motor=motor, revision=1)
    assert first.entries["head_duty_m"]["typed"] == "320"
    with pytest.raises(StaleMotorError, match="newer revision"):
        sign_thrust_sheet(actor=actor, sheet=first, version=3)
    with pytest.raises(MotorError, match="already signed"):
        sign_thrust_sheet(
            actor=actor, sheet=sign_thrust_sheet(actor=actor, sheet=newer, version=3), version=4
        )


def test_a_factor_in_the_wrong_unit_is_taken_only_on_a_persons_word(actor):
    motor = make_motor()
    wrong = entries(thrust_factor_n_per_m=("9.5", "N/m"))
    with pytest.raises(ThrustQuestionError) as asked:
        save_thrust_sheet(actor=actor, motor=motor, version=0, entries=wrong)
    assert [one.code for one in asked.value.questions] == ["factor-small"]
    assert not ThrustSheet.objects.exists()
    sheet = save_thrust_sheet(actor=actor, motor=motor, version=0, entries=wrong, confirmed=("factor-small",))
    assert sheet.confirmed == ["factor-small"]


def test_used_figures_are_inferred_and_the_plates_own_stay_behind_them(actor):
    motor = make_motor()
    sheet = saved(actor, motor, plate_up_thrust_n=None)
    motor = use_thrust_sheet(
        actor=actor, sheet=sheet, version=1, motor_version=1, choices=ALL_SHEET, units="us"
    )
    entry = motor.nameplate["down_thrust_n"]
    assert (entry["state"], entry["typed"], entry["unit"], entry["sheet"]) == ("inferred", "4423", "lbf", 1)
    assert entry["plate"]["si"] == 30000.0
    assert shown(BY_KEY["down_thrust_n"], entry, "us") == (
        "4,423\u00a0lbf, from thrust sheet, rev. 1; plate: 30,000\u00a0N (6,744\u00a0lbf)"
    )
    duty = duty_of(motor)
    assert duty["down_thrust_n"] == pytest.approx(4423 * LBF)
    assert duty["maximum_down_thrust_n"] == pytest.approx(5373 * LBF)
    assert duty["up_thrust_n"] == pytest.approx(1500 * LBF)
    assert duty["reverse_speed_rpm"] == pytest.approx(1780 * 1.625 * (280 / 320) ** 0.5, abs=1)
    sheet.refresh_from_db()
    assert sheet.is_signed
    assert sheet.used_at is not None
    assert {event.verb for event in Event.objects.all()} >= {"thrust_sheet.used", "motor.changed"}


def test_nothing_is_put_in_the_place_of_the_plate_without_a_choice(actor):
    motor = make_motor()
    sheet = saved(actor, motor)
    choices = {key: value for key, value in ALL_SHEET.items() if key != "down_thrust_n"}
    with pytest.raises(MotorError, match="choose plate or sheet") as refused:
        use_thrust_sheet(actor=actor, sheet=sheet, version=1, motor_version=1, choices=choices, units="si")
    assert refused.value.field == "down_thrust_n"
    motor.refresh_from_db()
    assert motor.nameplate["down_thrust_n"]["state"] == "read"
    sheet.refresh_from_db()
    assert not sheet.is_signed


def test_the_plate_comes_back_when_it_is_chosen_later(actor):
    motor = make_motor()
    before = motor.nameplate["down_thrust_n"]
    sheet = saved(actor, motor)
    motor = use_thrust_sheet(
        actor=actor, sheet=sheet, version=1, motor_version=1, choices=ALL_SHEET, units="si"
    )
    sheet.refresh_from_db()
    motor = use_thrust_sheet(
        actor=actor, sheet=sheet, version=sheet.version, motor_version=motor.version,
        choices=dict.fromkeys(ALL_SHEET, "plate"), units="si",
    )  # fmt: skip
    assert motor.nameplate["down_thrust_n"] == before
    assert "maximum_down_thrust_n" not in motor.nameplate


def test_somebody_elses_change_of_the_motor_is_not_overwritten(actor):
    motor = make_motor(version=4)
    sheet = saved(actor, motor)
    with pytest.raises(StaleMotorError):
        use_thrust_sheet(actor=actor, sheet=sheet, version=1, motor_version=3, choices=ALL_SHEET, units="si")
    assert not ThrustSheet.objects.get().is_signed


def test_the_plates_meaning_is_not_guessed_at_for_a_figure_of_the_sheet(actor):
    motor = make_motor()
    assert any("Taken as external" in one.text for one in remarks(motor))
    motor = use_thrust_sheet(
        actor=actor, sheet=saved(actor, motor), version=1, motor_version=1, choices=ALL_SHEET, units="si"
    )
    assert not any("Taken as external" in one.text for one in remarks(motor))


def test_a_fallback_stays_marked_on_the_plate(actor):
    motor = make_motor()
    sheet = saved(actor, motor, plate_up_thrust_n=None, pump_up_thrust_n=None, up_fallback=("asked", ""))
    assert figures_to_use(sheet)["up_thrust_n"] == pytest.approx(2400 * LBF)  # 30 % of 8000: common practice
    motor = use_thrust_sheet(
        actor=actor, sheet=sheet, version=1, motor_version=1, choices=ALL_SHEET, units="us"
    )
    words = shown(BY_KEY["up_thrust_n"], motor.nameplate["up_thrust_n"], "us")
    assert "(rule of thumb, no source)" in words


def test_a_ratchet_leaves_no_reverse_speed_to_write_down(actor):
    sheet = saved(actor, make_motor(), ratchet=("yes", ""))
    assert "reverse_speed_rpm" not in figures_to_use(sheet)
    assert ["reverse speed", "non-reverse ratchet prevents backspin; inspect it"] in short_rows(
        sheet.summary, "si"
    )


def test_an_external_figure_of_the_sheet_does_not_lose_the_rotor_a_second_time(actor):
    motor = make_motor()
    motor.nameplate["thrust_basis"] = {"state": "read", "typed": "total", "unit": "", "si": "total"}
    motor.save()
    sheet = saved(actor, motor, plate_meaning=("total", ""))
    motor = use_thrust_sheet(
        actor=actor, sheet=sheet, version=1, motor_version=1, choices=ALL_SHEET, units="us"
    )
    assert duty_of(motor)["down_thrust_n"] == pytest.approx(4423 * LBF)


def test_a_new_sheet_begins_with_what_the_plate_says_and_names_what_differs():
    motor = make_motor()
    begun = entries_from_plate(motor)
    assert {key: entry["si"] for key, entry in begun.items()} == {
        "operating_speed_rpm": 1780.0, "plate_down_thrust_n": 30000.0, "plate_up_thrust_n": 9000.0,
        "rotor_weight_n": 2200.0,
    }  # fmt: skip
    differing = differing_from_plate(motor, entries())
    assert {field.key for field, _plate in differing} == {
        "plate_down_thrust_n", "plate_up_thrust_n", "rotor_weight_n",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("quantity", "unit", "si"),
    [
        ("thrust_factor", "lbf/ft", constants.lbf / constants.foot),
        ("head", "ft", constants.foot),
        ("pressure", "psi", constants.psi),
        ("pressure", "bar", constants.bar),
        ("force", "lbf", constants.lbf),
        ("length", "in", constants.inch * 1000),
        # rpm, US gal/min and ft against rpm, m³/s and m, from the definition of specific speed
        ("specific_speed", "US", 1 / ((60 / (constants.gallon * 1000) * 1000) ** 0.5 * constants.foot**0.75)),
    ],
)
def test_units_convert_exactly(quantity, unit, si):
    # scipy.constants, exact definitions
    assert unit_of(quantity, unit).to_si(1.0) == pytest.approx(si, rel=1e-12)
    assert unit in {one.name for one in QUANTITIES[quantity]}


def test_the_same_pump_in_either_units_is_the_same_pump():
    metric = entries(
        thrust_factor_n_per_m=(f"{9.5 * LBF / constants.foot!r}", "N/m"),
        head_duty_m=(f"{320 * 0.3048!r}", "m"),
    )
    one, other = inputs_of(entries()), inputs_of(metric)
    assert one.thrust_factor_n_per_m == pytest.approx(other.thrust_factor_n_per_m)
    assert one.head_duty_m == pytest.approx(other.head_duty_m)


def test_the_database_keeps_one_row_for_a_revision(actor):
    sheet = saved(actor, make_motor())
    with pytest.raises(IntegrityError), transaction.atomic():
        ThrustSheet.objects.create(motor=sheet.motor, revision=1, saved_by="somebody")
