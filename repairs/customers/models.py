"""Customers, where their motors stand, and whom to call."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _


class CustomerQuerySet(models.QuerySet["Customer"]):
    def current(self) -> CustomerQuerySet:
        """Customers without those that turned out to be another one of the list."""
        return self.filter(merged_into__isnull=True)

    def called(self, typed: str) -> CustomerQuerySet:
        """Customers whose name holds what was typed; all of them when nothing was."""
        return self.filter(name__icontains=typed.strip()) if typed.strip() else self


class Customer(models.Model):
    """Who sends motors in and pays for the repair."""

    class Paper(models.TextChoices):
        LETTER = "letter", _("US Letter")
        A4 = "a4", _("A4")

    name = models.CharField(_("name"), max_length=120)
    address = models.TextField(_("address"), blank=True, max_length=500)
    note = models.TextField(_("note"), blank=True, max_length=2000)
    report_language = models.CharField(_("language of the report"), max_length=8, default="en")
    report_units = models.CharField(
        _("units of the report"),
        max_length=2,
        default="us",
        choices=[("us", _("US customary")), ("si", _("SI"))],
    )
    paper = models.CharField(_("paper"), max_length=8, choices=Paper.choices, default=Paper.LETTER)
    merged_into = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, editable=False, related_name="merged"
    )
    version = models.PositiveIntegerField(default=1)

    objects = CustomerQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["name"], name="customer_name_once")]

    def __str__(self) -> str:
        return self.name


class Site(models.Model):
    """A place of a customer's where motors run."""

    customer = models.ForeignKey(Customer, models.PROTECT, related_name="sites")
    name = models.CharField(_("site"), max_length=120)
    address = models.TextField(_("address"), blank=True, max_length=500)

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["customer", "name"], name="site_once_per_customer")]

    def __str__(self) -> str:
        return self.name


class Contact(models.Model):
    """A person at the customer's."""

    customer = models.ForeignKey(Customer, models.PROTECT, related_name="contacts")
    site = models.ForeignKey(Site, models.PROTECT, null=True, blank=True, related_name="contacts")
    name = models.CharField(_("name"), max_length=120)
    role = models.CharField(_("what they do"), max_length=120, blank=True)
    telephone = models.CharField(_("telephone"), max_length=60, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name
