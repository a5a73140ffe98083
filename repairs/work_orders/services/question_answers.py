"""Answer what the checker asks of a record by one tap: on the plate of its motor, or for the bearings that lack it."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor
from repairs.motors.nameplate import read_entry
from repairs.motors.plate_fields import BY_KEY
from repairs.motors.services import MotorError, change_motor
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import StackRecord
from repairs.work_orders.questions import OF_PLATE, choices_of
from repairs.work_orders.services.stack_changes import Words, as_seen, change_record, newer_state


@transaction.atomic
def answer_question(
    *, actor: Actor, record: StackRecord, version: int, field: str, value: str, form_key: str = ""
) -> StackRecord:
    """Enter one of the offered answers; what somebody entered before is never overwritten."""
    if value not in dict(choices_of(field)):
        raise WorkOrderError(_("Choose one of the answers shown."))
    if field in OF_PLATE:
        return _on_the_plate(actor, record, version, field, value)
    return _for_the_bearings(actor, record, version, field, value, form_key)


def _on_the_plate(actor: Actor, record: StackRecord, version: int, field: str, value: str) -> StackRecord:
    if not role_may(actor.role, Permission.EDIT_MOTORS):
        raise WorkOrderError(_("You need permission to edit motors. Ask the office to enter this."))
    now = as_seen(newer_state(record), version)
    key = OF_PLATE[field][0]
    motor = now.job.motor
    plate = motor.nameplate or {}
    if motor.si(key) is None:
        entry, wrong = read_entry(BY_KEY[key], "read", value, "", "si")
        if wrong:
            raise WorkOrderError(wrong)
        try:
            change_motor(actor=actor, motor=motor, version=motor.version, nameplate={**plate, key: entry})
        except MotorError as error:
            raise WorkOrderError(str(error)) from error
    return newer_state(record)


def _for_the_bearings(
    actor: Actor, record: StackRecord, version: int, field: str, value: str, form_key: str
) -> StackRecord:
    def change(now: StackRecord) -> tuple[Words, Words]:
        lacking = [
            entry["uid"]
            for entry in now.items
            if entry["data"].get("kind") == "bearing" and not entry["data"].get(field)
        ]
        if not lacking:
            raise WorkOrderError(_("Every bearing already has this. Edit a bearing to change it."))
        now.items = [
            {**entry, "data": {**entry["data"], field: value}} if entry["uid"] in lacking else entry
            for entry in now.items
        ]
        return {"uids": lacking, "data": {}}, {"uids": lacking, "data": {field: value}}

    return change_record(
        actor=actor, record=record, version=version, form_key=form_key, verb="stack.answered", change=change
    )
