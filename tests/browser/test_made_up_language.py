"""Bench and office in a language a third longer than English: no text leaves its box, no page scrolls sideways."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.management.shop.building import build_shop
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.people.models import User
from repairs.work_orders.models import Job, Stage, Step, StepKind
from tests.browser.conftest import DESKTOP, TABLET
from tests.made_up_language import in_the_made_up_language
from tests.repairs.factories import actor_for

pytestmark = [pytest.mark.django_db(transaction=True)]
# What sticks out: text whose own box is narrower than it, where nothing scrolls; and a page wider than the window.
STICKING_OUT = """
() => {
  const told = [];
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (wide > 0) told.push(`the page scrolls sideways by ${wide} px`);
  const scrolls = (node) => node && node !== document.body &&
    (["auto", "scroll"].includes(getComputedStyle(node).overflowX) || scrolls(node.parentElement));
  const hidden = ".visually-hidden, .skip-link, svg, [hidden], option, script, style, title";
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let text = texts.nextNode(); text; text = texts.nextNode()) {
    let box = text.parentElement;
    if (!text.textContent.trim() || box.closest(hidden) || !box.checkVisibility() || scrolls(box)) continue;
    while (getComputedStyle(box).display.startsWith("inline")) box = box.parentElement;
    const range = document.createRange();
    range.selectNodeContents(text);
    const [words, around] = [range.getBoundingClientRect(), box.getBoundingClientRect()];
    const said = text.textContent.trim().replace(/\\s+/g, " ").slice(0, 60);
    const name = `<${box.tagName.toLowerCase()} class="${box.className}"> ${said}`;
    if (words.right > around.right + 1 || words.left < around.left - 1) told.push(`wider than its box: ${name}`);
    if (words.right > innerWidth + 1 || words.left < -1) told.push(`outside the window: ${name}`);
  }
  return told;
}
"""


def office_pages(job: Job) -> list[str]:
    names = (
        "board",
        "open_job",
        "motor_list",
        "customer_list",
        "book",
        "policy",
        "people",
        "devices",
        "backups",
        "sheets",
        "instruments",
    )
    return [
        *(reverse(f"office:{name}") for name in names),
        *(reverse(f"office:{name}", args=[job.number]) for name in ("job", "report", "seats", "job_history")),
        reverse("office:motor", args=[job.motor_id]),
        reverse("office:edit_motor", args=[job.motor_id]),
        reverse("office:thrust_sheet", args=[job.motor_id]),
        reverse("office:sheet", args=[StepKind.FINAL_TEST, "all"]),
        reverse("office:assessment", args=[job.number, job.stack_records.filter(state="signed").first().pk]),
    ]


def bench_pages(job: Job) -> list[str]:
    names = ("job", "reading", "seats", "new_seat", "photos", "parts", "compare", "limits")
    stack = [job.number, Stage.AS_BUILT]
    return [
        reverse("bench:home"),
        reverse("bench:outbox"),
        reverse("bench:scan"),
        reverse("bench:shop_rules"),
        *(reverse(f"bench:{name}", args=[job.number]) for name in names),
        reverse("bench:stack", args=stack),
        reverse("bench:stack_add", args=stack),
        reverse("bench:stack_new_item", args=[*stack, "spacer"]),
    ]


def pages_of_tests(step: Step) -> list[str]:
    """Return a shop test of a step, one that is kept, and its rules."""
    number = step.job.number
    entry = TestEntry(test="insulation", values={"winding_c": 25.0, "r_1min": 500.0, "r_10min": 1500.0})
    technician = actor_for(User.objects.get(username="tech1"))
    kept = record_test(actor=technician, job=step.job, step=step, entry=entry)
    return [
        reverse("bench:job_rules", args=[number]),
        reverse("bench:shop_test", args=[number, step.pk, "insulation"]),
        reverse("bench:reading", args=[number]),
        reverse("bench:test_record", args=[number, kept.pk]),
    ]


def test_no_text_leaves_its_box_in_a_longer_language(window):
    build_shop()
    job = Job.objects.get(number__endswith="-0008")
    lead, admin = User.objects.get(username="lead"), User.objects.get(username="admin")
    open_step = Step.objects.get(kind=StepKind.FINAL_TEST, job__number__endswith="-0001")
    bench, office = [*bench_pages(job), *pages_of_tests(open_step)], office_pages(job)
    told = {}
    with in_the_made_up_language():
        for user, size, pages in (
            (lead, TABLET, bench),
            (lead, DESKTOP, bench),
            (admin, DESKTOP, office),
            (admin, TABLET, office),
        ):
            reader = window(user, size=size)
            for address in pages:
                page = reader.open(address)
                if found := page.evaluate(STICKING_OUT):
                    told[f"{address} at {size['viewport']['width']}"] = found
    words = "\n".join(f"{place}: {one}" for place, found in told.items() for one in found)
    assert not words, words
