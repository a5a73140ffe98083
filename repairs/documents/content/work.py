"""Parts and outside work as the customer reads them; the shop's own hours stay in the shop."""

from __future__ import annotations

from bearings.public import exact
from repairs.documents.content.reader import day_words
from repairs.work_orders.models import Job, StrippedPart


def work_done(job: Job) -> dict[str, object]:
    """Return parts fitted, work done elsewhere and what became of the parts taken off; empty when nothing is known."""
    fitted = [
        {
            "name": part.name,
            "designation": part.designation,
            "quantity": exact(part.quantity),
            "unit": part.unit,
        }
        for part in job.used_parts.filter(withdrawn_at__isnull=True)
    ]
    outside = [
        {"what": one.what, "back": day_words(one.back_on), "result": one.result}
        for one in job.outside_services.filter(back_on__isnull=False)
    ]
    fates = [
        {"name": part.name, "fate": part.get_disposition_display(), "note": part.note}
        for part in job.stripped_parts.exclude(disposition=StrippedPart.Disposition.OPEN)
    ]
    if not (fitted or outside or fates):
        return {}
    return {"fitted": fitted, "outside": outside, "fates": fates}
