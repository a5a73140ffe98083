"""Build the invented shop: every row through the same services that the pages use."""

from __future__ import annotations

from django.db import transaction

from repairs.ledger.transactions import alone_on_the_database
from repairs.management.shop.book import write_book
from repairs.management.shop.editions import open_jobs_of_the_older_edition
from repairs.management.shop.jobs import open_jobs
from repairs.management.shop.motors import write_customers, write_motors
from repairs.management.shop.people import hire_people
from repairs.management.shop.shipping import write_limits
from repairs.management.shop.thrust import write_thrust_sheets
from repairs.work_orders.models import ShopPolicy
from repairs.work_orders.services.standard_routes import write_templates


def build_shop() -> None:
    """Make people, policy, route templates, bearing book, customers, motors and jobs; all or nothing."""
    with alone_on_the_database(), transaction.atomic():
        _build()


def _build() -> None:
    actors = hire_people()
    ShopPolicy.objects.update_or_create(
        pk=1,
        defaults={"name": "Tall Motor Works (invented)", "address": "1 Gauge Street, Nowhere", "limits": {}},
    )
    templates = write_templates(actors["admin"])
    ratings = write_book()
    customers = write_customers(actors["office"])
    motors = write_motors(actors["office"], customers)
    write_thrust_sheets(actors["engineer"], motors)
    write_limits(actors["lead"])
    open_jobs(actors, motors, ratings, templates)
    vertical = templates["Vertical motor, thrust bearings"]
    open_jobs_of_the_older_edition(actors, motors, ratings, vertical)
