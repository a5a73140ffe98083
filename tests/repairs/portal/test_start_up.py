"""The commissioning sheet behind the private link: entered once, never changed, only so often, told to the shop."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from unittest.mock import patch

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from repairs.documents import start_up_records
from repairs.documents.links import make_link, revoke_link
from repairs.documents.models import PrivateLink, StartUpRecord
from repairs.documents.services import issue_document
from repairs.ledger.models import Event
from repairs.work_orders.models import Job
from tests.repairs.documents.reading import stored
from tests.repairs.documents.test_reports import finished
from tests.repairs.factories import actor_for, make_job, make_user

pytestmark = pytest.mark.django_db
ENTRIES = {"name": "R. Haas", "form_key": "k1", "ir": "850", "rotation": "ccw", "oil_top_running": "at"}


def link_to(job: Job) -> tuple[PrivateLink, str]:
    return make_link(actor=actor_for(make_user("office")), job=job, days=90, now=timezone.now())


def url(token: str, name: str = "start_up") -> str:
    return reverse(f"portal:{name}", args=[token])


def sent(client: Client, token: str, **entries: Any) -> Any:
    return client.post(url(token), {**ENTRIES, "done_on": timezone.localdate().isoformat(), **entries})


@pytest.fixture
def job() -> Job:
    return finished()


@pytest.fixture
def token(job) -> str:
    return link_to(job)[1]


def test_what_is_entered_is_kept_and_shown_to_customer_and_shop_as_entered_by_the_customer(
    client, job, token
):
    answer = sent(client, token, note="pump ran 20 minutes")
    assert (answer.status_code, answer.url) == (302, url(token))
    record = StartUpRecord.objects.get()
    assert (record.name, record.job, record.note) == ("R. Haas", job, "pump ran 20 minutes")
    assert record.entries["ir"] == {"typed": "850", "unit": "MΩ", "value": 850.0}
    assert record.entries["rotation"] == {"choice": "ccw"}
    page = client.get(url(token)).text.replace("\xa0", " ")
    assert all(words in page for words in ("SENT", "R. Haas", "850 MΩ", "pump ran 20 minutes"))
    event = Event.objects.get(verb="start_up.entered")
    assert (event.actor_id, event.job_number) == (None, job.number)
    client.force_login(make_user("technician"))
    shop = client.get(reverse("office:job", args=[job.number])).text.replace("\xa0", " ")
    assert all(words in shop for words in ("ENTERED BY CUSTOMER", "Not verified by the shop", "850 MΩ"))


def test_a_job_without_entries_says_nothing_of_them(client, job):
    client.force_login(make_user())
    assert "ENTERED BY CUSTOMER" not in client.get(reverse("office:job", args=[job.number])).text


def test_a_double_click_is_one_record_and_the_same_key_with_other_entries_is_refused(client, token):
    assert sent(client, token).status_code == 302
    assert sent(client, token).status_code == 302
    assert StartUpRecord.objects.count() == 1
    answer = sent(client, token, ir="3")
    assert answer.status_code == 422
    assert "already saved with other entries" in answer.text
    assert StartUpRecord.objects.get().entries["ir"]["value"] == 850


def test_another_sheet_is_added_and_the_first_stays(client, token):
    sent(client, token)
    sent(client, token, form_key="k2", ir="900")
    assert [one.entries["ir"]["value"] for one in StartUpRecord.objects.order_by("id")] == [850, 900]


def test_nothing_is_typed_twice_when_a_value_is_refused(client, token):
    answer = sent(client, token, ir="-4", site_ambient="25")
    assert answer.status_code == 422
    assert "Accepted:" in answer.text
    assert 'value="25"' in answer.text
    assert not StartUpRecord.objects.exists()


@pytest.mark.parametrize(
    ("entries", "words"),
    [
        ({"name": ""}, "Empty. "),
        ({"ir": "", "rotation": "", "oil_top_running": ""}, "Enter at least one check"),
        ({"rotation": "sideways"}, "Select a valid choice"),
        ({"note": "x" * 501}, "500"),
        ({"name": "x" * 81}, "80"),
        ({"form_key": ""}, "page is out of date"),
        ({"form_key": "k" * 65}, "page is out of date"),
    ],
)
def test_bad_entries_are_refused_in_words(client, token, entries, words):
    answer = sent(client, token, **entries)
    assert answer.status_code == 422
    assert words in answer.text
    assert not StartUpRecord.objects.exists()


@pytest.mark.parametrize(("days", "status"), [(2, 422), (1, 302), (0, 302), (-1095, 302), (-1096, 422)])
def test_the_day_is_neither_ahead_nor_far_back(client, token, days, status):
    on = timezone.localdate() + timedelta(days=days)
    assert sent(client, token, done_on=on.isoformat()).status_code == status


def test_a_link_takes_six_in_an_hour_and_more_in_the_next(client, token):
    for number in range(start_up_records.MOST_AN_HOUR):
        assert sent(client, token, form_key=f"k{number}").status_code == 302
    answer = sent(client, token, form_key="one more")
    assert answer.status_code == 429
    assert "Wait an hour" in answer.text
    assert StartUpRecord.objects.count() == 6
    later = timezone.now() + start_up_records.HOUR + timedelta(seconds=1)
    with patch.object(timezone, "now", return_value=later):
        assert sent(client, token, form_key="one more").status_code == 302


def test_a_job_takes_so_many_in_all_by_whatever_link(client, job, token, monkeypatch):
    monkeypatch.setattr(start_up_records, "MOST_OF_A_JOB", 2)
    sent(client, token)
    sent(client, link_to(job)[1])
    assert sent(client, link_to(job)[1]).status_code == 429
    assert StartUpRecord.objects.count() == 2


def test_a_form_of_the_customers_pages_is_small(client, token):
    answer = client.post(url(token), {**ENTRIES, "note": "x" * settings.OPEN_PAGES_MAX_BYTES})
    assert answer.status_code == 413
    assert not StartUpRecord.objects.exists()


def test_a_form_from_elsewhere_is_refused(token):
    strict = Client(enforce_csrf_checks=True)
    assert sent(strict, token).status_code == 403
    page = strict.get(url(token))
    assert page["Referrer-Policy"] == "same-origin"
    assert page["Cache-Control"] == "private, no-store"
    secret = strict.cookies["csrftoken"].value
    assert sent(strict, token, csrfmiddlewaretoken=secret).status_code == 302
    assert not StartUpRecord.objects.exclude(name="R. Haas").exists()


def test_a_revoked_an_expired_and_an_unknown_link_open_nothing(client, job):
    link, token = link_to(job)
    revoke_link(actor=actor_for(make_user("office")), link=link, now=timezone.now())
    for known in (token, "x" * 43):
        assert client.get(url(known)).status_code == 404
        assert sent(client, known).status_code == 404
        assert client.get(url(known, "start_up_paper")).status_code == 404
    assert not StartUpRecord.objects.exists()


def test_until_the_repair_is_finished_the_sheet_is_closed(client):
    job = make_job()
    _link, token = link_to(job)
    page = client.get(url(token))
    assert (page.status_code, "Do not run the motor" in page.text) == (200, True)
    assert sent(client, token).status_code == 409
    assert "Open commissioning sheet" not in client.get(reverse("portal:job", args=[token])).text
    assert not StartUpRecord.objects.exists()


def test_an_ended_job_takes_it_and_a_canceled_one_does_not(client, job, token):
    Job.objects.filter(pk=job.pk).update(state=Job.State.CLOSED, closed_at=timezone.now())
    assert "Open commissioning sheet" in client.get(reverse("portal:job", args=[token])).text
    assert sent(client, token).status_code == 302
    Job.objects.filter(pk=job.pk).update(state=Job.State.CANCELLED)
    assert sent(client, token, form_key="k2").status_code == 409
    assert StartUpRecord.objects.count() == 1


def test_the_printed_sheet_is_handed_out_as_issued(client, job, token):
    assert client.get(url(token, "start_up_paper")).status_code == 404
    document = issue_document(
        actor=actor_for(make_user("office")), job=job, kind="start_up", paper="letter", language="en", units="us",
        now=timezone.now(),
    )  # fmt: skip
    answer = client.get(url(token, "start_up_paper"))
    assert b"".join(answer.streaming_content) == stored(document)
    assert "Open sheet (PDF)" in client.get(url(token)).text


def test_cautions_stand_before_the_form_and_nothing_promises_safety(client, token):
    page = client.get(url(token)).text
    assert page.index("Lock out") < page.index("<form")
    assert " safe" not in page.lower().replace("safety", "")
    assert all(f'name="{code}"' in page for code in ("ir", "site_vib_top_0", "rotation", "oil_top_standing"))
