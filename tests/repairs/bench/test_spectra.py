"""A spectrum of the final run: read from a file, held against the bearings of the stack as built."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

import tests.repairs.factories as factories
from repairs.measurements.models import TestRecord
from repairs.work_orders.models import Job, Step, StepKind
from tests.repairs.factories import make_job, make_user
from tests.repairs.measurements.gate_readings import plain_job
from tests.repairs.signed_stacks import approved, built
from tests.visible_text import visible_text

pytestmark = [pytest.mark.django_db, pytest.mark.data]
# Cage (1 - g)/2, outer Z (1 - g)/2, inner Z (1 + g)/2, g = Dw cos(alpha)/dm: kinematics of rolling without slip, by
# hand for Dw 31.75, dm 157.5, Z 12, 40 degrees: g = 0.154424.
INSIDE = {"ball_count": 12, "ball_diameter_mm": 31.75, "pitch_diameter_mm": 157.5}
OUTER, INNER = 12 * (1 - 0.154424) / 2, 12 * (1 + 0.154424) / 2


def job_built(monkeypatch: pytest.MonkeyPatch, **inside: Any) -> Job:
    plain = factories.bearing_item

    def bearing(*args: Any, **data: Any) -> Any:
        item = plain(*args, **{**inside, **data})
        for key in () if inside else INSIDE:
            item["data"].pop(key, None)
        return item

    monkeypatch.setattr(factories, "bearing_item", bearing)
    job = make_job()
    approved(job)
    built(job, "ddu")
    return job


def lines(*peaks: tuple[float, float], to: float = 500.0, step: float = 0.5, times: float = 1.0) -> bytes:
    """A flat floor of 0.01 with peaks at the nearest lines."""
    sizes = [0.01 + 0.0001 * (at % 7) for at in range(int(to / step) + 1)]
    for hz, size in peaks:
        sizes[round(hz / step)] = size
    rows = [f"{at * step * times:.2f},{size:.4f}" for at, size in enumerate(sizes)]
    return "\n".join(["Hz,mm/s", *rows]).encode()


def post(job: Job, file: bytes, **more: Any) -> Any:
    client = Client()
    client.force_login(make_user())
    step = job.steps.get(kind=StepKind.FINAL_TEST)
    form = {
        "file": SimpleUploadedFile("s.csv", file), "frequency": "Hz", "amplitude": "mm/s rms",
        "run_rpm": "1800", "form_key": "k", **more,
    }  # fmt: skip
    return client.post(url(step), form)


def url(step: Step) -> str:
    return reverse("bench:spectrum", args=[step.job.number, step.pk])


def told(page: bytes) -> str:
    return " ".join(visible_text(page.decode())).replace("\u00a0", " ")


def test_peaks_at_the_orders_of_the_stack_are_named(monkeypatch):
    job = job_built(monkeypatch, **INSIDE)
    outer = 30 * OUTER
    answer = post(job, lines((30, 1.2), (60, 0.5), (outer, 0.4), (outer - 30, 0.2), (outer + 30, 0.2)))
    record = TestRecord.objects.get()
    assert answer.url == reverse("bench:test_record", args=[job.number, record.pk])
    assert [row[0] for row in record.entries["orders"]][1:3] == pytest.approx([outer, 30 * INNER], abs=1e-3)
    client = Client()
    client.force_login(make_user())
    text = told(client.get(answer.url).content)
    assert "Bearing 1, 2, 3, outer ring (152.2 Hz): peak of" in text
    assert "Bearing 1, 2, 3, inner ring (207.8 Hz): none found from 0 Hz to 500 Hz." in text
    assert "Searched 0 Hz to 500 Hz in steps of 0.5 Hz" in text
    assert "Running speed: peaks at 1, 2 times." in text
    assert "Bearing 1, 2, 3, outer ring, sidebands spaced by running speed: 1 below, 1 above" in text
    assert record.typed["orders"]["names"][1][0] == "Bearing 1, 2, 3, outer ring"


def test_an_order_outside_the_range_is_not_checked(monkeypatch):
    job = job_built(monkeypatch, **INSIDE)
    answer = post(job, lines((30, 1.2), to=180))
    client = Client()
    client.force_login(make_user())
    assert "inner ring (207.8 Hz): not checked, outside 0 Hz to 180 Hz." in told(
        client.get(answer.url).content
    )


def test_without_a_known_inside_no_order_is_said_to_be_missing(monkeypatch):
    job = job_built(monkeypatch)
    answer = post(job, lines((30, 1.2)))
    client = Client()
    client.force_login(make_user())
    text = told(client.get(answer.url).content)
    assert "Bearing orders not checked" in text
    assert "none found" not in text
    assert TestRecord.objects.get().verdict == "not_checked"


def test_units_of_the_file_are_turned_into_ours():
    answer = post(plain_job(), lines((30, 0.1), times=60), frequency="cpm", amplitude="in/s pk")
    assert answer.status_code == 302
    (peak,) = TestRecord.objects.get().entries["peaks"]
    # 0.1 in/s peak of one sine is 25.4 / sqrt(2) x 0.1 mm/s rms.
    assert peak == pytest.approx([30, 0.1 * 25.4 / 2**0.5], abs=1e-6)


def test_cpm_read_as_hz_is_asked_and_kept_once_confirmed():
    file = lines((30, 1.2), times=60)
    refused = post(plain_job(), file)
    assert refused.status_code == 422
    assert "Is the file in cpm, not Hz?" in told(refused.content)
    assert not TestRecord.objects.exists()
    assert post(plain_job(), file, confirmed="cpm_as_hz::").status_code == 302


@pytest.mark.parametrize(
    ("file", "words"),
    [
        (b"1,0;2,0\n2,0;3,0\n" * 20, "decimal commas"),
        (b"PK\x03\x04\x00\x00", "no plain text file"),
        (b"10,1\n5,1\n" * 20, "not above the line before"),
        (b"1,1\n2,1\n", "Only 2 lines"),
    ],
)
def test_a_file_that_is_no_spectrum_is_refused_with_what_to_do(file, words):
    answer = post(plain_job(), file)
    assert answer.status_code == 422
    assert words in told(answer.content)
    assert not TestRecord.objects.exists()


def test_the_form_says_which_orders_it_will_look_for(monkeypatch):
    job = job_built(monkeypatch, **INSIDE)
    client = Client()
    client.force_login(make_user())
    text = told(client.get(url(job.steps.get(kind=StepKind.FINAL_TEST))).content)
    assert "Bearing 1, 2, 3, outer ring: 5.073 × shaft speed" in text
    bare = plain_job()
    text = told(client.get(url(bare.steps.get(kind=StepKind.FINAL_TEST))).content)
    assert "No signed stack as built yet" in text
