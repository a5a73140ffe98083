"""Parts and outside work at the bench: written down once, decided with a version, nothing typed is lost."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from repairs.work_orders.models import Job, OutsideService, StrippedPart, UsedPart
from repairs.work_orders.services import work
from tests.repairs.factories import actor_for, make_job, make_user

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(client: Client) -> Client:
    client.force_login(make_user())
    return client


def url(job: Job) -> str:
    return reverse("bench:parts", args=[job.number])


def test_a_part_taken_off_is_listed_once_and_its_fate_is_decided(shop):
    job = make_job()
    form = {
        "do": "list",
        "form_key": "a",
        "name": "Fan",
        "tag": "26-F",
        "place": "cart 3",
        "disposition": "open",
    }
    for _twice in range(2):
        assert shop.post(url(job), form).status_code == 302
    part = StrippedPart.objects.get()
    page = shop.get(url(job)).content.decode()
    assert "1 part has no disposition yet" in page
    shop.post(
        url(job), {**form, "do": f"change:{part.pk}", "form_key": "b", "version": 1, "disposition": "repair"}
    )
    part.refresh_from_db()
    assert part.disposition == "repair"


def test_a_change_that_somebody_else_made_meanwhile_is_told_and_nothing_typed_is_lost(shop):
    job = make_job()
    part = work.list_part(actor=actor_for(make_user()), job=job, name="Fan")
    work.change_part(actor=actor_for(make_user()), part=part, version=1, disposition="scrap")
    form = {
        "do": f"change:{part.pk}",
        "form_key": "b",
        "version": 1,
        "name": "Fan, cast",
        "disposition": "reuse",
    }
    answer = shop.post(url(job), form)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Someone else changed this part" in page
    assert 'value="Fan, cast"' in page


@pytest.mark.parametrize("quantity", ["", "0", "-2", "three", "1,5", "1.2345"])
def test_a_wrong_quantity_is_refused_beside_its_field(shop, quantity):
    form = {"do": "use", "form_key": "u", "name": "Grease", "quantity": quantity, "unit": "kg"}
    answer = shop.post(url(make_job()), form)
    assert answer.status_code == 422
    assert 'value="Grease"' in answer.content.decode()
    assert not UsedPart.objects.exists()


def test_a_used_part_is_written_down_for_the_step_and_taken_back(shop):
    job = make_job()
    shop.post(url(job), {"do": "use", "form_key": "u", "name": "7320", "quantity": "3", "unit": "pc"})
    part = UsedPart.objects.get()
    assert part.step == job.steps.first()
    assert "3 pc" in shop.get(url(job)).content.decode()
    shop.post(url(job), {"do": f"take_back:{part.pk}", "form_key": "v"})
    assert "3 pc" not in shop.get(url(job)).content.decode()


def test_outside_work_is_sent_and_comes_back(shop):
    job = make_job()
    sent = {
        "do": "send",
        "form_key": "s",
        "what": "Metal spray",
        "sent_to": "Shop B",
        "sent_on": "2026-11-20",
    }
    shop.post(url(job), {**sent, "due_on": "2026-11-19"})
    assert not OutsideService.objects.exists()
    shop.post(url(job), {**sent, "form_key": "t"})
    service = OutsideService.objects.get()
    back = {
        "do": f"back:{service.pk}",
        "form_key": "w",
        "version": 1,
        "back_on": "2026-11-24",
        "result": "100 k5",
    }
    shop.post(url(job), back)
    service.refresh_from_db()
    assert service.back_on == date(2026, 11, 24)


def test_lines_of_another_job_and_acts_that_nobody_offers_are_not_found(shop):
    part = work.list_part(actor=actor_for(make_user()), job=make_job(), name="Fan")
    other = make_job()
    for act in (f"change:{part.pk}", "change:x", "sell", ""):
        assert shop.post(url(other), {"do": act, "form_key": "x", "name": "a"}).status_code == 404


def test_the_page_costs_the_same_queries_however_many_lines_there_are(shop, django_assert_max_num_queries):
    job, actor = make_job(), actor_for(make_user())
    for n in range(12):
        work.list_part(actor=actor, job=job, name=f"Part {n}")
        work.send_out(actor=actor, job=job, what=f"Work {n}", sent_to="Shop B", sent_on=date(2026, 11, 1))
    with django_assert_max_num_queries(8):
        shop.get(url(job))
