"""Read what a job's page shows.

The page is opened all day long. So rows come as plain values, each joined table in the query of its parent, and every
query is put together once. With the job's own row and the reader's two that makes ten.
"""

from __future__ import annotations

from typing import Final

from django.db.models.functions import Coalesce

from repairs.documents.models import IssuedDocument
from repairs.ledger.models import Event
from repairs.measurements.models import Reading
from repairs.work_orders.models import HandOver, JobPhoto, Step
from repairs.work_orders.prepared import TEXT_KEY, PreparedRows

EVENTS_SHOWN: Final = 20
NOTES_SHOWN: Final = 6

# The route with who signed what: a line for each signature, one for a step without.
STEPS: Final = PreparedRows(
    lambda job_id: (
        Step.objects.filter(job_id=job_id)
        .order_by("position", "sign_offs__id")
        .values_list(
            "pk", "kind", "title", "state", "skip_reason", "ended_at", "sign_offs__person_name", "sign_offs__at",
            "sign_offs__signed_as", "sign_offs__note",
        )
    )
)  # fmt: skip
NOTES: Final = PreparedRows(
    lambda job_id: (
        HandOver.objects.filter(job_id=job_id)
        .order_by("-id")
        .values_list(
            "pk", "written_at", "written_by__first_name", "written_by__last_name", "written_by__username", "done",
            "parts_lie", "danger", "lock_of", "not_to_trust", "next_action", "accepted_at", "accepted_by__first_name",
            "accepted_by__last_name",
        )[:NOTES_SHOWN]
    )
)  # fmt: skip
# Photos and their marks: a line for each mark, one for a photo without marks.
PHOTOS: Final = PreparedRows(
    lambda job_id: (
        JobPhoto.objects.filter(job_id=job_id, withdrawn_at__isnull=True)
        .order_by("pk", "photo__marks__id")
        .values_list(
            "pk", "photo_id", "photo__caption", "stack_record_id", "step__title", "photo__marks__item_uid",
            "photo__marks__label", "photo__marks__x", "photo__marks__y",
        )
    )
)  # fmt: skip
READINGS: Final = PreparedRows(
    lambda job_id: (
        Reading.objects.filter(job_id=job_id)
        .standing()
        .order_by("id")
        .values_list(
            "quantity", "value", "unit", "limit_low", "limit_high", "limit_source", "verdict", "moment", "person_name",
            Coalesce("made_at", "at"), "note", "arrived_later",
        )
    )
)  # fmt: skip
PAPERS: Final = PreparedRows(
    lambda job_id: (
        IssuedDocument.objects.filter(job_id=job_id)
        .order_by("id")
        .values_list("kind", "revision", "issued_at", "code")
    )
)
EVENTS: Final = PreparedRows(
    lambda number: Event.objects.of_job(number).values_list(
        "at", "actor_name", "verb", "before", "after", "reason"
    )[:EVENTS_SHOWN],
    placeholder=TEXT_KEY,
)
