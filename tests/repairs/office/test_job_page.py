"""A job's page: what it shows, to whom, at what price, and what is done on it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from repairs.ledger.models import Event
from repairs.measurements.observations.services import ObservationEntry, record_observation
from repairs.measurements.services import record_reading
from repairs.office.short_words import date_words
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.judging import limits_of
from repairs.work_orders.models import Hold, Job, ShopPolicy, StackRecord, Step, StepKind
from repairs.work_orders.services.holds import hold_job, write_hand_over
from repairs.work_orders.services.opening import change_job
from repairs.work_orders.services.route import sign_off
from tests.repairs.documents.scenes import job_with_found_stack
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user

pytestmark = pytest.mark.django_db


def page_of(job: Job) -> str:
    return reverse("office:job", args=[job.number])


@pytest.fixture
def lead(client):
    user = make_user("lead", first_name="Ada", last_name="Lead")
    client.force_login(user)
    return user


def test_the_page_says_of_a_stack_with_an_unknown_face_that_it_is_not_proven_and_what_to_enter(client, lead):
    # A version of its own: drawings are shared by all pages of a process.
    record = make_stack_record(faces="d?u", version=31)
    html = client.get(page_of(record.job)).content.decode()
    assert "NOT PROVEN. Open: Thrust directions" in html
    assert "Bearing 2: Which way does the wide face point, up or down?" in html


def test_the_page_shows_stack_photos_readings_papers_and_history(client, lead):
    job = job_with_found_stack()
    record_reading(
        actor=actor_for(lead), job=job, quantity="insulation resistance", value=Decimal("3.20"), unit="MΩ",
        limit_low=Decimal("5"), limit_high=None, limit_source="IEEE 43", moment="as_found",
    )  # fmt: skip
    write_hand_over(actor=actor_for(make_user()), job=job, done="Rotor on stand 2.", danger="heater is hot")
    page = client.get(page_of(job)).content.decode()
    for words in (
        "Well 7", "PO 88-4410", "It growls when the pump starts.", "tandem", "insulation resistance",
        "FAIL", "IEEE 43", "Rotor on stand 2.", "heater is hot", "signed the stack as found",
    ):  # fmt: skip
        assert words in page
    assert page.count('class="stack-drawing') == 1
    assert page.count('class="photo__frame"') == 2
    for label in ("1", "2", "3"):
        assert f'<text y="4.5">{label}</text>' in page
    assert reverse("office:document", args=[job.number, "traveler"]) in page


def test_the_page_costs_at_most_eleven_queries_however_much_there_is_on_it(client, lead):
    job = job_with_found_stack(photos=5)
    make_stack_record(job, "specified")
    for step in list(job.steps.all())[:1]:
        sign_off(actor=actor_for(lead), step=step)
    for n in range(12):
        record_reading(
            actor=actor_for(lead), job=job, quantity=f"reading {n}", value=Decimal(n), unit="mm",
            limit_low=None, limit_high=None, limit_source="", moment="as_found",
        )  # fmt: skip
        write_hand_over(actor=actor_for(lead), job=job, done=f"note {n}")
    client.get(page_of(job))
    with CaptureQueriesContext(connection) as queries:
        assert client.get(page_of(job)).status_code == 200
    assert len(queries) <= 11, [q["sql"][:90] for q in queries]


def test_damage_that_was_found_costs_one_query_more_however_much_there_is(client, lead):
    job = job_with_found_stack(photos=1)
    make_stack_record(job, "specified")
    for part in ("b1", "b2", "b3"):
        entry = ObservationEntry(
            part=part, mode="5.2.2", element="inner", confidence="likely", cause="dirt",
            cause_evidence="black grease", cause_confidence="possible", mounted_by_us="unknown",
        )  # fmt: skip
        record_observation(actor=actor_for(lead), job=job, entry=entry)
    client.get(page_of(job))
    with CaptureQueriesContext(connection) as queries:
        page = client.get(page_of(job)).content.decode()
    # The eleven of a job without any, and the observations themselves.
    assert len(queries) <= 12, [q["sql"][:90] for q in queries]
    assert page.count('<article class="observation">') == 3
    assert "black grease" in page


def test_a_drawing_is_made_anew_when_the_record_or_the_motor_changes(client, lead):
    job = make_job()
    record = make_stack_record(job, "as_found", "ddu")
    first = client.get(page_of(job)).content.decode()
    assert "tandem" in first
    StackRecord.objects.filter(pk=record.pk).update(
        items=make_stack_record(make_job(), "as_found", "du").items, version=record.version + 1
    )
    second = client.get(page_of(job)).content.decode()
    assert "tandem" not in second
    assert "Back to back" in second


def test_an_open_record_is_drawn_by_the_shops_limits_of_now():
    job = make_stack_record().job
    assert limits_of(job.stack_records.for_job_page().get()) == {}
    ShopPolicy.objects.update_or_create(pk=1, defaults={"limits": {"least_ratio": 2.0}})
    assert limits_of(job.stack_records.for_job_page().get()) == {"least_ratio": 2.0}


@pytest.mark.parametrize("beside", [1, 25])
def test_a_signature_at_the_desk_stands_on_the_newest_event_that_counts(client, beside):
    job, office = make_job(), make_user("office")
    client.force_login(office)
    opened = Event.objects.get(job_number=job.number).pk
    for _n in range(beside):
        Event.objects.create(actor=office, verb="work.started", job_number=job.number)
    assert client.get(page_of(job)).context["seen"] == opened


def test_the_specified_stack_is_kept_from_the_one_who_records_as_built(client):
    builder = make_user("technician")
    job = make_job()
    make_stack_record(job, "specified", "ddu")
    make_stack_record(job, "as_built", "du", started_by=builder)
    client.force_login(builder)
    page = client.get(page_of(job)).content.decode()
    assert "Hidden while the stack as built is being recorded" in page
    assert page.count('class="stack-drawing') == 1
    client.force_login(make_user("lead"))
    assert client.get(page_of(job)).content.decode().count('class="stack-drawing') == 2


@pytest.mark.parametrize(
    ("role", "seen", "unseen"),
    [
        ("office", {"job_hold", "job_end", "edit_job"}, {"job_route"}),
        ("technician", {"job_hold"}, {"job_route", "job_end", "edit_job"}),
        ("engineer", {"job_hold"}, {"job_route", "job_end", "edit_job"}),
        ("lead", {"job_hold", "job_route", "job_end", "edit_job"}, set()),
    ],
)
def test_each_role_sees_what_it_may_do_and_the_server_keeps_to_it(client, role, seen, unseen):
    job = make_job()
    client.force_login(make_user(role))
    page = client.get(page_of(job)).content.decode()
    for name in seen | unseen:
        address = reverse(f"office:{name}", args=[job.number])
        assert (address in page) == (name in seen), name
        if name in unseen:
            assert client.post(address, {"form_key": "k"}).status_code == 403


def post(client, job: Job, name: str, **fields):
    return client.post(reverse(f"office:{name}", args=[job.number]), {"form_key": uuid4().hex, **fields})


def test_a_job_is_held_once_and_released(client, lead):
    job = make_job()
    form = {"form_key": "one", "do": "hold", "waits_for": "parts", "reason": "bearing ordered"}
    for _time in range(2):
        assert client.post(reverse("office:job_hold", args=[job.number]), form).status_code == 302
    assert Hold.objects.count() == 1
    assert "bearing ordered" in client.get(page_of(job)).content.decode()
    assert post(client, job, "job_hold", do="release").status_code == 302
    job.refresh_from_db()
    assert not job.on_hold


@pytest.mark.parametrize(
    ("name", "fields", "said"),
    [
        (
            "job_hold",
            {"do": "hold", "waits_for": "nobody", "reason": "typed"},
            "Choose who the job is waiting for",
        ),
        ("job_hold", {"do": "hold", "waits_for": "parts", "reason": ""}, "Enter why the job is on hold"),
        ("job_hold", {"do": "hold", "waits_for": "parts", "reason": "x" * 201}, "at most 200"),
        ("job_hold", {"do": "release"}, "is not on hold"),
        ("job_hold", {"do": "dance"}, "button does not work here"),
        ("job_route", {"do": "skip", "step": "0", "reason": "typed"}, "Choose a step of this job"),
        ("job_route", {"do": "add", "kind": "magic", "reason": "typed"}, "Choose the step type"),
        ("job_end", {"do": "close"}, "Steps are still open"),
        ("job_end", {"do": "cancel", "reason": " "}, "Enter why the job is canceled"),
    ],
)
def test_a_refusal_is_said_on_the_page_and_what_was_typed_stays(client, lead, name, fields, said):
    job = make_job()
    answer = post(client, job, name, **fields)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page
    if fields.get("reason", "").strip() == "typed":
        assert 'value="typed"' in page
    assert Event.objects.filter(job_number=job.number).count() == 1


def test_a_post_without_a_key_does_nothing(client, lead):
    job = make_job()
    form = {"do": "hold", "waits_for": "parts", "reason": "typed"}
    answer = client.post(reverse("office:job_hold", args=[job.number]), form)
    assert answer.status_code == 422
    assert not Hold.objects.exists()


def test_steps_are_left_out_repeated_and_put_in(client, lead):
    job = make_job()
    first, second = job.steps.all()[:2]
    assert post(client, job, "job_route", do="skip", step=first.pk, reason="no tag needed").status_code == 302
    assert (
        post(client, job, "job_route", do="repeat", step=second.pk, reason="photo was dark").status_code
        == 302
    )
    post(client, job, "job_route", do="add", step=second.pk, kind="other", reason="Wash the mount")
    titles = list(job.steps.values_list("title", flat=True))
    assert titles[1:4] == [
        "Strip down, record as found",
        "Wash the mount",
        "Strip down, record as found (redo)",
    ]
    page = client.get(page_of(job)).content.decode()
    assert "no tag needed" in page


def test_a_job_is_cancelled_with_a_reason_and_offers_nothing_more(client, lead):
    job = make_job()
    assert post(client, job, "job_end", do="cancel", reason="customer bought a new one").status_code == 302
    page = client.get(page_of(job)).content.decode()
    assert "customer bought a new one" in page
    assert reverse("office:job_route", args=[job.number]) not in page


def test_paperwork_is_changed_and_a_stale_change_shows_both_values(client, lead):
    job = make_job(purchase_order="PO 1")
    url = reverse("office:edit_job", args=[job.number])
    form = {"complaint": "It growls.", "purchase_order": "PO 2", "priority": "rush", "version": job.version}
    assert client.post(url, form).status_code == 302
    answer = client.post(url, {**form, "purchase_order": "PO 3"})
    assert answer.status_code == 409
    assert ("PO no.", "PO 2") in answer.context["differs"]
    assert 'value="PO 3"' in answer.content.decode()
    assert client.post(url, {**form, "promised_on": "never", "version": 2}).status_code == 422


def test_a_held_late_or_unknown_job(client, lead):
    assert client.get("/office/jobs/99-9999/").status_code == 404
    assert client.get("/office/jobs/<b>/").status_code == 404
    job = make_job(make_job().motor, promised_on=None)
    hold_job(actor=actor_for(lead), job=job, waits_for="customer", reason="<i>approval</i>")
    page = client.get(page_of(job)).content.decode()
    assert "&lt;i&gt;approval" in page
    assert "<i>approval" not in page


def test_somebody_not_signed_in_is_led_to_the_sign_in_page(client):
    job = make_job()
    assert client.get(page_of(job)).url.startswith(reverse("login"))


def test_each_stage_leads_to_its_figures(client, lead):
    record = make_stack_record()
    client.force_login(lead)
    page = client.get(reverse("office:job", args=[record.job.number]))
    assert reverse("office:assessment", args=[record.job.number, record.pk]) in page.content.decode()


def test_the_office_signs_the_approval_on_the_jobs_page_and_the_bench_does_not(client):
    job, office = make_job(), make_user("office")
    approval = job.steps.get(kind=StepKind.APPROVAL)
    job.steps.filter(position__lt=approval.position).update(state=Step.State.DONE)
    with pytest.raises(WorkOrderError, match="they talk to the customer"):
        sign_off(actor=actor_for(make_user()), step=approval)
    page, sign = reverse("office:job", args=[job.number]), reverse("office:job_sign", args=[job.number])
    client.force_login(make_user())
    assert "Who approved what" not in client.get(page).content.decode()
    client.force_login(office)
    shown = client.get(page)
    assert "Who approved what" in shown.content.decode()
    body = {"do": "sign", "step": str(approval.pk), "reason": "the owner, by telephone", "form_key": "a"}
    body |= {"seen": shown.context["seen"]}
    assert client.post(sign, {**body, "step": str(job.steps.last().pk), "form_key": "b"}).status_code == 422
    assert client.post(sign, {**body, "reason": " ", "form_key": "c"}).status_code == 422
    for _again in range(2):
        assert client.post(sign, body).status_code == 302
    assert approval.sign_offs.get().note == "the owner, by telephone"


def test_a_changed_promise_is_told_from_what_to_what_and_the_history_goes_on(client):
    office = make_user("office")
    job = make_job(by=office, promised_on=date(2026, 12, 5), priority="rush")
    change_job(actor=actor_for(office), job=job, version=job.version, promised_on=date(2026, 12, 12))
    client.force_login(office)
    page = client.get(reverse("office:job", args=[job.number])).content.decode()
    days = [date_words(date(2026, 12, day), timezone.localdate()) for day in (5, 12)]
    assert f"changed job details: promised {days[0]} → {days[1]}" in page
    assert "RUSH" in page
    assert job.motor.serial in page
    assert "Older entries" not in page
    for number in range(25):
        change_job(
            actor=actor_for(office), job=job, version=job.version + 1 + number, purchase_order=f"PO {number}"
        )
    page = client.get(reverse("office:job", args=[job.number])).content.decode()
    assert "Older entries" in page
    assert "opened the job" not in page
    history = client.get(reverse("office:job_history", args=[job.number])).content.decode()
    assert "opened the job" in history
    assert "PO PO 3 → PO 4" in history
