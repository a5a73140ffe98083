"""Seats on the traveler carry the limits that the rule proposes."""

from __future__ import annotations

import pytest
from django.utils import timezone

from repairs.documents.services import issue_document
from repairs.work_orders.models import Job
from tests.repairs.documents.reading import pages_of, stored
from tests.repairs.documents.scenes import job_with_found_stack
from tests.repairs.factories import actor_for, make_user

pytestmark = pytest.mark.django_db


def test_a_traveler_proposes_limits_for_the_seats_of_the_stack():
    """100 k5 is 100.003 to 100.018 and 215 H6 is 215.000 to 215.029 (ISO 286-2)."""
    job = Job.objects.with_motor().get(pk=job_with_found_stack().pk)
    paper = issue_document(
        actor=actor_for(make_user("lead")),
        job=job,
        kind="traveler",
        paper="a4",
        language="en",
        units="si",
        now=timezone.now(),
    )
    words = " ".join(" ".join(pages_of(stored(paper))).split())
    for wanted in ("k5 by rule; drawing first", "100.003 mm", "100.018 mm", "215.000 mm", "215.029 mm"):
        assert wanted in words
