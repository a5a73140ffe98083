"""Add motors, change them and what their plates say."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils.translation import gettext as _

from repairs.customers.models import Customer
from repairs.ledger.services import Actor, record_event
from repairs.motors.duty import duty_of, lubrication_of
from repairs.motors.models import Motor
from repairs.motors.plate_fields import STATES
from repairs.motors.signals import duty_changed

CHANGEABLE: Final = (
    "customer", "site", "tag", "serial", "serial_state", "build", "nameplate", "plate_photo", "note",
)  # fmt: skip
UNREADABLE: Final = frozenset({"illegible", "missing"})


class MotorError(Exception):
    """A rule forbids this change. ``field`` names the form's field when there is one."""

    def __init__(self, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.field = field


class StaleMotorError(MotorError):
    """Somebody else changed this motor meanwhile."""


class KnownSerialError(MotorError):
    """The customer has a motor with this serial number already."""

    def __init__(self, motor: Motor) -> None:
        words = _("{customer} already has a motor with serial no. {serial}: {motor}. Use that motor.")
        super().__init__(
            words.format(customer=motor.customer, serial=motor.serial, motor=motor.tag or _("no tag")),
            "serial",
        )
        self.motor = motor


@transaction.atomic
def create_motor(*, actor: Actor, customer: Customer, **fields: Any) -> Motor:
    """Add a motor; a serial number stands once at a customer's."""
    _refuse_unknown(fields)
    motor = Motor(customer=customer, **fields)
    _saved(motor)
    after = {"customer": customer.name, **_told(motor, tuple(fields))}
    record_event(actor=actor, verb="motor.added", subject=motor, after=after)
    return motor


@transaction.atomic
def change_motor(*, actor: Actor, motor: Motor, version: int, **fields: Any) -> Motor:
    """Change a motor, unless somebody did so since it was shown. The ledger keeps what changed on the plate."""
    _refuse_unknown(fields)
    motor = Motor.objects.select_for_update(of=("self",)).select_related("customer", "site").get(pk=motor.pk)
    if motor.merged_into_id is not None:
        raise MotorError(_("This motor was merged into another one. Edit that one."))
    if motor.version != version:
        raise StaleMotorError(_("Someone else changed this motor. Compare both before you save."))
    before, asked = _told(motor, tuple(fields)), _asked_of_bearings(motor)
    for name, value in fields.items():
        setattr(motor, name, value)
    motor.version += 1
    _saved(motor)
    after = _told(motor, tuple(fields))
    if after != before:
        before, after = _differing(before, after)
        record_event(actor=actor, verb="motor.changed", subject=motor, before=before, after=after)
    if _asked_of_bearings(motor) != asked:
        duty_changed.send(sender=Motor, motor=motor, actor=actor)
    return motor


def _asked_of_bearings(motor: Motor) -> tuple[dict[str, object], dict[str, object]]:
    return duty_of(motor), lubrication_of(motor)


def _saved(motor: Motor) -> None:
    """Check a motor as a whole and save it."""
    motor.tag, motor.serial = " ".join(motor.tag.split()), " ".join(motor.serial.split())
    if motor.serial_state not in STATES:
        raise MotorError(_("Choose how the serial no. was read."), "serial_state")
    if motor.serial_state in UNREADABLE and motor.serial:
        raise MotorError(
            _("A serial no. is entered but marked illegible or missing. Change one of the two."),
            "serial",
        )
    if not motor.tag and not motor.serial and motor.serial_state not in UNREADABLE:
        raise MotorError(
            _("Enter the serial no. or the customer's tag, or mark the serial no. illegible or missing."),
            "serial",
        )
    if motor.site is not None and motor.site.customer_id != motor.customer_id:
        raise MotorError(_("This site belongs to another customer."), "site")
    if motor.serial and (other := _same_serial(motor)):
        raise KnownSerialError(other)
    try:
        motor.full_clean()
    except ValidationError as error:
        field, texts = next(iter(error.message_dict.items()))
        raise MotorError(" ".join(texts), field if field in CHANGEABLE else None) from error
    motor.save()


def _same_serial(motor: Motor) -> Motor | None:
    motors = Motor.objects.current().filter(customer_id=motor.customer_id, serial__iexact=motor.serial)
    return motors.exclude(pk=motor.pk).select_related("customer").first()


def _told(motor: Motor, names: tuple[str, ...]) -> dict[str, object]:
    """Return fields as the ledger keeps them; a row is told by its name."""
    return {
        name: str(value) if isinstance(value := getattr(motor, name), models.Model) else value
        for name in names
    }


def _differing(
    before: Mapping[str, Any], after: Mapping[str, Any]
) -> tuple[dict[str, object], dict[str, object]]:
    """Leave out what stayed, on the plate field by field."""
    names = [name for name in after if after[name] != before[name]]
    old, new = ({name: side[name] for name in names} for side in (before, after))
    if "nameplate" in names:
        keys = sorted({*old["nameplate"], *new["nameplate"]})
        changed = [key for key in keys if old["nameplate"].get(key) != new["nameplate"].get(key)]
        for side in (old, new):
            side["nameplate"] = {key: side["nameplate"].get(key) for key in changed}
    return old, new


def _refuse_unknown(fields: dict[str, object]) -> None:
    if unknown := set(fields) - set(CHANGEABLE):
        raise TypeError(f"not changeable: {sorted(unknown)}")
