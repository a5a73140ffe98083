"""What was found damaged, for the customer: the damage first, its suspected cause apart with the evidence."""

from __future__ import annotations

from repairs.documents.content.photos import as_printed
from repairs.measurements.models import Observation
from repairs.measurements.observations.presenting import observation_words
from repairs.measurements.words.damage import terms_source
from repairs.work_orders.models import Job, JobPhoto

# What the shop keeps to itself: its note, who mounted the part, the rows' own numbers.
_FOR_CUSTOMERS = ("part", "mode", "place", "extent", "confidence", "cause", "cause_confidence", "evidence")


def observation_part(job: Job) -> dict[str, object]:
    """Return what was found on the parts; nothing where nobody noted any, so that older reports stay as they are."""
    found = list(Observation.objects.of_job(job).standing())
    if not found:
        return {}
    pictures = _pictures({row.photo_id for row in found if row.photo_id})
    rows = []
    for row in found:
        words = observation_words(row)
        told: dict[str, object] = {name: words[name] for name in _FOR_CUSTOMERS}  # type: ignore[literal-required]
        rows.append({**told, "photos": pictures.get(row.photo_id or 0, [])})
    return {"observations": rows, "observation_terms": terms_source()}


def _pictures(places: set[int]) -> dict[int, list[dict[str, object]]]:
    """Return each photo of an observation as papers print it; one that was withdrawn since then is left out."""
    if not places:
        return {}
    rows = JobPhoto.objects.filter(pk__in=places, withdrawn_at__isnull=True).order_by("pk")
    keys = list(rows.values_list("pk", flat=True))
    return {pk: [row] for pk, row in zip(keys, as_printed(rows, len(keys)), strict=True)}
