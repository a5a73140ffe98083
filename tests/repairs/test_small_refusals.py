"""Refusals of the work orders' services, one by one: each fails when its line is changed."""

from __future__ import annotations

import pytest

from repairs.customers.models import Contact
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, Stage
from repairs.work_orders.services.opening import close_job
from repairs.work_orders.services.pictures import add_photos, place_mark
from repairs.work_orders.services.receiving import receive_job
from repairs.work_orders.services.stack_editing import OF_THE_PIECE, copy_rating
from repairs.work_orders.services.templates import remove_template_step
from tests.repairs.factories import (
    TODAY,
    actor_for,
    make_customer,
    make_job,
    make_motor,
    make_rating,
    make_stack_record,
    make_template,
    make_user,
    picture_file,
    triple_items,
)

pytestmark = pytest.mark.django_db


def test_a_job_is_not_opened_with_a_contact_of_another_customer():
    contact = Contact.objects.create(customer=make_customer(), name="Dana")
    with pytest.raises(WorkOrderError, match="contact belongs to another customer") as refusal:
        receive_job(
            actor=actor_for(make_user("office")),
            today=TODAY,
            motor=make_motor(),
            contact=contact,
            complaint="",
        )
    assert refusal.value.field == "contact"
    assert not Job.objects.exists()


def test_an_active_template_keeps_a_step_and_one_out_of_use_need_not():
    actor, template = actor_for(make_user("administrator")), make_template()
    last = template.steps.first()
    template.steps.exclude(pk=last.pk).delete()
    with pytest.raises(WorkOrderError, match="at least one step"):
        remove_template_step(actor=actor, template=template, version=template.version, step_id=last.pk)
    assert template.steps.count() == 1
    type(template).objects.filter(pk=template.pk).update(active=False)
    template.refresh_from_db()
    remove_template_step(actor=actor, template=template, version=template.version, step_id=last.pk)
    assert template.steps.count() == 0


def test_a_job_with_open_steps_is_not_closed():
    job = make_job()
    with pytest.raises(WorkOrderError, match="Steps are still open"):
        close_job(actor=actor_for(make_user("lead")), job=job)
    job.refresh_from_db()
    assert job.state == Job.State.OPEN


def test_a_mark_names_an_item_or_says_what_it_shows():
    record = make_stack_record()
    actor = actor_for(record.started_by)
    (place,) = add_photos(actor=actor, job=record.job, files=[picture_file()], stack_record=record)
    with pytest.raises(WorkOrderError, match="Choose the item") as refusal:
        place_mark(actor=actor, job_photo=place, x=0.5, y=0.5, label="  ")
    assert refusal.value.field == "item_uid"
    assert place_mark(actor=actor, job_photo=place, x=0.5, y=0.5, label="scored race").label == "scored race"


PIECE = {
    "wide_face": "up",
    "serial": "0417",
    "mark": "42",
    "set_id": "S1",
    "pairing": "matched",
    "note": "race stained",
    "stand_out_um": 3.0,
    "fit_interference_um": 12.0,
}


def test_what_belongs_to_the_piece_stays_when_a_rating_is_copied_and_the_kind_s_figures_go():
    items = triple_items("ddu")
    items[2]["data"] |= {**PIECE, "limiting_speed_rpm": 1_234.0, "ball_count": 11}
    record = make_stack_record(make_job(), Stage.AS_FOUND, items=items)
    rating = make_rating(figures={"dynamic_rating_n": 200_000.0})
    now = copy_rating(
        actor=actor_for(record.started_by), record=record, version=record.version, uid="b2", rating=rating
    )
    data = now.items[2]["data"]
    assert {name: data.get(name) for name in PIECE} == PIECE
    assert "limiting_speed_rpm" not in data
    assert "ball_count" not in data
    assert set(PIECE) | {"carries", "end_play_um"} == set(OF_THE_PIECE)
