"""The board: order, groups, figures, filters, pages, price in queries."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from bearings.public import Finding
from repairs.work_orders.board import PAGE, BoardFilter, Place, board_page, figures
from repairs.work_orders.models import Job
from repairs.work_orders.services.holds import hold_job, write_hand_over
from repairs.work_orders.warning_words import alert_of
from tests.repairs.factories import actor_for, make_customer, make_job, make_motor, make_user

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return make_user("office", first_name="Ada", last_name="Office")


@pytest.fixture
def signed_in(client, office):
    client.force_login(office)
    return client


def page(client, **query) -> str:
    answer = client.get(reverse("office:board"), query)
    assert answer.status_code == 200
    return answer.content.decode()


def numbers(html: str) -> list[str]:
    return re.findall(r'class="board__no"><a href="[^"]+">([^<]+)<', html)


def copies(job: Job, count: int, **fields) -> None:
    """Write many like jobs at once: the numbers differ, the rest repeats."""
    same = {
        "motor": job.motor, "customer": job.customer, "opened_by": job.opened_by,
        "step_kind": job.step_kind, "step_title": job.step_title, "steps_total": job.steps_total,
    }  # fmt: skip
    Job.objects.bulk_create(Job(number=f"20-{n:04d}", **{**same, **fields}) for n in range(1, count + 1))


def test_a_job_stands_under_its_step_with_customer_motor_and_promise(signed_in):
    motor = make_motor(make_customer(name="Kestrel Paper"), tag="fan 2")
    job = make_job(motor, promised_on=timezone.localdate() + timedelta(days=3), today=timezone.localdate())
    html = page(signed_in)
    assert numbers(html) == [job.number]
    assert "Receive and tag" in html
    assert "Kestrel Paper · fan 2" in html
    assert 'aria-label="step 1 of 12: Receive and tag"' in html


def test_jobs_of_different_routes_meet_under_the_same_kind_of_step(office):
    long, short = make_job(), make_job()
    Job.objects.filter(pk=long.pk).update(step_kind="ship", step_position=17)
    Job.objects.filter(pk=short.pk).update(step_kind="ship", step_position=3)
    other = make_job()
    Job.objects.filter(pk=other.pk).update(step_kind="clean", step_position=9)
    rows = board_page(BoardFilter(), reader=office, today=timezone.localdate()).rows
    assert [row.step_kind for row in rows] == ["clean", "ship", "ship"]


def test_within_a_step_the_earliest_promise_comes_first_and_no_promise_last(office):
    today = timezone.localdate()
    without, later, sooner = (
        make_job(promised_on=day, today=today) for day in (None, today + timedelta(days=9), today)
    )
    rows = board_page(BoardFilter(), reader=office, today=today).rows
    assert [row.pk for row in rows] == [sooner.pk, later.pk, without.pk]


def test_a_job_promised_today_is_not_late_and_one_promised_yesterday_is_late_by_a_day(signed_in):
    today = timezone.localdate()
    due = make_job(promised_on=today, today=today)
    past = make_job()
    Job.objects.filter(pk=past.pk).update(promised_on=today - timedelta(days=1))
    html = page(signed_in)
    assert html.count('class="is-late">1\u00a0d late') == 1
    assert numbers(page(signed_in, late="1")) == [past.number]
    assert due.number in numbers(html)


def test_a_closed_job_leaves_the_board(signed_in):
    job = make_job()
    Job.objects.filter(pk=job.pk).update(state="closed", closed_at=timezone.now())
    html = page(signed_in)
    assert numbers(html) == []
    assert "No open jobs" in html


def test_the_board_says_hold_hand_over_stop_and_warning_in_words(signed_in):
    actor = actor_for(make_user())
    hold_job(actor=actor, job=make_job(), waits_for="customer", reason="order not here")
    write_hand_over(actor=actor, job=make_job(), done="rotor out")
    for severity in ("stop", "warn"):
        Job.objects.filter(pk=make_job().pk).update(
            alert_severity=severity, alert={"text": f"about {severity}"}
        )
    html = page(signed_in)
    assert "HOLD customer: order not here" in html
    assert "handoff waiting</span>" in html
    assert '<span class="flag flag--stop">STOP about stop</span>' in html
    assert '<span class="flag flag--warn">WARN about warn</span>' in html


@pytest.mark.parametrize(("units", "force"), [("us", "7,240 lbf"), ("si", "32,200 N")])
def test_a_warning_is_worded_in_the_units_of_whoever_reads_the_board(client, units, force):
    finding = Finding(
        code="down-thrust-not-carried", severity="stop", value=32_200.0, unit="N", source="statics",
        params={"case": "running"},
    )  # fmt: skip
    job = make_job()
    Job.objects.filter(pk=job.pk).update(alert_severity="stop", alert=alert_of(finding))
    client.force_login(make_user("office", units=units))
    for address in (reverse("office:board"), reverse("office:job", args=[job.number])):
        words = client.get(address).content.decode().replace("\u00a0", " ").replace("&nbsp;", " ")
        assert force in words, address


def test_what_people_typed_is_escaped(signed_in):
    motor = make_motor(make_customer(name="<b>Mill & Sons</b>"), tag='"><script>')
    make_job(motor)
    html = page(signed_in)
    assert "&lt;b&gt;Mill &amp; Sons&lt;/b&gt;" in html
    assert '"><script>' not in html.split("<main", 1)[1]


def test_the_figures_count_what_they_say_and_link_to_it(signed_in):
    today = timezone.localdate()
    held, late = make_job(), make_job()
    hold_job(actor=actor_for(make_user()), job=held, waits_for="parts", reason="nut")
    Job.objects.filter(pk=late.pk).update(promised_on=today - timedelta(days=4))
    counted = figures(today)
    assert (counted.open, counted.late, counted.on_hold, counted.hand_over) == (2, 1, 1, 0)
    assert counted.held_since is not None
    assert "?late=1" in page(signed_in)


def test_a_count_ends_above_a_thousand(signed_in):
    copies(make_job(), 1100)
    assert figures(timezone.localdate()).open == 1001
    assert ">1000+</a>" in page(signed_in)


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ({"priority": "rush"}, "rush"),
        ({"step": "ship"}, "ship"),
        ({"customer": "ESTREL"}, "kestrel"),
        ({"hold": "1"}, "held"),
        ({"hand_over": "1"}, "handed"),
        ({"mine": "1"}, "mine"),
    ],
)
def test_each_filter_lets_only_its_jobs_pass(signed_in, office, query, found):
    jobs = {name: make_job() for name in ("plain", "rush", "ship", "held", "handed")}
    jobs["kestrel"] = make_job(make_motor(make_customer(name="Kestrel Paper")))
    jobs["mine"] = make_job(by=office)
    Job.objects.filter(pk=jobs["rush"].pk).update(priority="rush")
    Job.objects.filter(pk=jobs["ship"].pk).update(step_kind="ship")
    Job.objects.filter(pk=jobs["held"].pk).update(on_hold=True)
    Job.objects.filter(pk=jobs["handed"].pk).update(hand_over_open=True)
    assert numbers(page(signed_in, **query)) == [jobs[found].number]


def test_filters_add_up_and_the_form_shows_what_is_chosen(signed_in):
    job = make_job(make_motor(make_customer(name="Kestrel Paper")), priority="rush")
    make_job(job.motor)
    html = page(signed_in, priority="rush", customer="kestrel")
    assert numbers(html) == [job.number]
    assert '<option value="rush" selected>' in html
    assert 'value="kestrel"' in html


@pytest.mark.parametrize(
    "query",
    [
        {"step": "nonsense"},
        {"priority": "x"},
        {"after": "1.2"},
        {"after": "1.99999999.5"},
        {"after": "1.20261301.5"},
        {"after": "٣.20261101.5"},
        {"customer": "\x00"},
        {"late": "maybe"},
    ],
)
def test_an_address_that_is_not_understood_shows_the_whole_board(signed_in, query):
    job = make_job()
    assert numbers(page(signed_in, **query)) == [job.number]


def test_the_pages_neither_skip_nor_repeat_a_job(signed_in):
    first = make_job()
    copies(first, 60)
    copies_with_promise = [
        Job(
            number=f"21-{n:04d}", motor=first.motor, customer=first.customer, opened_by=first.opened_by,
            step_kind=("clean", "ship", "")[n % 3], promised_on=date(2031, 1, 1 + n % 5),
        )
        for n in range(70)
    ]  # fmt: skip
    Job.objects.bulk_create(copies_with_promise)
    seen, query = [], {}
    for _round in range(9):
        answer = signed_in.get(reverse("office:board"), query)
        seen += numbers(answer.content.decode())
        if not answer.context["next_url"]:
            break
        query = {"after": answer.context["next_url"].split("after=")[1]}
    assert len(seen) == 131
    assert set(seen) == set(Job.objects.values_list("number", flat=True))


def test_a_page_goes_on_after_a_row_that_has_left_the_board(office):
    copies(make_job(), PAGE + 10)
    today = timezone.localdate()
    before = board_page(BoardFilter(), reader=office, today=today)
    Job.objects.filter(pk=before.after.pk).update(state="closed", closed_at=timezone.now())
    after = board_page(BoardFilter(after=before.after), reader=office, today=today)
    assert [row.pk for row in after.rows] == sorted(set(Job.objects.values_list("pk", flat=True)))[PAGE:]


def test_a_place_is_read_as_it_was_written():
    place = Place(7, date(2026, 11, 30), 4711)
    assert Place.from_text(place.as_text()) == place


def test_a_step_cut_by_the_page_says_so(signed_in):
    copies(make_job(), PAGE + 10)
    answer = signed_in.get(reverse("office:board"))
    assert "continues on next page" in answer.content.decode()
    assert "continued" in signed_in.get(answer.context["next_url"]).content.decode()


@pytest.mark.parametrize("jobs", [1, 120])
def test_the_board_takes_at_most_five_queries_however_many_jobs(
    signed_in, django_assert_max_num_queries, jobs
):
    held = make_job()
    hold_job(actor=actor_for(make_user()), job=held, waits_for="parts", reason="nut")
    copies(held, jobs)
    with django_assert_max_num_queries(5):
        page(signed_in)


def test_htmx_gets_the_rows_alone_and_the_caches_are_told(signed_in):
    job = make_job()
    answer = signed_in.get(reverse("office:board"), headers={"HX-Request": "true"})
    assert numbers(answer.content.decode()) == [job.number]
    assert "<html" not in answer.content.decode()
    assert "HX-Request" in answer.headers["Vary"]
    restored = signed_in.get(
        reverse("office:board"), headers={"HX-Request": "true", "HX-History-Restore-Request": "true"}
    )
    assert "<html" in restored.content.decode()


def test_power_is_shown_in_the_readers_units(client):
    plate = {"power_w": {"state": "read", "typed": "200", "unit": "hp", "si": 149139.97}}
    make_job(make_motor(nameplate=plate))
    client.force_login(make_user("office", units="us"))
    assert "200\u00a0hp" in page(client)
    client.force_login(make_user("office", units="si"))
    assert "149.1\u00a0kW" in page(client)


def test_a_plate_that_was_not_read_gives_no_figures(signed_in):
    make_job(make_motor(nameplate={"power_w": {"state": "illegible", "typed": "", "unit": "hp", "si": None}}))
    assert "\u00a0hp" not in page(signed_in)
