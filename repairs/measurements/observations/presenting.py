"""An observation in words, the same on bench, job page and paper."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from django.utils.translation import gettext as _

from bearings.public import exact
from repairs.measurements.models import Observation
from repairs.measurements.observations.services import part_words
from repairs.measurements.words.damage import mode_words


class ObservationWords(TypedDict):
    """What was seen, where, how far, how sure; the suspected cause beside it."""

    pk: int
    part: str
    mode: str
    sound: bool
    place: str
    extent: str
    confidence: str
    cause: str
    cause_confidence: str
    evidence: str
    mounted: str
    note: str
    by: str
    photo: int | None


def observation_rows(rows: Iterable[Observation]) -> list[ObservationWords]:
    """Return observations in words."""
    return [observation_words(row) for row in rows]


def observation_words(row: Observation) -> ObservationWords:
    return {
        "pk": row.pk,
        "part": part_words(row),
        "mode": mode_words(row.mode),
        "sound": row.mode == "none",
        "place": place_words(row),
        "extent": row.extent,
        "confidence": str(row.get_confidence_display()),
        "cause": row.cause,
        "cause_confidence": str(row.get_cause_confidence_display()) if row.cause else "",
        "evidence": row.cause_evidence,
        "mounted": str(row.get_mounted_by_us_display()) if row.cause else "",
        "note": row.note,
        "by": row.person_name,
        "photo": row.photo_id,
    }


def place_words(row: Observation) -> str:
    """Say where on the part: inner ring, load zone 150°, opposite the match mark."""
    zone = ""
    if row.load_zone_deg is not None:
        zone = _("load zone {degrees}°").format(degrees=exact(row.load_zone_deg))
    element = str(row.get_element_display()) if row.element else ""
    return ", ".join(word for word in (element, zone, row.location) if word)
