"""Open a job while the customer is on the telephone: whoever and whatever is not known yet is made in place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.customers.models import Contact, Customer, Site
from repairs.customers.services import CustomerError, add_contact, add_site, create_customer
from repairs.ledger.services import Actor
from repairs.motors.models import Motor
from repairs.motors.services import create_motor
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job
from repairs.work_orders.services.opening import open_job

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True, kw_only=True)
class NewMotor:
    """A motor that is made with the job."""

    serial: str = ""
    serial_state: str = "read"
    tag: str = ""
    build: str = Motor.Build.VERTICAL_HOLLOW
    site: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewContact:
    """Somebody at the customer's who is made with the job."""

    name: str
    telephone: str = ""


@transaction.atomic
def receive_job(
    *,
    actor: Actor,
    today: date,
    motor: Motor | None = None,
    customer: Customer | None = None,
    customer_name: str = "",
    new_motor: NewMotor | None = None,
    contact: Contact | None = None,
    new_contact: NewContact | None = None,
    **paperwork: Any,
) -> Job:
    """Open a job for a known or a new motor of a known or a new customer; all of it or nothing."""
    owner = motor.customer if motor is not None else customer
    if owner is None:
        if not customer_name.strip():
            raise WorkOrderError(_("Choose a customer, or enter a new customer's name."), "customer_name")
        owner = _made("customer_name", lambda: create_customer(actor=actor, name=customer_name))
    if motor is None:
        motor = _new_motor(actor, owner, new_motor or NewMotor())
    if contact is not None and contact.customer_id != owner.pk:
        raise WorkOrderError(_("This contact belongs to another customer."), "contact")
    if new_contact is not None:
        name, telephone = new_contact.name, new_contact.telephone
        contact = _made(
            "contact_name",
            lambda: add_contact(actor=actor, customer=owner, name=name, telephone=telephone),
        )
    return open_job(
        actor=actor, motor=motor, customer=owner, site=motor.site, contact=contact, today=today, **paperwork
    )


def _new_motor(actor: Actor, owner: Customer, new: NewMotor) -> Motor:
    return create_motor(
        actor=actor,
        customer=owner,
        serial=new.serial,
        serial_state=new.serial_state,
        tag=new.tag,
        build=new.build,
        site=_site(actor, owner, new.site),
    )


def _site(actor: Actor, owner: Customer, name: str) -> Site | None:
    words = " ".join(name.split())
    if not words:
        return None
    known = Site.objects.filter(customer=owner, name__iexact=words).first()
    return known or _made("site", lambda: add_site(actor=actor, customer=owner, name=words))


def _made(field: str, make: Callable[[], Made]) -> Made:
    """Make a row; what its own rules refuse is said beside the field of this form."""
    try:
        return make()
    except CustomerError as error:
        raise WorkOrderError(str(error), field) from error
