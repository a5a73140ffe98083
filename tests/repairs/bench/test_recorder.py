"""The recorder's page: one exchange for each touch, blind where it must be, nothing lost between two people."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from repairs.ledger.models import Event
from repairs.people.permissions import Role
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.services.pictures import add_photos
from tests.repairs.factories import (
    actor_for,
    make_job,
    make_stack_record,
    make_user,
    picture_file,
    triple_items,
)
from tests.repairs.signed_stacks import approve, with_photo, with_reasons

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def signed_in(user: Any = None) -> Client:
    client = Client()
    client.force_login(user or make_user())
    return client


def page(job: Job, stage: str = Stage.AS_FOUND) -> str:
    return reverse("bench:stack", args=[job.number, stage])


def act(client: Client, record: StackRecord, do: str, *, htmx: bool = True, **fields: Any) -> Any:
    url = reverse("bench:stack_act", args=[record.job.number, record.stage])
    body = {"version": record.version, "form_key": "k", "do": do, **fields}
    return client.post(url, body, headers=HTMX if htmx else {})


def faces(record: StackRecord) -> str:
    now = StackRecord.objects.get(pk=record.pk)
    return "".join(entry["data"].get("wide_face", "?")[0] for entry in now.items[1:-1])


def test_one_answer_brings_drawing_list_words_findings_and_bar_up_to_date():
    record = make_stack_record()
    answer = act(signed_in(), record, "turn:b1")
    html = answer.content.decode()
    assert answer.status_code == 200
    assert faces(record) == "udu"
    assert "1 down, 2 up." in html
    assert html.count("<svg xmlns") == 1
    assert 'id="recorder-bar"' in html
    assert 'hx-swap-oob="true"' in html
    assert 'name="version" value="2"' in html


def test_a_stack_that_carries_nothing_down_shows_the_stop_at_once():
    record = make_stack_record(faces="uuu")
    html = signed_in().get(page(record.job)).content.decode()
    assert "finding--stop" in html


def test_without_a_script_the_same_button_turns_the_bearing_and_returns_to_the_page():
    record, client = make_stack_record(), signed_in()
    answer = act(client, record, "turn:b2", htmx=False)
    assert answer.status_code == 302
    assert answer.url == f"{page(record.job)}?item=b2"
    assert "1 down, 2 up." in client.get(answer.url).content.decode()


def test_turning_a_bearing_costs_one_row_and_one_event_and_at_most_eight_queries():
    client = signed_in()
    for stage, role in ((Stage.AS_FOUND, None), (Stage.SPECIFIED, make_user("lead"))):
        user_client = signed_in(role) if role else client
        record = make_stack_record(make_job(), stage)
        act(user_client, record, "turn:b1")
        with CaptureQueriesContext(connection) as seen:
            record.refresh_from_db()
            begun = len(seen.captured_queries)
            act(user_client, record, "turn:b1", form_key="again")
        asked = [query["sql"] for query in seen.captured_queries[begun:]]
        asked = [sql for sql in asked if not re.match(r"(RELEASE )?SAVEPOINT|BEGIN|COMMIT", sql)]
        # One of the eight locks the job, so that nobody ends it between the look and the write; one asks for the
        # job's measured seats, of which the checker takes its fits.
        assert len(asked) <= 8, asked
        assert sum(sql.startswith(("UPDATE", "INSERT", "DELETE")) for sql in asked) == 2


def test_the_number_of_queries_does_not_grow_with_the_list():
    client, counts = signed_in(), []
    for many in (1, 6):
        record = make_stack_record(items=[*triple_items("d" * many)])
        with CaptureQueriesContext(connection) as seen:
            client.get(page(record.job))
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_a_touch_that_arrives_twice_turns_the_bearing_once():
    record, client = make_stack_record(), signed_in()
    for _again in range(2):
        assert act(client, record, "turn:b2", form_key="same").status_code == 200
    assert faces(record) == "duu"
    assert Event.objects.filter(verb="stack.turned").count() == 1


def test_a_stale_touch_shows_who_did_what_and_offers_ones_own_act_again():
    record = make_stack_record()
    other = make_user(first_name="Bo", last_name="Reyes")
    act(signed_in(other), record, "turn:b2")
    answer = act(signed_in(), record, "remove:b3", form_key="mine", note="half typed")
    html = answer.content.decode()
    assert answer.status_code == 409
    assert f"<strong>{other}</strong> flipped bearing 2 (wide face up)" in html
    assert "Your change: remove bearing 3." in html
    assert 'value="remove:b3"' in html
    assert "half typed" in html
    assert faces(record) == "duu"


def test_a_typed_note_survives_every_other_touch():
    record = make_stack_record()
    html = act(signed_in(), record, "turn:b1", note="cage cracked at").content.decode()
    assert "cage cracked at" in html
    record.refresh_from_db()
    assert record.note == ""


def test_a_note_typed_and_not_kept_is_signed_with_the_record():
    user = make_user()
    record = with_photo(make_stack_record(make_job(), started_by=user))
    html = act(signed_in(user), record, "sign", note="Groove of the snap ring chipped").content.decode()
    signed = StackRecord.objects.get(pk=record.pk)
    assert signed.is_frozen
    assert signed.note == "Groove of the snap ring chipped"
    assert "Groove of the snap ring chipped" in html
    assert Event.objects.get(verb="stack.signed").after["note"] == signed.note


def test_a_signature_brings_the_stages_up_to_date_and_leads_to_the_job():
    user = make_user()
    record = with_photo(make_stack_record(make_job(), started_by=user))
    html = act(signed_in(user), record, "sign").content.decode()
    stages = html.partition('id="stages"')[2].partition("</nav>")[0]
    assert "hx-swap-oob" in stages
    assert "being recorded" not in stages
    assert (
        f'<a class="button button--quiet" href="{page(record.job)}file/">' in html
    )  # as high as a thumb needs
    bar = html.partition('id="recorder-bar"')[2]
    assert f'href="{reverse("bench:job", args=[record.job.number])}"' in bar


@pytest.mark.parametrize("role", [role for role in Role.values if role != Role.OFFICE])
def test_who_records_as_found_also_moves_and_removes(role):
    record = make_stack_record()
    assert act(signed_in(make_user(role)), record, "down:b1").status_code == 200
    assert [entry["uid"] for entry in StackRecord.objects.get(pk=record.pk).items][1] == "b2"


def test_the_office_may_look_and_not_touch():
    record, client = make_stack_record(), signed_in(make_user("office"))
    html = client.get(page(record.job)).content.decode()
    assert 'name="do"' not in html
    assert act(client, record, "turn:b1").status_code == 403
    assert faces(record) == "ddu"


def test_a_technician_may_not_change_a_specified_stack_nor_accept_its_findings():
    record = make_stack_record(make_job(), Stage.SPECIFIED)
    client = signed_in()
    for do in ("turn:b1", "approve", "accept:speed-margin:1"):
        assert act(client, record, do).status_code == 403


def test_an_engineer_specifies_and_only_a_lead_approves():
    record = make_stack_record(make_job(), Stage.SPECIFIED)
    answer = act(signed_in(make_user("engineer")), record, "approve")
    assert answer.status_code == 422
    assert "Only a lead approves" in answer.content.decode()
    lead = make_user("lead")
    with_reasons(actor_for(lead), record)
    assert act(signed_in(lead), record, "approve").status_code == 200
    assert StackRecord.objects.get(pk=record.pk).is_frozen


def test_a_lead_accepts_a_finding_with_a_reason_that_then_stands_under_it():
    items = triple_items("ddu")
    for entry in items[1:4]:
        entry["data"]["limiting_speed_rpm"] = 2000
    record, client = make_stack_record(make_job(), Stage.SPECIFIED, items=items), signed_in(make_user("lead"))
    refused = act(client, record, "accept:speed-margin:1")
    assert refused.status_code == 422
    taken = act(client, record, "accept:speed-margin:1", **{"reason-speed-margin:1": "watched in the run"})
    assert "watched in the run" in taken.content.decode()
    assert StackRecord.objects.get(pk=record.pk).accepted_findings.get().reason == "watched in the run"


def test_no_button_accepts_a_thrust_that_nothing_carries():
    record = make_stack_record(make_job(), Stage.SPECIFIED, "uuu")
    html = signed_in(make_user("lead")).get(page(record.job, Stage.SPECIFIED)).content.decode()
    assert "finding--stop" in html
    assert "accept:down-thrust-not-carried" not in html


def test_a_face_not_known_is_drawn_as_a_question_and_not_proven():
    html = signed_in().get(page(make_stack_record(faces="d?u").job)).content.decode()
    assert "NOT PROVEN. Open: Thrust directions" in html
    assert "Bearing 2: Which way does the wide face point, up or down?" in html
    assert "The face of bearing 2 is not known." in html
    assert ">?</text>" in html
    assert "1 down, 1 up, 1 without direction." in html


def told_apart(order: str) -> list[dict[str, Any]]:
    items = triple_items(order)
    for entry in items[1:-1]:
        entry["data"]["designation"] = "SECRET-7320"
    return items


def specified_and_draft(by: Any) -> tuple[Job, StackRecord]:
    """A job whose specified stack can be told from every other one, and a blank record as built."""
    job, lead = make_job(), actor_for(make_user("lead"))
    record = make_stack_record(job, Stage.SPECIFIED, items=told_apart("ddu"))
    approve(lead, record)
    return job, make_stack_record(job, Stage.AS_BUILT, items=[], started_by=by)


def test_the_specified_order_is_nowhere_while_the_stack_as_built_is_recorded():
    user = make_user()
    job, _draft = specified_and_draft(user)
    client = signed_in(user)
    addresses = [
        page(job, Stage.AS_BUILT),
        page(job, Stage.SPECIFIED),
        reverse("bench:compare", args=[job.number]),
        reverse("bench:job", args=[job.number]),
        reverse("bench:photos", args=[job.number]),
        reverse("bench:stack_file", args=[job.number, Stage.SPECIFIED]),
        reverse("bench:stack_file", args=[job.number, Stage.SPECIFIED]) + "?download=1",
        reverse("bench:stack_file", args=[job.number, Stage.AS_BUILT]) + "?download=1",
    ]
    for address in addresses:
        assert "SECRET-7320" not in client.get(address).content.decode(), address
    assert "is hidden" in client.get(page(job, Stage.SPECIFIED)).content.decode()


def test_a_lead_who_records_the_stack_records_it_blind_too():
    lead = make_user("lead")
    job, draft = specified_and_draft(lead)
    assert "SECRET-7320" not in signed_in(lead).get(page(job, Stage.SPECIFIED)).content.decode()
    assert "SECRET-7320" in signed_in(make_user("lead")).get(page(job, Stage.SPECIFIED)).content.decode()
    assert draft.items == []


def test_the_start_of_as_built_offers_no_copy_and_begins_once():
    job, client = make_job(), signed_in()
    make_stack_record(job)
    assert "Start from as found" not in client.get(page(job, Stage.AS_BUILT)).content.decode()
    url = reverse("bench:stack_start", args=[job.number, Stage.AS_BUILT])
    for _again in range(2):
        client.post(url, {"seen": "0", "copy": "found"})
    assert not job.stack_records.filter(stage=Stage.AS_BUILT).exists()
    for _again in range(2):
        client.post(url, {"seen": "0", "copy": ""})
    assert job.stack_records.filter(stage=Stage.AS_BUILT).count() == 1


def test_as_built_with_a_bearing_turned_over_reads_stop_in_words_that_name_both_faces():
    user = make_user()
    job, draft = specified_and_draft(user)
    draft.items, draft.top_identified = told_apart("duu"), True
    draft.save()
    add_photos(actor=actor_for(user), job=job, files=[picture_file()], stack_record=draft)
    html = act(signed_in(user), draft, "sign").content.decode()
    assert "Bearing 2 is upside down. Specified: wide face down. As built: wide face up." in html
    assert "finding--stop" in html
    assert "Another person must record it again." in html
    assert "Record again" in signed_in().get(page(job, Stage.AS_BUILT)).content.decode()


def test_the_stack_file_goes_out_and_comes_back_as_the_same_items():
    record, client = make_stack_record(), signed_in()
    url = reverse("bench:stack_file", args=[record.job.number, record.stage])
    out = client.get(url + "?download=1")
    act(client, record, "remove:b2")
    file = SimpleUploadedFile("stack.json", out.content, content_type="application/json")
    answer = client.post(url, {"version": 2, "form_key": "f", "file": file})
    assert answer.status_code == 302
    record.refresh_from_db()
    assert [entry["data"] for entry in record.items] == [entry["data"] for entry in triple_items("ddu")]


def test_a_wrong_stack_file_is_refused_line_by_line_and_takes_nothing():
    record, client = make_stack_record(), signed_in()
    wrong = b'{"stack_file": 1, "motor": {"rated_speed_rpm": -1}, "items": [{"kind": "bearin"}]}'
    url = reverse("bench:stack_file", args=[record.job.number, record.stage])
    answer = client.post(url, {"version": 1, "file": SimpleUploadedFile("x.json", wrong)})
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "motor.rated_speed_rpm" in html
    assert "items[0].kind" in html
    assert StackRecord.objects.get(pk=record.pk).version == 1
