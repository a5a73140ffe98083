"""Follow customers, sites and motors: they lie below the jobs and do not know that jobs are searched by them."""

from __future__ import annotations

from typing import Any

from django.db.models.signals import post_save

from repairs.customers.models import Customer, Site
from repairs.motors.models import Motor
from repairs.work_orders.search import index_customer, index_motor


def connect() -> None:
    """Begin to follow; the index is written in the transaction that saved the row."""
    post_save.connect(_customer_saved, sender=Customer, dispatch_uid="search.customer")
    post_save.connect(_site_saved, sender=Site, dispatch_uid="search.site")
    post_save.connect(_motor_saved, sender=Motor, dispatch_uid="search.motor")


def _customer_saved(sender: type[Customer], instance: Customer, raw: bool, **_more: Any) -> None:
    if not raw:
        index_customer(instance)


def _site_saved(sender: type[Site], instance: Site, raw: bool, **_more: Any) -> None:
    if not raw:
        index_customer(instance.customer)


def _motor_saved(sender: type[Motor], instance: Motor, raw: bool, **_more: Any) -> None:
    if not raw:
        index_motor(instance)
