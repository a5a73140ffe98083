"""What customers entered at their site, as the office reads it on a job's page."""

from __future__ import annotations

from bearings.public import Units
from repairs.documents.models import StartUpRecord
from repairs.documents.site_forms import entered_rows
from repairs.work_orders.models import Job


def site_entries(job: Job, units: Units) -> list[dict[str, object]]:
    """Return each sheet that was sent, the newest first; asks the database only where the job has some."""
    if not getattr(job, "started_up", None):
        return []
    return [
        {"record": record, "rows": entered_rows(record, units)}
        for record in StartUpRecord.objects.of_job(job)
    ]
