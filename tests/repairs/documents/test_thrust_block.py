"""The thrust block of the traveler: only with a sheet, unknowns and fallbacks said, a new revision when it changes."""

from __future__ import annotations

import pytest

from repairs.documents import issuing
from repairs.documents.content.reader import CANONICAL, Reader
from repairs.motors.thrust_services import save_thrust_sheet, sign_thrust_sheet
from repairs.work_orders.models import Job
from tests.repairs.documents.reading import pages_of, stored
from tests.repairs.documents.scenes import job_with_found_stack
from tests.repairs.documents.test_papers import printed
from tests.repairs.factories import actor_for, make_job, make_user
from tests.repairs.motors.thrust_entries import entries

pytestmark = pytest.mark.django_db


def with_sheet(job: Job, **changes):
    actor = actor_for(make_user("engineer", first_name="Ada", last_name="Marsh"))
    return actor, save_thrust_sheet(actor=actor, motor=job.motor, version=0, entries=entries(**changes))


def test_a_traveler_without_a_sheet_says_nothing_of_it():
    content = issuing.content_of(make_job(), "traveler", CANONICAL)
    assert "thrust" not in content


def test_the_block_says_what_the_plate_means_and_every_figure():
    job = job_with_found_stack()
    actor, sheet = with_sheet(job)
    sign_thrust_sheet(actor=actor, sheet=sheet, version=1)
    words = " ".join(" ".join(pages_of(stored(printed(job, units="us")))).split())
    wanted = (
        "Pump thrust", "signed by Ada Marsh", "external (without rotor)", "4,423 lbf", "5,373 lbf",
        "2,000 lbf", "curve 4410 (invented)", "(estimate; ask the pump maker)", "spins backward",
        "pump and motor manufacturers' data",
    )  # fmt: skip
    text = words.replace("\u00a0", " ").replace("\u202f", " ")
    assert [one for one in wanted if one not in text] == []


def test_unknowns_fallbacks_and_a_draft_are_said():
    job = make_job()
    with_sheet(job, thrust_factor_n_per_m=None, plate_up_thrust_n=None, pump_up_thrust_n=None,
               up_fallback=("asked", ""))  # fmt: skip
    block = issuing.content_of(job, "traveler", Reader("en", "us"))["thrust"]
    rows = dict(block["rows"])
    assert block["state"] == "draft, not signed"
    assert rows["downthrust at duty"] == "unknown: thrust factor K"
    assert rows["upthrust"].endswith("(rule of thumb, no source)")
    assert {row["verdict"] for row in block["verdicts"]} == {"not_checked"}


def test_a_changed_sheet_makes_a_new_revision_of_the_traveler():
    job = make_job()
    first = printed(job)
    actor, _sheet = with_sheet(job)
    second = printed(job)
    assert (first.revision, second.revision) == (1, 2)
    assert "thrust" in issuing.changed_parts(first, issuing.content_of(job, "traveler", CANONICAL))
    save_thrust_sheet(actor=actor, motor=job.motor, version=1, entries=entries(head_duty_m=("330", "ft")))
    assert printed(job).revision == 3


def test_the_block_costs_one_query(django_assert_num_queries):
    job = make_job()
    with_sheet(job)
    with django_assert_num_queries(1):
        assert issuing.papers.thrust_part(job, CANONICAL)["thrust"]["revision"] == 1
