"""Times and numbers that the tablet's scripts write look as the server's own."""

from __future__ import annotations

import pytest
from django.urls import reverse

from tests.browser.conftest import TABLET
from tests.repairs.factories import make_user

pytestmark = [pytest.mark.django_db(transaction=True)]
WRITTEN = """() => [
  self.outbox.moment("2026-12-01T21:34:00Z"), self.outbox.clock("2026-12-01T05:04:00Z"),
  self.outbox.whole(1234567.4), self.outbox.percent(0.834),
]"""


@pytest.mark.parametrize(
    ("units", "expected"),
    [
        ("us", ["Dec 1, 2026, 3:34 PM", "11:04 PM", "1,234,567", "83%"]),
        ("si", ["Dec 1, 2026, 15:34", "23:04", "1\u202f234\u202f567", "83\u00a0%"]),
    ],
)
def test_the_tablet_writes_as_the_shop_does_and_in_its_time_zone(window, settings, units, expected):
    user = make_user()
    settings.SHOP_UNITS, settings.TIME_ZONE = units, "America/Chicago"
    page = window(user, size=TABLET).open(reverse("bench:home"))
    assert page.evaluate(WRITTEN) == expected
