"""Computed vs. measured of a job, and the shop's own factor, which an engineer accepts."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

import tests.repairs.factories as factories
from bearings.public import StoredAssessment
from repairs.measurements.as_built import built_record, case_of
from repairs.measurements.computed.factors import accept_factor, factor_of
from repairs.measurements.computed.presenting import computed_sheet
from repairs.measurements.computed.runs import family_of, newest_run, run_heat, signed_runs
from repairs.measurements.engineering.shape import Value
from repairs.measurements.models import RunFactor, TestRecord
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Step, StepKind
from tests.repairs.factories import actor_for, make_job, make_motor, make_user
from tests.repairs.signed_stacks import approved, built
from tests.visible_text import visible_text

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture(autouse=True)
def _universal_bearings(monkeypatch):
    """Bearings that may be paired as they come: without it no end play is predicted."""
    plain = factories.bearing_item
    monkeypatch.setattr(
        factories, "bearing_item", lambda *args, **data: plain(*args, **{"pairing": "universal", **data})
    )


def job_built() -> Job:
    motor = make_motor()
    motor.nameplate["lubrication"] = {"state": "read", "typed": "oil bath", "unit": "", "si": "oil_bath"}
    motor.save()
    job = make_job(motor)
    approved(job)
    built(job, "ddu")
    return job


def stored_of(job: Job) -> StoredAssessment:
    record = built_record(job)
    assert record is not None
    assert record.assessment is not None
    return record.assessment


def run(job: Job, rise: float = 28.0, *, signed: bool = True, last: int = 60, **more: Value) -> TestRecord:
    step = job.steps.get(kind=StepKind.FINAL_TEST)
    rows = tuple((float(at), 22.0, 22.0 + rise, 40.0, None, 45.0) for at in range(0, last + 1, 15))
    values: dict[str, Value] = {
        "top_kind": "rolling", "bottom_kind": "rolling", "uncoupled": "yes", "temperatures": rows, **more
    }  # fmt: skip
    entry = TestEntry(test="run_temperatures", values=values)
    record = record_test(actor=actor_for(make_user()), job=job, step=step, entry=entry)
    if signed:
        Step.objects.filter(pk=step.pk).update(state=Step.State.DONE)
    return record


def end_play(job: Job, **values: Value) -> TestRecord:
    entry = TestEntry(test="end_play", values={"down_1": 0.0, "up_1": 0.01, **values})
    step = job.steps.get(kind=StepKind.END_PLAY)
    return record_test(actor=actor_for(make_user()), job=job, step=step, entry=entry)


def line(job: Job, start: str) -> Any:
    return next(one for one in computed_sheet(job, "si").lines if one.label.startswith(start))


def test_a_run_without_thrust_is_held_against_the_case_uncoupled():
    job = job_built()
    stored = stored_of(job)
    heat = run_heat(run(job), stored)
    case = case_of(stored.answer, "uncoupled")
    assert case is not None
    assert heat.friction_w == pytest.approx((case["warm"] or case)["friction_w"])
    seats = sum(row["seat_w"] for row in stored.answer["thermal"]["bearings"])
    lubrication = stored.stack.get("lubrication", {})
    at_rise = lubrication.get("temperature_c", 0) - lubrication.get("ambient_c", 0)
    known = {"temperature_c", "ambient_c"} <= set(lubrication)
    assert heat.predicted_k == pytest.approx(heat.friction_w * (at_rise if known else 50) / seats)
    assert heat.ratio == pytest.approx(28 / heat.predicted_k)
    coupled = run_heat(run(job, uncoupled="no"), stored)
    assert coupled.friction_w is not None
    assert heat.friction_w is not None
    assert coupled.friction_w > heat.friction_w


@pytest.mark.parametrize(("more", "why"), [({"last": 15}, "not_stable"), ({"uncoupled": ""}, "no_case")])
def test_what_cannot_be_compared_is_said(more, why):
    job = job_built()
    heat = run_heat(run(job, **more), stored_of(job))
    assert (heat.why, heat.ratio) == (why, None)
    assert "not comparable" in line(job, "Top bearing, rise").word
    assert run_heat(run(make_job()), None).why == "no_prediction"


def test_the_newest_run_that_stands_counts():
    job = job_built()
    run(job)
    second = run(job, rise=20)
    assert newest_run(job) == second


def test_end_play_is_compared_under_the_same_load_only(settings):
    settings.SHOP_UNITS = "si"
    job = job_built()
    assert line(job, "End play").word == "not comparable: not measured yet"
    end_play(job)
    assert line(job, "End play").word == "not comparable: gauge loads not entered"
    end_play(job, load_down_n=900.0, load_up_n=500.0, rotor_weight_apart="yes")
    assert line(job, "End play").word == "not comparable: measured with another load"
    end_play(job, load_down_n=500.0, load_up_n=500.0, rotor_weight_apart="yes", up_1=0.01)
    one = line(job, "End play")
    assert one.word == "inside the computed band"
    assert "Expected from assumed figures: compared, but no limit." in one.remark
    end_play(job, load_down_n=500.0, load_up_n=500.0, rotor_weight_apart="yes", up_1=0.9)
    assert (line(job, "End play").word, line(job, "End play").differs) == ("above the computed band", True)


def test_five_signed_runs_of_one_family_teach_a_factor_and_one_job_counts_once():
    jobs = [job_built() for _at in range(4)]
    for rise, job in zip((24, 26, 28, 30), jobs, strict=True):
        run(job, rise)
    run(jobs[0], 25)
    family = family_of(stored_of(jobs[0]))
    assert family.startswith("angular_contact_ball/")
    assert factor_of(family, signed_runs())[0] is None
    unsigned = job_built()
    run(unsigned, 27, signed=False)
    assert factor_of(family, signed_runs())[0] is None
    run(job_built(), 27)
    factor, runs = factor_of(family, signed_runs())
    assert factor is not None
    assert (factor.runs, len(runs)) == (5, 5)
    assert factor.low < factor.median < factor.high
    assert factor_of("spherical_roller_thrust/grease", signed_runs()) == (None, [])


def taught() -> tuple[Job, str]:
    jobs = [job_built() for _at in range(5)]
    for rise, job in zip((24, 26, 28, 30, 32), jobs, strict=True):
        run(job, rise)
    return jobs[-1], family_of(stored_of(jobs[0]))


def test_only_the_engineer_accepts_and_only_what_was_shown():
    job, family = taught()
    for role in ("technician", "lead", "office"):
        with pytest.raises(WorkOrderError, match="Only the engineer"):
            accept_factor(actor=actor_for(make_user(role)), family=family, seen=5)
    engineer = actor_for(make_user("engineer"))
    with pytest.raises(WorkOrderError, match="Check the factor again"):
        accept_factor(actor=engineer, family=family, seen=4)
    with pytest.raises(WorkOrderError, match="too few"):
        accept_factor(actor=engineer, family="none/grease", seen=0)
    assert "shop-corrected" not in " ".join(one.label for one in computed_sheet(job, "si").lines)
    made = accept_factor(actor=engineer, family=family, seen=5)
    assert len(made.runs) == 5
    assert made.low < made.median < made.high
    corrected = line(job, "Top bearing, rise, shop-corrected")
    assert corrected.word == "inside the computed band"
    assert "From 5 signed runs" in corrected.remark


def test_the_pages_show_it_and_the_engineer_accepts_there():
    job, _family = taught()
    client = Client()
    client.force_login(make_user("engineer"))
    url = reverse("office:computed", args=[job.number])
    page = client.get(url).content.decode()
    assert "from 5 signed runs" in " ".join(visible_text(page))
    assert "Accept factor" in page
    form = {"family": _family, "seen": "5", "form_key": "k"}
    assert client.post(reverse("office:accept_factor", args=[job.number]), form).status_code == 302
    assert RunFactor.objects.count() == 1
    page = client.get(url).content.decode()
    assert "shop-corrected" in page
    assert "Accept factor" not in page
    refused = client.post(
        reverse("office:accept_factor", args=[job.number]), {**form, "seen": "3", "form_key": "n"}
    )
    assert refused.status_code == 422
    bench = Client()
    bench.force_login(make_user())
    text = " ".join(visible_text(bench.get(reverse("bench:computed", args=[job.number])).content.decode()))
    assert "Computed vs. measured" in text
    assert "Accept factor" not in text
