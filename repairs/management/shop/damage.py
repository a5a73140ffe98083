"""Damage that the invented shop found on parts of its jobs."""

from __future__ import annotations

from decimal import Decimal

from repairs.management.shop.opened import Opened
from repairs.measurements.observations.services import ObservationEntry, record_observation
from repairs.work_orders.models import StackRecord, StepKind


def see_damage_of_well7(work: Opened, found: StackRecord) -> None:
    """Two bearings flaked and marked by current, the third sound, a worn part beside the stack."""
    uids = [entry["uid"] for entry in found.items if entry["data"]["kind"] == "bearing"]
    photo = found.photos.first()
    step = work.job.steps.get(kind=StepKind.OBSERVE)
    entries = (
        ObservationEntry(
            part=uids[0],
            mode="5.1.2",
            element="inner",
            load_zone_deg=Decimal(360),
            location="track near the wide shoulder",
            extent="3 flakes, side by side",
            confidence="certain",
            photo=photo.pk if photo else None,
            cause="downthrust above the plate",
            cause_evidence="flaking on the thrust side only; pump curve gives more thrust at shut-off",
            cause_confidence="likely",
            mounted_by_us="no",
        ),
        ObservationEntry(
            part=uids[1],
            mode="5.4.3",
            element="outer",
            location="whole track",
            extent="gray band, flutes begin",
            confidence="likely",
            note="measure shaft voltage in the final run",
        ),
        ObservationEntry(part=uids[2], mode="none", confidence="certain"),
        ObservationEntry(part_name="Ratchet pins", mode="5.2.2", extent="4 of 6 pins", confidence="certain"),
    )
    for entry in entries:
        record_observation(actor=work.actors["tech1"], job=work.job, entry=entry, step=step)
