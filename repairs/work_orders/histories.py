"""What the jobs tell of a customer or a motor: how many are open, what was done before."""

from __future__ import annotations

from typing import Any, Final

from django.db.models import Count, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce

from repairs.customers.models import Customer
from repairs.motors.models import Motor
from repairs.work_orders.models import Job

SHOWN: Final = 50
JOB_COLUMNS: Final = (
    "number", "state", "step_title", "complaint", "opened_at", "closed_at", "promised_on", "purchase_order",
    "motor_id", "motor__tag", "motor__serial", "alert_severity",
)  # fmt: skip


def _counted(rows: QuerySet[Any], owner: str) -> Coalesce:
    """Count rows of one owner beside the query, so that two counts never multiply each other."""
    counted = rows.filter(**{owner: OuterRef("pk")}).order_by().values(owner).annotate(n=Count("pk"))
    return Coalesce(Subquery(counted.values("n")), 0)


def customers_counted(typed: str) -> QuerySet[Any, Any]:
    """Return customers by name, with how many motors and open jobs they have."""
    return (
        Customer.objects.current()
        .called(typed)
        .order_by("name")
        .values("pk", "name")
        .annotate(
            motor_count=_counted(Motor.objects.current(), "customer_id"),
            open_count=_counted(Job.objects.open(), "customer_id"),
        )
    )


def motors_counted(typed: str, customer_id: int | None = None) -> QuerySet[Any, Any]:
    """Return motors, newest first, with how often they were here and the job that is open."""
    motors = Motor.objects.current().called(typed)
    if customer_id is not None:
        motors = motors.filter(customer_id=customer_id)
    opened = Job.objects.open().filter(motor_id=OuterRef("pk")).order_by("-id")
    return (
        motors.order_by("-pk")
        .values(
            "pk",
            "tag",
            "serial",
            "build",
            "customer_id",
            "customer__name",
            "site__name",
            "nameplate__power_w__si",
            "nameplate__rated_speed_rpm__si",
        )
        .annotate(
            job_count=_counted(Job.objects.all(), "motor_id"), open_job=Subquery(opened.values("number")[:1])
        )
    )


def jobs_of_motor(motor: Motor) -> list[dict[str, object]]:
    """Return a motor's jobs, newest first, in one query."""
    return list(Job.objects.filter(motor=motor).order_by("-id").values(*JOB_COLUMNS)[:SHOWN])


def jobs_of_customer(customer: Customer) -> list[dict[str, object]]:
    """Return a customer's jobs, open ones first, then the newest, in one query."""
    jobs = Job.objects.filter(customer=customer).order_by("-state", "-id")
    return list(jobs.values(*JOB_COLUMNS)[:SHOWN])
