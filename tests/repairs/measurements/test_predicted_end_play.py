"""Where plate and specification say nothing, the stack as built says what end play it should show."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from repairs.bench.asked_readings import asked_rows
from repairs.measurements.measured_fits import measured_fits, refs_of_seat
from repairs.measurements.models import Reading, SeatRecord
from repairs.measurements.predicted_end_play import predicted_end_play
from repairs.measurements.standing_limits import standing_limit
from repairs.work_orders.judging import judge, shop_limits, stack_file_of
from repairs.work_orders.models import Job, StackRecord, Stage, StepKind
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user, triple_items
from tests.repairs.measurements.one_figure import take_figure
from tests.repairs.signed_stacks import approved, built

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def measured_seat(job: Job, refs: str = "1–3", fit: str = "12", **fields: Any) -> SeatRecord:
    user = make_user()
    return SeatRecord.objects.create(
        **{
            "job": job, "moment": "as_left", "place": "mount", "bearing_ref": refs, "nominal_mm": 100,
            "limits_from": "drawing", "unit": "mm", "verdict": "pass", "person": user, "person_name": "A",
            "signed_at": timezone.now(), "signed_name": "A",
            "figures": {"fits": {"measured": fit, "seat_measured": None, "by_tolerance": None}}, **fields,
        }
    )  # fmt: skip


def job_built(*, seats: bool = True) -> Job:
    job = make_job()
    approved(job)
    if seats:
        measured_seat(job)
    record = built(job, "ddu")
    for entry in record.items:
        assert "fit_interference_um" not in entry["data"]
    return job


def with_pairing(monkeypatch: pytest.MonkeyPatch) -> None:
    import tests.repairs.factories as factories

    plain = factories.bearing_item
    monkeypatch.setattr(
        factories, "bearing_item", lambda *args, **data: plain(*args, **{"pairing": "universal", **data})
    )


def test_measured_seats_tell_the_checker_the_fit_of_their_bearings():
    job = make_job()
    record = make_stack_record(job, Stage.SPECIFIED)
    measured_seat(job, fit="12")
    file = stack_file_of(record, job.motor, {})
    assert [item.get("fit_interference_um") for item in file["items"]] == [None, 12.0, 12.0, 12.0, None]
    assessment = judge(record, job.motor, shop_limits()).assessment
    assert assessment is not None
    assert not any("fit_interference_um" in str(row.params) for row in assessment.not_checked)


def test_only_signed_seats_of_that_size_count_and_a_typed_fit_stands():
    job = make_job()
    items = triple_items()
    items[1]["data"]["fit_interference_um"] = 7
    record = make_stack_record(job, Stage.SPECIFIED, items=items)
    measured_seat(job, refs="1+2", fit="12")
    measured_seat(job, refs="3", fit="40", signed_at=None)
    measured_seat(job, refs="3", fit="50", nominal_mm=Decimal("95"), name="other")
    measured_seat(job, refs="3", fit="60", place="housing_thrust")
    assert measured_fits(record) == {"1": {"fit_interference_um": 12.0}, "2": {"fit_interference_um": 12.0}}
    file = stack_file_of(record, job.motor, {})
    assert [item.get("fit_interference_um") for item in file["items"]] == [None, 7, 12.0, None, None]


def test_a_seat_as_left_takes_the_place_of_the_seat_as_found():
    job = make_job()
    measured_seat(job, fit="2", moment="as_found")
    found, specified = make_stack_record(job), make_stack_record(job, Stage.SPECIFIED)
    measured_seat(job, fit="14")
    assert measured_fits(found)["1"] == {"fit_interference_um": 2.0}
    assert measured_fits(specified)["1"] == {"fit_interference_um": 14.0}


def test_the_middle_counts_where_the_ring_is_known_by_its_tolerance_alone():
    job = make_job()
    kept = {"measured": None, "seat_measured": ["21", "3"], "by_tolerance": None}
    measured_seat(job, figures={"fits": kept})
    assert measured_fits(make_stack_record(job)) == {}
    assert measured_fits(make_stack_record(job, Stage.SPECIFIED))["2"] == {"fit_interference_um": 12.0}


@pytest.mark.parametrize(
    ("text", "refs"), [("1–3", ("1", "2", "3")), ("1+3", ("1", "3")), ("g1", ("g1",)), ("", ())]
)
def test_a_seat_names_its_bearings(text, refs):
    assert refs_of_seat(text) == refs


def test_the_prediction_is_the_limit_where_plate_and_specification_have_none(monkeypatch, settings):
    settings.SHOP_UNITS = "si"
    with_pairing(monkeypatch)
    job = job_built()
    predicted = predicted_end_play(job)
    assert predicted is not None
    assert predicted.is_limit
    assert (predicted.low, predicted.unit) == (0, "mm")
    assert Decimal("0.01") <= predicted.high <= Decimal("0.05")
    standing = standing_limit(job, "end_play", measurer=make_user().pk, at=timezone.now())
    assert standing is not None
    assert (standing.low, standing.high) == (None, predicted.high)
    assert "stack as built" in standing.source
    step = job.steps.get(kind=StepKind.END_PLAY)
    reading = take_figure(
        actor=actor_for(make_user()), job=job, step=step, asked="end_play", value=Decimal("0.4"), unit="mm"
    )
    assert reading.verdict == Reading.Verdict.FAIL
    (row, *_others) = asked_rows(job, step, actor_for(make_user()))
    assert row["cause"]


def test_a_plate_or_a_specification_overrules_the_prediction(monkeypatch, settings):
    settings.SHOP_UNITS = "si"
    with_pairing(monkeypatch)
    job = job_built()
    motor = job.motor
    motor.nameplate = {
        **motor.nameplate,
        "end_play_mm": {"state": "read", "typed": "0.3", "unit": "mm", "si": 0.3},
    }
    motor.save()
    standing = standing_limit(job, "end_play", measurer=make_user().pk, at=timezone.now())
    assert standing is not None
    assert standing.high == Decimal("0.3")


def test_from_assumed_figures_it_is_expected_and_opens_no_gate(monkeypatch, settings):
    settings.SHOP_UNITS = "si"
    with_pairing(monkeypatch)
    job = job_built(seats=False)
    predicted = predicted_end_play(job)
    assert predicted is not None
    assert not predicted.is_limit
    assert standing_limit(job, "end_play", measurer=make_user().pk, at=timezone.now()) is None
    client = Client()
    client.force_login(make_user())
    step = job.steps.get(kind=StepKind.END_PLAY)
    page = client.get(reverse("bench:shop_test", args=[job.number, step.pk, "end_play"])).content.decode()
    assert "from assumed figures. For information only." in page


def test_a_stack_that_differs_predicts_nothing(monkeypatch):
    with_pairing(monkeypatch)
    job = make_job()
    approved(job)
    measured_seat(job)
    built(job, "dud")
    assert predicted_end_play(job) is None
    assert StackRecord.objects.filter(job=job, stage=Stage.AS_BUILT).exists()


def test_a_shop_in_inches_reads_its_dial_in_inches(monkeypatch, settings):
    settings.SHOP_UNITS = "us"
    with_pairing(monkeypatch)
    predicted = predicted_end_play(job_built())
    assert predicted is not None
    assert predicted.unit == "in"
    assert predicted.high % Decimal("0.0005") == 0
    assert "lbf" in predicted.source
