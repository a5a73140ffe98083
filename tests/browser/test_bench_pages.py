"""Every page of the tablet, looked at by the rules of accessibility, by day and by night."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.work_orders.models import Stage
from repairs.work_orders.services.pictures import add_photos, place_mark
from tests.browser.conftest import TABLET
from tests.repairs.factories import (
    actor_for,
    make_job,
    make_rating,
    make_stack_record,
    make_user,
    picture_file,
)
from tests.repairs.signed_stacks import approve

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.data]


def test_words_below_drawings_of_unlike_height_begin_on_one_line(window):
    user, lead = make_user(), make_user("lead")
    job = make_job()
    make_stack_record(job, faces="ddu", started_by=user)
    approve(actor_for(lead), make_stack_record(job, Stage.SPECIFIED))
    page = window(user, size=TABLET).open(reverse("bench:compare", args=[job.number]))
    tops = "[...document.querySelectorAll('.arranged')].map((one) => Math.round(one.getBoundingClientRect().top))"
    page.evaluate("document.querySelectorAll('.drawing-frame')[1].style.paddingBottom = '40px'")
    found = page.evaluate(tops)
    assert len(found) == 2
    assert len(set(found)) == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_of_the_bench_breaks_a_rule_or_complains(window, scheme):
    user, lead = make_user(), make_user("lead")
    job = make_job()
    make_rating(designation="7320 X")
    found = make_stack_record(job, faces="d?u", started_by=user)
    specified = make_stack_record(job, Stage.SPECIFIED)
    approve(actor_for(lead), specified)
    place = add_photos(actor=actor_for(user), job=job, files=[picture_file()], stack_record=found)[0]
    place_mark(actor=actor_for(user), job_photo=place, x=0.5, y=0.5, item_uid="b1")
    number, stage = job.number, Stage.AS_FOUND.value
    pages = [
        reverse("bench:home"),
        reverse("bench:outbox"),
        reverse("bench:not_kept"),
        reverse("bench:job", args=[number]),
        reverse("bench:reading", args=[number]),
        reverse("bench:photos", args=[number]),
        reverse("bench:photo", args=[number, place.pk]),
        reverse("bench:compare", args=[number]),
        reverse("bench:stack", args=[number, stage]) + "?item=b1",
        reverse("bench:stack", args=[number, stage]) + "?unchecked=1",
        reverse("bench:stack", args=[number, Stage.SPECIFIED]),
        reverse("bench:stack", args=[number, Stage.AS_BUILT]),
        reverse("bench:stack_add", args=[number, stage]) + "?q=73",
        reverse("bench:stack_item", args=[number, stage, "b1"]),
        reverse("bench:stack_new_item", args=[number, stage, "spacer"]),
        reverse("bench:stack_guide", args=[number, stage]),
        reverse("bench:stack_file", args=[number, stage]),
    ]
    reader = window(user, size=TABLET, color_scheme=scheme)
    broken = {}
    for address in pages:
        page = reader.open(address)
        if found_here := reader.violations():
            broken[address] = found_here
        width = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if width > 0:
            broken[f"{address} wider than the tablet"] = width
    assert broken == {}
    assert (reader.problems, reader.foreign) == ([], [])
