"""The papers of the shop floor: job tag, traveler, stack card."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.documents.content import blank_sheets, heads, photos, readings, route, seats, stacks
from repairs.documents.content.reader import Reader
from repairs.documents.content.thrust import thrust_part
from repairs.work_orders.cautions import GOVERNS
from repairs.work_orders.models import Job, Stage, StepKind

# The tag hangs on the motor while it is moved.
TAG_GOVERNS = gettext_lazy(
    "WARNING A tipping or falling motor can crush. Know the weight, use rated gear, block the rotor. Local codes, your "
    "employer's safety program, the manufacturers' instructions and licensed practice come first."
)
# Kinds of steps whose cautions belong to the person with the stack in hand.
AT_THE_STACK = (StepKind.LAY_OUT, StepKind.MOUNT, StepKind.SECOND_PERSON, StepKind.END_PLAY)


def job_tag(job: Job, _reader: Reader) -> dict[str, object]:
    """Return what hangs on the motor."""
    return {"head": heads.head(job), "shop": heads.shop_block(), "governs": str(TAG_GOVERNS)}


def traveler(job: Job, reader: Reader) -> dict[str, object]:
    """Return everything that goes round the shop with the motor."""
    steps = route.steps_of(job)
    record = stacks.to_build_by(job)
    taken, measured = readings.standing_readings(job), seats.measured_seats(job)
    return {
        "head": heads.head(job),
        "plate": heads.short_plate(job.motor, reader),
        "hold": heads.hold(job),
        "built_differs": stacks.built_differs(job, reader.units),
        "overrides": heads.overrides(job),
        "stack": stacks.stack_section(record, reader, prefix="traveler") if record else None,
        **thrust_part(job, reader),
        "route": route.planned(steps),
        "done": route.done(steps),
        "photos": photos.stage_photos(job, Stage.AS_FOUND),
        "seats": [
            *seats.traveler_rows(measured, reader),
            *readings.seat_rows(taken, record, reader, seats.sizes_measured(measured)),
        ],
        "readings": readings.reading_rows(readings.without_planes(taken)),
        **readings.concession_part(job),
        **blank_sheets.sheets_part(job, steps, reader),
        "cautions": route.cautions(steps),
        "governs": str(GOVERNS),
    }


def stack_card(job: Job, reader: Reader) -> dict[str, object]:
    """Return the one page for the person who puts the stack together."""
    record = stacks.to_build_by(job)
    steps = route.steps_of(job)
    at_the_stack = [step for step in steps if step.kind in AT_THE_STACK]
    section = stacks.stack_section(record, reader, size="card", prefix="card") if record else None
    return {
        "head": heads.head(job),
        "hold": heads.hold(job),
        "built_differs": stacks.built_differs(job, reader.units),
        "overrides": heads.overrides(job),
        "stack": section,
        "checks": end_checks(section["items"]) if section else [],
        "cautions": _cautions_at(steps, at_the_stack),
        "governs": str(GOVERNS),
    }


def _cautions_at(steps: list[Any], wanted: list[Any]) -> list[dict[str, str]]:
    """Return the cautions of some steps, under the numbers that the whole route gives them."""
    numbers = {step.pk: no for no, step in enumerate(steps, 1)}
    return route.cautions_under({numbers[step.pk]: step.kind for step in wanted})


def end_checks(items: Iterable[Mapping[str, Any]]) -> list[str]:
    """Return what two people look at before the cap goes on, one line each."""
    bearings = [row for row in items if row["kind"] == "bearing"]
    order = " · ".join(row["ref"] for row in items if row["kind"] != "guide")
    lines = [_("Order from the top of the mount: {order}.").format(order=order)]
    faces = [row for row in bearings if row["face"] in {"up", "down"}]
    if faces:
        words = ", ".join(f"{row['ref']} {row['face_words']}" for row in faces)
        lines.append(_("Wide faces from the top: {faces}.").format(faces=words))
    marks = ", ".join(f"{row['ref']}: {row['mark']}" for row in bearings if row["mark"])
    if marks:
        lines.append(_("Marks from the top: {marks}.").format(marks=marks))
    rings = [row["ref"] for row in items if row["kind"] == "snap_ring"]
    if rings:
        lines.append(
            _("Snap ring {refs}: seated in its groove all the way around.").format(refs=", ".join(rings))
        )
    nuts = [row["ref"] for row in items if row["kind"] == "lock_nut"]
    if nuts:
        lines.append(_("Lock nut {refs}: tight, lock engaged.").format(refs=", ".join(nuts)))
    lines.append(_("Finished stack photographed, photo on the job."))
    return lines
