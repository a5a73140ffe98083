"""The search page: as a page, as a fragment while one types, and at what price."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from repairs.work_orders.models import Job
from tests.repairs.factories import make_customer, make_job, make_motor, make_user

pytestmark = pytest.mark.django_db
URL = reverse("office:search")


@pytest.fixture
def signed_in(client):
    client.force_login(make_user("office"))
    return client


@pytest.fixture
def well():
    return make_job(make_motor(make_customer(name="Saltgrass Flats"), serial="RM-4074", tag="Well 7"))


def test_the_answer_links_to_the_job_and_says_what_tells_it_apart(signed_in, well):
    html = signed_in.get(URL, {"q": "well"}).content.decode()
    assert f'jobs/{well.number}/">{well.number}</a>' in html
    assert "Saltgrass Flats · Well 7 · RM-4074" in html


def test_htmx_gets_a_fragment_and_the_caches_are_told(signed_in, well):
    part = signed_in.get(URL, {"q": "well"}, headers={"HX-Request": "true"})
    assert "<html" not in part.content.decode()
    assert well.number in part.content.decode()
    whole = signed_in.get(URL, {"q": "well"})
    assert "<html" in whole.content.decode()
    assert 'value="well"' in whole.content.decode()
    assert "HX-Request" in part.headers["Vary"]
    assert "HX-Request" in whole.headers["Vary"]


def test_while_one_types_on_the_search_page_the_address_is_replaced(signed_in, well):
    away = {"HX-Request": "true", "HX-Current-URL": "http://testserver/office/"}
    here = {"HX-Request": "true", "HX-Current-URL": f"http://testserver{URL}?q=we"}
    assert "HX-Replace-Url" not in signed_in.get(URL, {"q": "well"}, headers=away).headers
    assert signed_in.get(URL, {"q": "well 7"}, headers=here).headers["HX-Replace-Url"] == f"{URL}?q=well+7"


def test_a_whole_job_number_sent_off_leads_to_the_job(signed_in, well):
    answer = signed_in.get(URL, {"q": well.number})
    assert answer.status_code == 302
    assert well.number in answer.url
    assert signed_in.get(URL, {"q": well.number}, headers={"HX-Request": "true"}).status_code == 200


def test_what_was_typed_and_what_is_stored_is_escaped(signed_in):
    make_motor(tag="<b>bold</b>")
    html = signed_in.get(URL, {"q": "<b>bold"}).content.decode()
    assert "&lt;b&gt;bold&lt;/b&gt;" in html
    assert "<b>bold" not in html


def test_an_answer_of_nothing_says_so_and_an_empty_box_says_what_may_be_typed(signed_in):
    assert "No matches for “zebra”." in signed_in.get(URL, {"q": "zebra"}).content.decode()
    assert "Type any part of a job number" in signed_in.get(URL).content.decode()


def test_a_late_job_and_an_ended_one_say_so(signed_in, well):
    Job.objects.filter(pk=well.pk).update(promised_on=timezone.localdate() - timedelta(days=3))
    assert "3\u00a0d late" in signed_in.get(URL, {"q": "well"}).content.decode()
    Job.objects.filter(pk=well.pk).update(state="closed", closed_at=timezone.now())
    html = signed_in.get(URL, {"q": "well"}).content.decode()
    assert "Closed" in html
    assert "3\u00a0d late" not in html


def test_a_search_takes_at_most_seven_queries(signed_in, well, django_assert_max_num_queries):
    for _one in range(5):
        make_job(make_motor(well.customer))
    with django_assert_max_num_queries(7):
        signed_in.get(URL, {"q": "salt"})


@pytest.mark.parametrize("typed", ['"', "%", "*", "😀", "x" * 500, "\x00", "' OR 1=1"])
def test_odd_input_gets_a_page(signed_in, typed):
    assert signed_in.get(URL, {"q": typed}).status_code == 200
