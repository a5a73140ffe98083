"""Photos on paper, with the marks that drawing and list share."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from repairs.documents.rendering import photo_is_sound
from repairs.work_orders.models import Job, JobPhoto
from repairs.work_orders.photo_rows import photo_rows


def stage_photos(job: Job, stage: str, most: int = 12) -> list[dict[str, object]]:
    """Return the photos of a stage's newest record; when there are more than fit, the oldest ones."""
    places = JobPhoto.objects.filter(job=job, stack_record__stage=stage, withdrawn_at__isnull=True)
    newest = places.order_by("-stack_record__revision").values("stack_record_id")[:1]
    return as_printed(
        places.filter(stack_record_id__in=list(newest.values_list("stack_record_id", flat=True))), most
    )


def other_photos(job: Job, most: int = 24) -> list[dict[str, object]]:
    """Return the photos that belong to the job or to a step."""
    return as_printed(
        JobPhoto.objects.filter(job=job, stack_record__isnull=True, withdrawn_at__isnull=True), most
    )


def as_printed(places: Any, most: int) -> list[dict[str, object]]:
    """Return what a paper says of photos: picture, words, and marks laid out on a sheet 100 wide."""
    rows: list[dict[str, object]] = []
    for row in photo_rows(places[:most]):
        ratio = row["height"] / row["width"] if row["width"] else 0.75
        rows.append(
            {
                "id": row["photo_id"],
                "file": row["print_file"] if photo_is_sound(row["print_file"]) else "",
                "alt": row["alt"],
                "caption": row["caption"],
                "sheet_height": f"{100 * ratio:.2f}",
                "marks": [
                    {
                        "label": mark["label"],
                        "x": f"{mark['x_percent']:.2f}",
                        "y": f"{mark['y_percent'] * ratio:.2f}",
                        "base": f"{mark['y_percent'] * ratio + 2:.2f}",
                    }
                    for mark in row["marks"]
                ],
            }
        )
    return rows


def photos_shown(content: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return every photo that a paper shows: the only ones that it, and its customer's page, may read."""
    rows = [*content.get("photos", []), *content.get("more_photos", [])]
    return [*rows, *(photo for row in content.get("observations", []) for photo in row["photos"])]
