"""Put motors and earlier jobs into words, for the pages of customers and motors."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from repairs.motors.models import Motor
from repairs.office.addresses import customer_address, job_address, motor_address
from repairs.office.short_words import day_words, plate_words
from repairs.work_orders.models import Job


def motor_rows(motors: Iterable[Mapping[str, Any]], units: str) -> list[dict[str, object]]:
    """Return motors as the lists show them."""
    builds = dict(Motor.Build.choices)
    return [
        {
            "url": motor_address(row["pk"]),
            "name": row["tag"] or row["serial"] or _("no tag"),
            "serial": row["serial"] if row["tag"] else "",
            "customer": row["customer__name"],
            "customer_url": customer_address(row["customer_id"]),
            "site": row["site__name"] or "",
            "build": builds.get(row["build"], row["build"]),
            "plate": plate_words(row["nameplate__power_w__si"], row["nameplate__rated_speed_rpm__si"], units),
            "jobs": row["job_count"],
            "open": row["open_job"] or "",
            "open_url": job_address(row["open_job"]) if row["open_job"] else "",
        }
        for row in motors
    ]


def job_rows(jobs: Iterable[Mapping[str, Any]]) -> list[dict[str, object]]:
    """Return earlier and open jobs as the pages of motors and customers show them."""
    states = dict(Job.State.choices)
    return [
        {
            "number": row["number"],
            "url": job_address(row["number"]),
            "motor": row["motor__tag"] or row["motor__serial"] or _("no tag"),
            "motor_url": motor_address(row["motor_id"]),
            "complaint": row["complaint"],
            "opened": day_words(row["opened_at"]),
            "closed": day_words(row["closed_at"]),
            "order": row["purchase_order"],
            "is_open": row["state"] == Job.State.OPEN,
            "state": (row["step_title"] or _("all steps done"))
            if row["state"] == Job.State.OPEN
            else capfirst(str(states[row["state"]])),
        }
        for row in jobs
    ]
