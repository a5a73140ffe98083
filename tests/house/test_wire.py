"""What goes over the wire stays small: a shop's Wi-Fi is patchy."""

from __future__ import annotations

import gzip
from pathlib import Path

import django_htmx
import pytest
from django.urls import reverse

from repairs.management.shop.building import build_shop
from repairs.people.models import User
from repairs.work_orders.models import Job

KILOBYTE = 1000
ROOT = Path(__file__).resolve().parents[2]


def test_all_script_together_stays_below_40_kilobytes_compressed():
    htmx = next((Path(django_htmx.__file__).parent / "static").rglob("htmx-2.min.js"), None)
    assert htmx is not None
    scripts = [htmx, *(ROOT / "static" / "js").glob("*.js")]
    assert len(scripts) > 2
    assert sum(len(gzip.compress(path.read_bytes())) for path in scripts) <= 40 * KILOBYTE


@pytest.mark.django_db
def test_the_pages_of_a_busy_job_stay_below_40_kilobytes_compressed(client):
    build_shop()
    client.force_login(User.objects.get(username="lead"))
    number = Job.objects.order_by("id").values_list("number", flat=True).first()
    pages = [
        reverse("office:board"),
        reverse("office:open_job"),
        reverse("office:job", args=[number]),
        reverse("bench:job", args=[number]),
        reverse("bench:stack", args=[number, "as_built"]),
        reverse("bench:compare", args=[number]),
    ]
    sizes = {}
    for address in pages:
        answer = client.get(address, headers={"accept-encoding": "gzip"})
        assert answer.headers["Content-Encoding"] == "gzip"
        sizes[address] = len(answer.content)
    assert {address: size for address, size in sizes.items() if size > 40 * KILOBYTE} == {}
