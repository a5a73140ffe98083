"""The invented shop is built by the shop's own services, and every page of it opens."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from repairs.management.commands.demo import Command
from repairs.management.shop.building import build_shop
from repairs.people.models import User
from repairs.work_orders.models import Job, StackRecord

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(db):
    build_shop()


def _addresses() -> list[str]:
    pages = [
        reverse(f"office:{name}")
        for name in (
            "board",
            "search",
            "open_job",
            "motor_list",
            "customer_list",
            "book",
            "match",
            "policy",
            "people",
            "me",
        )
    ]
    pages.append(reverse("bench:home"))
    for job in Job.objects.select_related("motor"):
        pages += [
            reverse("office:job", args=[job.number]),
            reverse("office:report", args=[job.number]),
            reverse("office:motor", args=[job.motor_id]),
            reverse("office:thrust_sheet", args=[job.motor_id]),
            reverse("office:edit_thrust_sheet", args=[job.motor_id]),
            reverse("office:customer", args=[job.customer_id]),
            *(
                reverse(f"bench:{name}", args=[job.number])
                for name in ("job", "photos", "compare", "reading")
            ),
        ]
        pages += [
            reverse("bench:stack", args=[job.number, stage])
            for stage in ("as_found", "specified", "as_built")
        ]
        pages += [
            reverse("office:assessment", args=[job.number, record.pk]) for record in job.stack_records.all()
        ]
    return pages


@pytest.mark.parametrize("name", ["admin", "lead"])
def test_every_page_of_the_shop_opens(shop, client, name):
    client.force_login(User.objects.get(username=name))
    wrong = {}
    for address in _addresses():
        status = client.get(address).status_code
        if status != 200 and not (status == 403 and name == "lead" and address == reverse("office:people")):
            wrong[address] = status
    assert wrong == {}


def test_the_shop_shows_the_costliest_mistake(shop):
    job = Job.objects.get(number__endswith="-0001")
    built = job.stack_records.get(stage="as_built")
    assert [row["code"] for row in built.differences] == ["turned-over"]
    assert job.alert_severity == "stop"
    assert StackRecord.objects.filter(state="signed").count() >= 5


@pytest.mark.parametrize("kind", ["job_tag", "traveler", "stack_card"])
def test_every_paper_of_the_first_job_is_a_pdf(shop, client, kind, django_capture_on_commit_callbacks):
    client.force_login(User.objects.get(username="office"))
    number = Job.objects.order_by("id").values_list("number", flat=True).first()
    for paper in ("letter", "a4"):
        address = reverse("office:document", args=[number, kind])
        with django_capture_on_commit_callbacks(execute=True):
            asked = client.post(address, {"paper": paper})
        answer = client.get(asked.url, follow=True)
        assert answer.status_code == 200
        content = b"".join(answer.streaming_content) if answer.streaming else answer.content
        assert content.startswith(b"%PDF-"), f"{kind} on {paper}"


def test_a_second_start_keeps_what_is_there(shop):
    people = User.objects.count()
    Command().fill()
    assert User.objects.count() == people


def test_one_job_of_the_shop_has_candidates_that_fit_are_refused_for_speed_and_height_and_are_not_rated(
    shop, client
):
    client.force_login(User.objects.get(username="engineer"))
    record = StackRecord.objects.get(job__number__endswith="-0002", stage="as_found")
    address = reverse("office:match_record", args=[record.job.number, record.pk])
    text = client.get(address, follow=True).content.decode()
    assert re.search(r"7320 H.*?OK.*?fits", text, re.DOTALL)
    assert re.search(r"BELOW full-load speed", text)
    assert re.search(r"7320 L.*?too high", text, re.DOTALL)
    assert re.search(r"7320 P.*?Look up or measure for the bearing: limiting speed", text, re.DOTALL)
    assert "older edition" in text
