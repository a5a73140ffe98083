"""Seats at the bench: entered plane by plane, judged while one types, refused beside the field, signed."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from repairs.measurements.models import SeatRecord
from repairs.measurements.seat_services import record_seat
from repairs.people.models import User
from repairs.work_orders.models import Job, Stage
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user
from tests.repairs.measurements.seats import GOOD, LOW, entry

pytestmark = pytest.mark.django_db
CELLS = ("p1a0", "p1a90", "p2a0", "p2a90", "p3a0", "p3a90")
READ = ("100.009", "100.011", "100.010", "100.012", "100.011", "100.013")


def typed(*readings: str, **fields: str) -> dict[str, str]:
    return {
        "form_key": "k1",
        "do": "sign",
        "place": "mount",
        "moment": "as_found",
        "bearing": "1–3",
        "nominal_mm": "100",
        "tolerance_class": "Normal",
        "limits_from": "rule",
        "unit": "mm",
        "gauge": "same",
        "material": "steel",
        "instrument": "micrometer 7",
        **dict(zip(CELLS, readings or READ, strict=False)),
        **fields,
    }


@pytest.fixture
def worker() -> User:
    return make_user(units="si")


@pytest.fixture
def job() -> Job:
    found = make_job()
    make_stack_record(found, Stage.AS_FOUND)
    return found


@pytest.fixture
def shop(client: Client, worker: User) -> Client:
    client.force_login(worker)
    return client


def new(job: Job) -> str:
    return reverse("bench:new_seat", args=[job.number])


def page_of(answer: Any) -> str:
    return answer.content.decode()


def test_the_list_names_the_seats_of_the_recorded_stack(shop, job):
    page = page_of(shop.get(reverse("bench:seats", args=[job.number])))
    assert "bearing 1–3, thrust bearing seat on the mount, Ø\u00a0100\u00a0mm" in page
    assert "bearing 1–3, thrust bearing housing, Ø\u00a0215\u00a0mm" in page
    sheet = page_of(shop.get(new(job) + "?seat=1–3-bore"))
    assert 'value="100"' in sheet
    assert '<option value="1–3" selected>' in sheet


def test_a_seat_is_signed_with_its_bearing_and_leaves_the_list(shop, job):
    answer = shop.post(new(job), typed())
    assert (answer.status_code, answer.url) == (302, reverse("bench:seats", args=[job.number]))
    seat = SeatRecord.objects.get()
    assert (seat.verdict, seat.zone, seat.bearing_ref, seat.is_signed) == ("pass", "k5", "1–3", True)
    assert seat.bearing["contact_angle_deg"] == 40
    page = page_of(shop.get(answer.url))
    assert "thrust bearing seat on the mount" in page
    assert "?seat=1%E2%80%933-bore" not in page
    assert f"?after={seat.pk}" in page


def test_a_form_that_arrives_twice_is_kept_once(shop, job):
    for _twice in range(2):
        assert shop.post(new(job), typed()).status_code == 302
    assert SeatRecord.objects.count() == 1


def test_the_verdict_is_told_while_one_types_and_nothing_is_kept(shop, job):
    url = reverse("bench:seat_verdict", args=[job.number])
    page = page_of(shop.post(url, typed("100.001", "100.011")))
    assert "FAIL" in page
    assert "The smallest size, 100.001\u00a0mm, is below 100.003\u00a0mm." in page
    assert "LOW" in page
    page = page_of(shop.post(url, typed("100.010", "0,013")))
    assert "can be read two ways" in page
    assert "not checked" in page
    page = page_of(shop.post(url, {"unit": "mm"}))
    assert "Enter the seat" in page
    assert SeatRecord.objects.count() == 0


def test_without_a_script_a_button_shows_the_verdict(shop, job):
    answer = shop.post(new(job), typed(do="show"))
    assert answer.status_code == 200
    assert "Every reading is in the zone" in page_of(answer)
    assert SeatRecord.objects.count() == 0


def test_four_angles_keep_what_was_typed(shop, job):
    page = page_of(shop.post(new(job), typed("100.009", do="four")))
    assert 'name="p1a45"' in page
    assert 'value="100.009"' in page
    shop.post(new(job), typed(angles="4", p1a45="100.010", p2a135="100.010"))
    assert SeatRecord.objects.get().typed[0] == ["100.009", "100.010", "100.011", ""]


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"p1a0": "100,013"}, "larger than any seat"),
        ({"p1a0": "ten"}, "“ten” is not a number"),
        ({"p1a0": "-100"}, "a size above 0"),
        ({"p1a0": "100.1234567"}, "at most 6"),
        ({"p1a0": "3.937401", "unit": "in"}, "at most 5 decimals"),
        ({"p1a0": "3.937"}, "looks like inches"),
        ({"p1a0": "1001.3"}, "far from the nominal size"),
        ({"p1a0": "10013"}, "larger than any seat"),
        ({"nominal_mm": ""}, "required"),
        ({"nominal_mm": "0"}, "0.5 to 2000 mm"),
        ({"nominal_mm": "110"}, "far from the nominal size of 110 mm"),
        ({"ring": "99"}, "far from its nominal size"),
        ({"limits_from": "drawing"}, "Enter the zone or sizes"),
        ({"limits_from": "drawing", "zone": "k5"}, "the drawing or PO"),
        ({"limits_from": "drawing", "zone": "H6", "limits_source": "D-1"}, "small letter"),
        ({"zone": "k5"}, "Choose whose zone"),
        ({"limits_from": "order", "low": "100.1"}, "Enter both sizes"),
        ({"limits_from": "order", "low": "100.1", "high": "100", "limits_source": "1"}, "must be above"),
        ({"part_temperature": "300"}, "is out of range"),
        ({"instrument": ""}, "Enter the instrument"),
        ({"gauge": ""}, "required"),
        ({"bearing": "7"}, "not one of the available choices"),
    ],
)
def test_what_cannot_be_right_is_refused_in_words_and_nothing_typed_is_lost(shop, job, fields, words):
    answer = shop.post(new(job), typed(**fields, note="cold morning"))
    page = page_of(answer)
    assert answer.status_code == 422
    assert words in page
    assert "cold morning" in page
    assert 'value="100.011"' in page
    assert 'value="k1"' in page
    for value in fields.values():
        assert not value or value in page
    assert SeatRecord.objects.count() == 0


def test_an_unlikely_reading_is_kept_once_it_was_looked_at_again(shop, job):
    assert shop.post(new(job), typed(p1a0="98.5", confirmed="on")).status_code == 302
    assert SeatRecord.objects.get().verdict == "fail"


def test_missing_planes_are_kept_and_not_checked(shop, job):
    page = page_of(shop.post(new(job), typed(p3a0="", p3a90=""), follow=True))
    assert SeatRecord.objects.get().verdict == "not_checked"
    assert "Fewer than three planes measured." in page


def test_a_reader_of_inches_types_and_reads_inches(client, job):
    client.force_login(make_user(units="us"))
    sheet = page_of(client.get(new(job) + "?seat=1–3-bore"))
    assert "Plane 1 at 0°, in" in sheet
    inches = ("3.9374", "3.9375", "3.9374", "3.9375", "3.9374", "3.9375")
    client.post(new(job), typed(*inches, unit="in", part_temperature="86", gauge="at_20"))
    seat = SeatRecord.objects.get()
    assert (seat.planes_mm[0][0], seat.part_c) == ("100.00996", Decimal("30.0"))
    page = page_of(client.get(reverse("bench:seat", args=[job.number, seat.pk])))
    assert "3.93713\u00a0in to 3.93771\u00a0in" in page


def test_a_sheet_is_kept_unfinished_and_gone_on_with(shop, job, worker):
    shop.post(new(job), typed("100.010", "100.011", p2a0="", p2a90="", p3a0="", p3a90="", do="keep"))
    seat = SeatRecord.objects.get()
    assert (seat.is_signed, seat.verdict) == (False, "not_checked")
    url = reverse("bench:seat", args=[job.number, seat.pk])
    page = page_of(shop.get(url))
    assert 'value="100.011"' in page
    assert "Fewer than three planes" in page
    assert shop.post(url, typed(form_key="k2", version="1")).status_code == 302
    assert SeatRecord.objects.get().verdict == "pass"


def test_two_people_on_one_sheet_see_each_other(shop, job, worker):
    seat = record_seat(actor=actor_for(worker), job=job, entry=entry(GOOD[:1]))
    url = reverse("bench:seat", args=[job.number, seat.pk])
    shop.post(url, typed(form_key="k2", version="1", do="keep"))
    answer = shop.post(url, typed("100.017", form_key="k3", version="1"))
    page = page_of(answer)
    assert answer.status_code == 409
    assert "100.009 · 100.011" in page, "what is stored"
    assert 'value="100.017"' in page, "what was typed"
    assert 'name="version" value="2"' in page


def test_another_hand_is_asked_to_set_the_gauge_again(client, job):
    seat = record_seat(actor=actor_for(make_user()), job=job, entry=entry(GOOD[:1]))
    client.force_login(make_user(units="si"))
    url = reverse("bench:seat", args=[job.number, seat.pk])
    assert "Gauge re-zeroed on its master" in page_of(client.get(url))
    assert client.post(url, typed(form_key="k2", version="1", bearing="1")).status_code == 422
    answer = client.post(url, typed(form_key="k3", version="1", bearing="1", zeroed="on"))
    assert answer.status_code == 302


def test_a_signed_sheet_is_shown_and_corrected_by_a_new_one(shop, job, worker):
    seat = record_seat(actor=actor_for(worker), job=job, entry=entry(LOW), sign=True)
    url = reverse("bench:seat", args=[job.number, seat.pk])
    page = page_of(shop.get(url))
    assert "micrometer 7" in page
    assert "FAIL" in page
    correct = reverse("bench:correct_seat", args=[job.number, seat.pk])
    assert 'value="100.001"' in page_of(shop.get(correct))
    assert shop.post(correct, typed(bearing="1")).status_code == 422
    answer = shop.post(correct, typed(bearing="1", form_key="k2", reason="gauge was not zeroed"))
    assert answer.status_code == 302
    newer = SeatRecord.objects.get(replaces=seat)
    assert (newer.verdict, newer.reason) == ("pass", "gauge was not zeroed")
    assert "Replaced by a newer record" in page_of(shop.get(url))
    assert shop.post(url, typed(form_key="k4", version="1")).status_code == 422


def test_a_seat_is_measured_as_left_from_the_one_as_found(shop, job, worker):
    found = record_seat(actor=actor_for(worker), job=job, entry=entry(LOW), sign=True)
    page = page_of(shop.get(f"{new(job)}?after={found.pk}"))
    assert '<option value="as_left" selected>' in page
    assert 'value="100.001"' not in page


def test_the_step_says_how_many_seats_are_out_of_limits(shop, job, worker):
    record_seat(actor=actor_for(worker), job=job, entry=entry(LOW), sign=True)
    page = page_of(shop.get(reverse("bench:job", args=[job.number])))
    assert reverse("bench:seats", args=[job.number]) in page


def test_the_list_costs_the_same_however_many_seats_there_are(shop, job, worker):
    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            shop.get(reverse("bench:seats", args=[job.number]))
        return len(seen)

    record_seat(actor=actor_for(worker), job=job, entry=entry(), sign=True)
    first = queries()
    for number in range(5):
        record_seat(actor=actor_for(worker), job=job, entry=entry(name=f"seat {number}"), sign=True)
    assert queries() == first
    assert first <= 8


def test_an_outbox_gets_its_answer_in_json(shop, job, worker):
    headers = {"X-Outbox": "later", "X-Outbox-Person": str(worker.pk)}
    refused = shop.post(new(job), typed(p1a0="ten"), headers=headers)
    assert (refused.status_code, refused.json()["state"]) == (422, "refused")
    assert "Plane 1 at 0°" in refused.json()["words"]
    done = shop.post(new(job), typed(form_key="k2"), headers=headers)
    assert done.json()["state"] == "done"
