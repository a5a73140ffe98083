"""What keeps a step from being signed, and what a lead may open."""

from __future__ import annotations

import pytest
from django.utils import timezone

from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import CHAIN, STACK_STEPS, blocking_reasons
from repairs.work_orders.models import SignOff, Stage, Step, StepKind
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.services.laying_out import check_lay_out, lines_to_check
from repairs.work_orders.services.pictures import add_photos
from repairs.work_orders.services.route import override_gate, sign_off
from tests.repairs.factories import (
    actor_for,
    make_job,
    make_stack_record,
    make_user,
    picture_file,
    triple_items,
)
from tests.repairs.signed_stacks import (
    approve,
    approved,
    built,
    laid_out,
    looked_at,
    seats_measured,
    with_photo,
)

pytestmark = [pytest.mark.django_db, pytest.mark.data]
NOT_MEASURED = ["End play: not measured yet.", "Shaft runout (TIR): not measured yet."]


def test_a_bearing_turned_over_stops_the_job_until_a_second_person_records_the_stack_again():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    wrong = built(job, "duu", builder)
    assert [row["code"] for row in wrong.differences] == ["turned-over"]
    job.refresh_from_db()
    assert job.alert_severity == "stop"
    step = job.steps.get(kind=StepKind.END_PLAY)
    assert any("upside down" in reason for reason in blocking_reasons(step, actor=actor_for(other)))
    with pytest.raises(WorkOrderError, match="second person"):
        built(job, "ddu", builder)
    job.stack_records.filter(state="draft").first()
    draft = job.stack_records.get(stage=Stage.AS_BUILT, state="draft")
    right = signing.submit_built(actor=actor_for(other), record=draft, version=draft.version)
    assert right.differences == []
    job.refresh_from_db()
    assert job.alert_severity != "stop"


def test_the_one_who_built_it_cannot_be_the_second_person():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    record = built(job, "ddu", builder)
    step = job.steps.get(kind=StepKind.SECOND_PERSON)
    looked_at(record, other)
    assert any("Another person" in reason for reason in blocking_reasons(step, actor=actor_for(builder)))
    assert blocking_reasons(step, actor=actor_for(other)) == []
    end_play = job.steps.get(kind=StepKind.END_PLAY)
    assert blocking_reasons(end_play, actor=actor_for(other)) != []
    sign_off(actor=actor_for(other), step=step)
    assert blocking_reasons(end_play, actor=actor_for(builder)) == NOT_MEASURED


def test_mounting_waits_for_the_lay_out_and_the_lay_out_for_its_photo():
    job, worker = make_job(), actor_for(make_user())
    approved(job)
    lay_out, mount = (job.steps.get(kind=kind) for kind in (StepKind.LAY_OUT, StepKind.MOUNT))
    assert any("photo" in reason for reason in blocking_reasons(lay_out, actor=worker))
    add_photos(actor=worker, job=job, files=[picture_file()], step=lay_out)
    assert any("layout" in reason for reason in blocking_reasons(mount, actor=worker))
    laid_out(job)
    sign_off(actor=worker, step=lay_out)
    missing = "Shaft or housing fit not measured, or not good yet: bearing 1–3, "
    assert [reason.partition("Ø")[0] for reason in blocking_reasons(mount, actor=worker)] == [
        "The stack as built is not recorded and submitted yet.",
        f"{missing}thrust bearing seat on the mount, ",
        f"{missing}thrust bearing housing, ",
    ]
    seats_measured(job)
    assert blocking_reasons(mount, actor=worker) == ["The stack as built is not recorded and submitted yet."]
    job.seats.filter(place="mount").update(verdict="not_checked")
    assert "thrust bearing seat on the mount" in " ".join(blocking_reasons(mount, actor=worker))


def test_a_stack_that_was_built_otherwise_stops_the_job_at_the_mount():
    job, builder = make_job(), make_user()
    approved(job)
    laid_out(job)
    job.steps.filter(kind=StepKind.LAY_OUT).update(state=Step.State.DONE)
    mount = job.steps.get(kind=StepKind.MOUNT)
    built(job, "duu", builder)
    reasons = blocking_reasons(mount, actor=actor_for(builder))
    assert any("differs from the specified stack" in reason and "upside down" in reason for reason in reasons)


def test_chargeable_work_waits_for_the_approval():
    job = make_job()
    winding = job.steps.get(kind=StepKind.WINDING)
    assert blocking_reasons(winding, actor=actor_for(make_user())) != []
    Step.objects.filter(job=job, kind=StepKind.APPROVAL).update(state=Step.State.DONE)
    assert blocking_reasons(winding, actor=actor_for(make_user())) == []


def test_a_deviation_that_the_lead_specifies_anew_is_no_difference_any_more():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    record = built(job, "dud", builder)
    looked_at(record, other, "dud")
    step = job.steps.get(kind=StepKind.SECOND_PERSON)
    assert blocking_reasons(step, actor=actor_for(other)) != []
    lead = actor_for(make_user("lead"))
    anew = make_stack_record(job, Stage.SPECIFIED, "dud", revision=2)
    assert any("Revision 2" in reason for reason in blocking_reasons(step, actor=actor_for(other)))
    approve(lead, anew)
    assert blocking_reasons(step, actor=actor_for(other)) == []
    job.refresh_from_db()
    assert job.alert_severity != "stop"


def test_a_stack_recorded_again_must_be_looked_at_again():
    job, builder, other = make_job(), make_user(), make_user()
    approved(job)
    looked_at(built(job, "ddu", builder), other)
    sign_off(actor=actor_for(other), step=job.steps.get(kind=StepKind.SECOND_PERSON))
    built(job, "ddu", builder)
    reasons = blocking_reasons(job.steps.get(kind=StepKind.END_PLAY), actor=actor_for(builder))
    assert any("Repeat that step" in reason for reason in reasons)


def test_an_override_opens_the_estimates_gate_but_never_that_of_the_stack():
    job, lead = make_job(), make_user("lead")
    mount = job.steps.get(kind=StepKind.MOUNT)
    mount.chargeable = True
    mount.save()
    assert any("estimate" in reason for reason in blocking_reasons(mount, actor=actor_for(lead)))
    override_gate(actor=actor_for(lead), step=mount, reason="goodwill")
    reasons = blocking_reasons(mount, actor=actor_for(lead))
    assert not any("estimate" in reason for reason in reasons)
    assert any("specified stack" in reason for reason in reasons)


def test_a_horizontal_motor_without_a_stack_is_not_held_by_the_stacks_gates():
    job = make_job()
    job.steps.filter(kind__in=STACK_STEPS).delete()
    reasons = blocking_reasons(job.steps.get(kind=StepKind.END_PLAY), actor=actor_for(make_user()))
    assert reasons == NOT_MEASURED


def test_a_spacer_that_was_not_measured_as_built_does_not_match_the_one_specified():
    job, lead, builder = make_job(), actor_for(make_user("lead")), make_user()
    spacer = {"uid": "sp", "rating_id": None, "data": {"kind": "spacer", "ring": "outer", "height_mm": 12.0}}
    specified = make_stack_record(job, Stage.SPECIFIED, items=[*triple_items(), spacer])
    approve(lead, specified)
    blank = {"uid": "sp", "rating_id": None, "data": {"kind": "spacer", "ring": "outer"}}
    draft = with_photo(
        make_stack_record(job, Stage.AS_BUILT, items=[*triple_items(), blank], started_by=builder)
    )
    assert [row["code"] for row in signing.differences(specified, draft)] == ["not-shown"]
    with pytest.raises(WorkOrderError, match="Part c: measure and enter its height"):
        signing.submit_built(actor=actor_for(builder), record=draft, version=draft.version)


@pytest.mark.parametrize("read", ["S-118", "s 118", "M 41", "m41"])
def test_the_lay_out_takes_mark_or_serial_whichever_is_read(read):
    job, lead = make_job(), actor_for(make_user("lead"))
    items = triple_items()
    items[1]["data"] |= {"serial": "S-118", "mark": "M41"}
    specified = make_stack_record(job, Stage.SPECIFIED, items=items)
    specified = approve(lead, specified)
    seen = {}
    for line in lines_to_check(specified):
        uid = line["uid"]
        seen |= {f"lies-{uid}": "yes", f"face-{uid}": line["face"], f"mark-{uid}": line["mark"]}
    worker = actor_for(make_user())
    wrong = check_lay_out(actor=worker, job=job, seen_revision=1, seen={**seen, "mark-b1": "S-119"})
    assert [one["code"] for one in wrong.differences] == ["mark"]
    assert (
        check_lay_out(actor=worker, job=job, seen_revision=1, seen={**seen, "mark-b1": read}).differences
        == []
    )


def test_a_link_signed_by_todays_rules_is_asked_again_before_the_motor_ships():
    job, worker = make_job(), actor_for(make_user())
    approved(job)
    laid_out(job)
    lay_out, ship = (job.steps.get(kind=kind) for kind in (StepKind.LAY_OUT, StepKind.SHIP))
    add_photos(actor=worker, job=job, files=[picture_file()], step=lay_out)
    sign_off(actor=worker, step=lay_out)
    assert not any("Take a photo" in reason for reason in blocking_reasons(ship, actor=worker))
    lay_out.photos.update(withdrawn_at=timezone.now())
    assert any("Take a photo" in reason for reason in blocking_reasons(ship, actor=worker))
    SignOff.objects.update(rules=1)
    assert not any("Take a photo" in reason for reason in blocking_reasons(ship, actor=worker))


def test_a_route_that_lacks_links_of_the_chain_gets_them_when_the_stack_is_specified():
    job = make_job()
    job.steps.filter(kind__in=(StepKind.LAY_OUT, StepKind.SECOND_PERSON, StepKind.END_PLAY)).delete()
    approved(job)
    kinds = list(job.steps.order_by("position").values_list("kind", flat=True))
    assert [kind for kind in kinds if kind in CHAIN] == list(CHAIN)
    assert len(kinds) == len(set(kinds))
