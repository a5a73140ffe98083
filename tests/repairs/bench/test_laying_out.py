"""The dry lay-out at the bench: every part is looked at, a difference stops in words."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.models import Job, LayOut, StackRecord, Stage, StepKind
from repairs.work_orders.services.laying_out import newest_lay_out, plain
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.signed_stacks import approve, approved

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(client: Client) -> Client:
    client.force_login(make_user())
    return client


def url(job: Job) -> str:
    return reverse("bench:lay_out", args=[job.number])


def seen(record: StackRecord, key: str = "k", **changed: str) -> dict[str, Any]:
    """Return the form of somebody who sees the stack lie as specified, but for what is changed."""
    fields: dict[str, Any] = {"form_key": key, "revision": record.revision}
    for entry in record.items:
        uid, data = entry["uid"], entry["data"]
        fields[f"lies-{uid}"] = "yes"
        if data["kind"] == "bearing":
            fields |= {f"face-{uid}": data["wide_face"], f"mark-{uid}": data["mark"]}
    return {name: value for name, value in (fields | changed).items() if value != ""}


def test_a_stack_that_lies_as_specified_opens_the_gate_but_for_its_photo(shop):
    job = make_job()
    record = approved(job)
    step = job.steps.get(kind=StepKind.LAY_OUT)
    worker = actor_for(make_user())
    assert "not checked against the specified stack yet" in " ".join(blocking_reasons(step, actor=worker))
    for _twice in range(2):
        assert shop.post(url(job), seen(record)).status_code == 302
    assert LayOut.objects.count() == 1
    assert [reason for reason in blocking_reasons(step, actor=worker) if "photo" not in reason] == []
    assert "All parts as specified" in shop.get(url(job)).content.decode()
    assert Event.objects.filter(verb="stack.laid_out").count() == 1


def test_a_bearing_laid_the_wrong_way_round_is_a_stop_in_words_until_it_is_put_right(shop):
    job = make_job()
    record = approved(job)
    step = job.steps.get(kind=StepKind.LAY_OUT)
    shop.post(url(job), seen(record, **{"face-b2": "up"}))
    page = shop.get(url(job)).content.decode()
    assert "Bearing 2 is upside down. Flip it." in page
    assert "Flip it" in " ".join(blocking_reasons(step, actor=actor_for(make_user())))
    shop.post(url(job), seen(record, key="again"))
    assert newest_lay_out(job).differences == []


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"lies-nut": ""}, "not-there"),
        ({"face-b1": ""}, "face-not-read"),
        ({"mark-b1": "99"}, "mark"),
        ({"mark-b3": ""}, "mark-not-read"),
        ({"mark-b1": "42", "mark-b2": "41"}, "mark"),
    ],
)
def test_what_is_missing_or_lies_elsewhere_is_told(shop, changed, code):
    job = make_job()
    record = approved(job)
    shop.post(url(job), seen(record, **changed))
    assert code in {one["code"] for one in newest_lay_out(job).differences}


def test_marks_are_read_without_blanks_and_dashes():
    assert plain(" s-118 / 2 ") == plain("S1182")


def test_a_revision_made_meanwhile_is_told_and_keeps_nothing(shop):
    job = make_job()
    record = approved(job)
    newer = make_stack_record(job, Stage.SPECIFIED, revision=2)
    approve(actor_for(make_user("lead")), newer)
    answer = shop.post(url(job), seen(record, **{"mark-b1": "typed"}))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "revision 2" in page
    assert 'value="typed"' in page
    assert not LayOut.objects.exists()


def test_without_an_approved_stack_nothing_can_be_laid_out(shop):
    job = make_job()
    assert "No approved specified stack yet" in shop.get(url(job)).content.decode()
    assert shop.post(url(job), {"form_key": "x", "revision": "1"}).status_code == 422


def test_who_records_the_stack_as_built_sees_neither_lay_out_nor_wall(client):
    job, builder = make_job(), make_user()
    approved(job)
    make_stack_record(job, Stage.AS_BUILT, started_by=builder)
    client.force_login(builder)
    for name in ("lay_out", "stack_wall"):
        page = client.get(reverse(f"bench:{name}", args=[job.number])).content.decode()
        assert "wide face down" not in page


def test_the_wall_shows_the_specified_stack_large_or_says_that_there_is_none(shop):
    job = make_job()
    wall = reverse("bench:stack_wall", args=[job.number])
    assert "No approved specified stack yet" in shop.get(wall).content.decode()
    approved(job)
    page = shop.get(wall).content.decode()
    assert "wall__item" in page
    assert "<svg" in page
