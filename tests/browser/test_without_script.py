"""The recorder without JavaScript: plain forms do everything that a hand needs."""

from __future__ import annotations

import pytest

from repairs.work_orders.models import StackRecord
from tests.browser.conftest import TABLET
from tests.repairs.factories import make_job, make_rating, make_user

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_stack_is_recorded_and_turned_over_without_a_script(window):
    job, rating, user = make_job(), make_rating(designation="7320"), make_user("technician")
    reader = window(user, size=TABLET, java_script_enabled=False)
    page = reader.open(f"/bench/jobs/{job.number}/stack/as_found/")
    page.click("main button >> nth=0")
    for _ in range(2):
        page.goto(f"{reader.base}/bench/jobs/{job.number}/stack/as_found/add/?q=7320")
        page.click(f'button[value="{rating.pk}:down"]')
    page.click(".face >> nth=1")
    assert page.locator(".face--up").count() == 1
    faces = [entry["data"]["wide_face"] for entry in StackRecord.objects.get(job=job).items]
    assert faces == ["down", "up"]
