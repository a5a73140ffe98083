"""A job that the demo goes on with: signed, recorded and photographed by the people of the invented shop."""

from __future__ import annotations

from dataclasses import dataclass

from bearings.public import Rating
from repairs.ledger.services import Actor
from repairs.management.shop.pictures import stack_picture
from repairs.work_orders.looked_for import open_questions
from repairs.work_orders.models import Job, StackRecord, Stage, StepKind
from repairs.work_orders.services.pictures import add_photos, place_mark
from repairs.work_orders.services.route import sign_off
from repairs.work_orders.services.stack_answering import say_absent
from repairs.work_orders.services.stack_approving import approve_specified
from repairs.work_orders.services.stack_editing import (
    add_item,
    describe_record,
    item_from_rating,
    start_record,
)

Ratings = dict[str, Rating]
FLANGE = {"kind": "shoulder", "ring": "inner", "note": "flange of the mount"}
NUT = {"kind": "lock_nut", "ring": "inner", "note": "tab washer, 1½ threads below the nut"}
# What the invented shop read off its bearings and measured on them: ground to pair in any order, flush.
INSIDE = {"cage_material": "brass", "stabilised_to_c": 150}
OF_A_SET = {
    "stabilised_to_c": 150,
    "pairing": "universal",
    "stand_out_um": 0,
    "fit_interference_um": 10,
    "pair_preload_n": 1500,
}
FACES = {"d": "down", "u": "up"}


@dataclass(slots=True)
class Opened:
    """A job that the demo goes on with."""

    job: Job
    actors: dict[str, Actor]
    ratings: Ratings

    def sign_until(self, kind: str, by: str = "tech1") -> None:
        """Sign every step before the first one of a kind; the approval is the office's."""
        for step in self.job.steps.order_by("position"):
            if step.kind == kind:
                return
            if step.state == "waiting":
                actor = self.actors["office" if step.kind in {"receive", "estimate", "approval"} else by]
                said = "Approved by email, with the PO" if step.kind == "approval" else ""
                sign_off(actor=actor, step=step, note=said)

    def propose(self, faces: str, rating: str) -> StackRecord:
        """Walk to the observations, propose a stack there and let the lead approve it, so that it can be estimated."""
        self.sign_until(StepKind.OBSERVE)
        record = self.record(Stage.SPECIFIED, faces, rating, "engineer")
        return approve_specified(actor=self.actors["lead"], record=record, version=record.version)

    def record(self, stage: str, faces: str, rating: str, by: str, reason: str = "") -> StackRecord:
        """Record a stack of like angular contact bearings between flange and nut."""
        actor = self.actors[by]
        record = start_record(actor=actor, job=self.job, stage=stage, reason=reason)
        bearings = [
            {
                **item_from_rating(self.ratings[rating], face=FACES[face]),
                "mark": str(41 + index),
                **OF_A_SET,
            }
            for index, face in enumerate(faces)
        ]
        for data in (FLANGE, *bearings, NUT):
            link = self.ratings[rating].pk if data["kind"] == "bearing" else None
            record = add_item(actor=actor, record=record, version=record.version, data=data, rating_id=link)
        for asked in open_questions(record):
            record = say_absent(actor=actor, record=record, version=record.version, asked=asked, absent=True)
        return describe_record(
            actor=actor, record=record, version=record.version, top_identified=True, note=""
        )

    def photograph(self, record: StackRecord, faces: str, by: str, caption: str) -> None:
        """Put a drawn picture with a mark for each bearing on a record."""
        (place,) = add_photos(
            actor=self.actors[by],
            job=self.job,
            files=[stack_picture(f"{record.stage}.jpg", faces)],
            stack_record=record,
            caption=caption,
        )
        bearings = [entry["uid"] for entry in record.items if entry["data"]["kind"] == "bearing"]
        for index, uid in enumerate(bearings):
            place_mark(
                actor=self.actors[by],
                job_photo=place,
                x=(640 + 350 * index) / 1600,
                y=540 / 1200,
                item_uid=uid,
            )
