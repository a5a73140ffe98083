"""Photos of a job as pages and papers show them: with the refs of the items that their marks are keyed to."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from django.db.models import QuerySet
from django.urls import reverse
from django.utils.translation import gettext as _

from repairs.work_orders.judging import refs_of
from repairs.work_orders.models import JobPhoto


class MarkRow(TypedDict):
    """A mark on a photo, with the ref of its part."""

    id: int
    label: str
    x_percent: float
    y_percent: float


class PhotoRow(TypedDict):
    """A photo with its files, words and marks."""

    id: int
    photo_id: str
    print_file: str
    thumbnail_url: str
    print_url: str
    url: str
    alt: str
    caption: str
    width: int
    height: int
    stage: str
    marks: list[MarkRow]


def photo_rows(places: Iterable[JobPhoto], *, link: str = "") -> list[PhotoRow]:
    """Return photos with thumbnail, large picture, caption and marks; two queries for any number of photos.

    A mark shows the ref that its item has in the photo's own stack record, so that photo, drawing and list agree.
    """
    if isinstance(places, QuerySet):
        places = places.select_related("photo", "stack_record", "step", "job").prefetch_related(
            "photo__marks"
        )
    rows: list[PhotoRow] = []
    for place in places:
        items = place.stack_record.items if place.stack_record else []
        refs = {entry["uid"]: ref for ref, entry in refs_of(items)}
        photo = place.photo
        caption = photo.caption or _where(place)
        rows.append(
            {
                "id": place.pk,
                "photo_id": str(photo.pk),
                "print_file": photo.print_size,
                "thumbnail_url": reverse("photo_file", args=[photo.pk, "thumbnail"]),
                "print_url": reverse("photo_file", args=[photo.pk, "print"]),
                "url": reverse(link, args=[place.job.number, place.pk])
                if link
                else reverse("photo_file", args=[photo.pk, "print"]),
                "alt": _("photo: {caption}").format(caption=caption),
                "caption": caption,
                "width": photo.width,
                "height": photo.height,
                "stage": place.stack_record.stage if place.stack_record else "",
                "marks": [
                    {
                        "id": mark.pk,
                        "label": refs.get(mark.item_uid) or mark.label or "?",
                        "x_percent": round(mark.x * 100, 2),
                        "y_percent": round(mark.y * 100, 2),
                    }
                    for mark in photo.marks.all()
                ],
            }
        )
    return rows


def _where(place: JobPhoto) -> str:
    if place.stack_record is not None:
        return _("stack {stage}").format(stage=place.stack_record.get_stage_display().lower())
    return place.step.title if place.step is not None else _("job")
