"""Add and change customers, their sites and their contacts. A customer's version guards all three."""

from __future__ import annotations

from typing import Any, Final, TypeVar

from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from django.utils.translation import gettext as _

from repairs.customers.models import Contact, Customer, Site
from repairs.ledger.services import Actor, record_event

CUSTOMER_FIELDS: Final = ("name", "address", "note", "report_language", "report_units", "paper")
SITE_FIELDS: Final = ("name", "address")
CONTACT_FIELDS: Final = ("name", "role", "telephone", "email", "site")


class CustomerError(Exception):
    """A rule forbids this change. ``field`` names the form's field when there is one."""

    def __init__(self, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.field = field


class StaleCustomerError(CustomerError):
    """Somebody else changed this customer meanwhile."""


@transaction.atomic
def create_customer(*, actor: Actor, **fields: Any) -> Customer:
    """Add a customer; two cannot have one name, however it is written."""
    _refuse_unknown(fields, CUSTOMER_FIELDS)
    customer = Customer(**fields)
    _check_name(customer)
    _saved(customer)
    record_event(actor=actor, verb="customer.added", subject=customer, after=_told(customer, CUSTOMER_FIELDS))
    return customer


@transaction.atomic
def change_customer(*, actor: Actor, customer: Customer, version: int, **fields: Any) -> Customer:
    """Change a customer, unless somebody did so since it was shown."""
    _refuse_unknown(fields, CUSTOMER_FIELDS)
    customer = _locked(customer, version)
    before = _told(customer, tuple(fields))
    for name, value in fields.items():
        setattr(customer, name, value)
    _check_name(customer)
    _raise_version(customer)
    after = _told(customer, tuple(fields))
    if after != before:
        record_event(actor=actor, verb="customer.changed", subject=customer, before=before, after=after)
    return customer


@transaction.atomic
def add_site(*, actor: Actor, customer: Customer, name: str, address: str = "") -> Site:
    """Add a place of a customer's."""
    customer = Customer.objects.select_for_update().get(pk=customer.pk)
    site = Site(customer=customer, name=name, address=address)
    _check_site_name(site)
    _saved(site)
    _raise_version(customer)
    record_event(
        actor=actor,
        verb="site.added",
        subject=site,
        after={"customer": customer.name, **_told(site, SITE_FIELDS)},
    )
    return site


@transaction.atomic
def change_site(*, actor: Actor, site: Site, version: int, **fields: Any) -> Site:
    """Change a site; ``version`` is the customer's."""
    _refuse_unknown(fields, SITE_FIELDS)
    return _change_part(
        actor, Site.objects.select_related("customer").get(pk=site.pk), version, fields, "site.changed"
    )


@transaction.atomic
def add_contact(*, actor: Actor, customer: Customer, name: str, **fields: Any) -> Contact:
    """Add a person at the customer's."""
    _refuse_unknown(fields, CONTACT_FIELDS)
    customer = Customer.objects.select_for_update().get(pk=customer.pk)
    contact = Contact(customer=customer, name=name, **fields)
    _check_contact_site(contact)
    _saved(contact)
    _raise_version(customer)
    told = {"customer": customer.name, **_told(contact, CONTACT_FIELDS)}
    record_event(actor=actor, verb="contact.added", subject=contact, after=told)
    return contact


@transaction.atomic
def change_contact(*, actor: Actor, contact: Contact, version: int, **fields: Any) -> Contact:
    """Change a contact; ``version`` is the customer's."""
    _refuse_unknown(fields, CONTACT_FIELDS)
    fresh = Contact.objects.select_related("customer", "site").get(pk=contact.pk)
    return _change_part(actor, fresh, version, fields, "contact.changed")


PartRow = TypeVar("PartRow", Site, Contact)


def _change_part(actor: Actor, part: PartRow, version: int, fields: dict[str, object], verb: str) -> PartRow:
    customer = _locked(part.customer, version)
    before = _told(part, tuple(fields))
    for name, value in fields.items():
        setattr(part, name, value)
    if isinstance(part, Site):
        _check_site_name(part)
    else:
        _check_contact_site(part)
    _saved(part)
    _raise_version(customer)
    after = _told(part, tuple(fields))
    if after != before:
        record_event(actor=actor, verb=verb, subject=part, before=before, after=after)
    return part


def _locked(customer: Customer, version: int) -> Customer:
    customer = Customer.objects.select_for_update().get(pk=customer.pk)
    if customer.merged_into_id is not None:
        raise CustomerError(_("This customer was merged into another record. Change that record instead."))
    if customer.version != version:
        raise StaleCustomerError(_("Someone else changed this customer. Compare both before you save."))
    return customer


def _raise_version(customer: Customer) -> None:
    customer.version += 1
    _saved(customer)


def _saved(row: models.Model) -> None:
    try:
        row.full_clean()
    except ValidationError as error:
        field, texts = next(iter(error.message_dict.items()))
        raise CustomerError(" ".join(texts), field if field != "__all__" else "name") from error
    try:
        with transaction.atomic():
            row.save()
    except IntegrityError as error:
        # Somebody else saved the same name between the look and this writing.
        raise CustomerError(
            _("Someone just added this name. Use that customer, or change the name."), "name"
        ) from error


def _check_name(customer: Customer) -> None:
    customer.name = " ".join(customer.name.split())
    same = Customer.objects.filter(name__iexact=customer.name).exclude(pk=customer.pk)
    if (found := same.select_related("merged_into").first()) is None:
        return
    if found.merged_into is not None:
        words = _("“{name}” was merged into “{kept}”. Use that customer, or choose another name.")
        raise CustomerError(words.format(name=customer.name, kept=found.merged_into), "name")
    raise CustomerError(
        _("“{name}” is already in the list. Use that customer, or choose another name.").format(
            name=customer.name
        ),
        "name",
    )


def _check_site_name(site: Site) -> None:
    site.name = " ".join(site.name.split())
    others = Site.objects.filter(customer_id=site.customer_id, name__iexact=site.name).exclude(pk=site.pk)
    if others.exists():
        raise CustomerError(_("This customer already has a site “{name}”.").format(name=site.name), "name")


def _check_contact_site(contact: Contact) -> None:
    if contact.site is not None and contact.site.customer_id != contact.customer_id:
        raise CustomerError(_("This site belongs to another customer."), "site")


def _told(row: models.Model, names: tuple[str, ...]) -> dict[str, object]:
    """Return fields as the ledger keeps them; a row is told by its name."""
    return {
        name: str(value) if isinstance(value := getattr(row, name), models.Model) else value for name in names
    }


def _refuse_unknown(fields: dict[str, object], known: tuple[str, ...]) -> None:
    if unknown := set(fields) - set(known):
        raise TypeError(f"not changeable: {sorted(unknown)}")
