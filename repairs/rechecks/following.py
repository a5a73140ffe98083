"""Follow policy and plates: whoever changes them does not know that stacks are judged by them."""

from __future__ import annotations

from typing import Any

from repairs.ledger.services import Actor
from repairs.motors.models import Motor
from repairs.motors.signals import duty_changed
from repairs.rechecks.models import Change, Recheck
from repairs.rechecks.services import ask_recheck, recheck_motor
from repairs.rechecks.standing import Scope, standing_records
from repairs.work_orders.models import ShopPolicy
from repairs.work_orders.signals import jobs_moved, limits_changed


def connect() -> None:
    """Begin to follow; each receiver works in the transaction of the change."""
    limits_changed.connect(_limits_changed, dispatch_uid="rechecks.policy")
    jobs_moved.connect(_jobs_moved, dispatch_uid="rechecks.jobs_moved")
    duty_changed.connect(_duty_changed, dispatch_uid="rechecks.plate")


def _limits_changed(sender: type[ShopPolicy], actor: Actor, **_more: Any) -> None:
    if standing_records(Scope()).exists():
        ask_recheck(actor=actor, why=Recheck.Why.POLICY)


def _duty_changed(sender: type[Motor], motor: Motor, actor: Actor, **_more: Any) -> None:
    recheck_motor(actor=actor, motor=motor)


def _jobs_moved(sender: type[Motor], motors: tuple[Motor, ...], **_more: Any) -> None:
    """Keep what was found in a job's stacks with the motor that the job belongs to."""
    for motor in motors:
        Change.objects.filter(job__motor=motor).exclude(motor=motor).update(motor=motor)
