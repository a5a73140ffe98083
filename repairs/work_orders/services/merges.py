"""Merge two motors, or two customers, that are one; undo it while nothing new stands on it.

What moves are the rows that point at the record: jobs with all that was written in them, motors, sites, contacts. The
merged record stays as it was, marked and out of every list, with its own plate, thrust sheets and history.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db import transaction
from django.db.models import Max, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.customers.models import Contact, Customer, Site
from repairs.ledger.models import Event
from repairs.ledger.services import Actor, record_event
from repairs.motors.duty import duty_of, lubrication_of
from repairs.motors.models import Motor
from repairs.motors.signals import duty_changed
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Job, Merge, StackRecord
from repairs.work_orders.search import index_customer, index_job, index_motor
from repairs.work_orders.signals import jobs_moved

Kind = Merge.Kind
Moved = dict[str, list[list[Any]]]


# Motors


@transaction.atomic
def merge_motors(*, actor: Actor, kept: Motor, merged: Motor, versions: tuple[int, int]) -> Merge:
    """Let the jobs of ``merged`` belong to ``kept``; ``versions`` are those of both that the person saw.

    Refused for two customers, and for two open jobs: one motor cannot be in the shop twice.
    """
    _refuse_role(actor, Permission.MERGE_RECORDS)
    kept, merged = _locked_pair(Motor.objects.select_related("customer"), kept.pk, merged.pk, versions)
    refuse_motors(kept, merged)
    jobs = list(Job.objects.select_for_update().filter(motor=merged).order_by("pk"))
    Job.objects.filter(pk__in=[job.pk for job in jobs]).update(motor=kept)
    _mark(kept, merged)
    index_motor(kept)
    index_motor(merged)
    jobs_moved.send(sender=Motor, motors=(kept, merged))
    moved: Moved = {"jobs": [[job.pk, job.number] for job in jobs]}
    merge = _kept_merge(actor, Kind.MOTOR, kept, merged, moved)
    _judge_again(actor, merge, kept, merged)
    return _with_last_event(merge)


def refuse_motors(kept: Motor, merged: Motor) -> None:
    """Refuse two motors that cannot be one, as far as the rows know."""
    _refuse_same(kept, merged)
    if kept.customer_id != merged.customer_id:
        words = _(
            "{kept} belongs to {owner}, {merged} to {other}. Merge the customers or change the owner first."
        )
        raise WorkOrderError(
            words.format(kept=kept, owner=kept.customer, merged=merged, other=merged.customer)
        )
    opened = Job.objects.open().filter(motor__in=(kept, merged)).order_by("pk")
    by_motor: dict[int, str] = dict(opened.values_list("motor_id", "number"))
    if len(by_motor) > 1:
        numbers = ", ".join(sorted(by_motor.values()))
        words = _("Both motors have an open job: {numbers}. Close or cancel one of the two jobs first.")
        raise WorkOrderError(words.format(numbers=numbers))


def _judge_again(actor: Actor, merge: Merge, now: Motor, before: Motor) -> None:
    """Have stacks that were signed beside the one plate judged again beside the other."""
    signed = StackRecord.objects.signed().filter(job__in=[row[0] for row in merge.moved["jobs"]])
    if _asked_of_bearings(now) != _asked_of_bearings(before) and signed.exists():
        duty_changed.send(sender=Motor, motor=now, actor=actor)


def _asked_of_bearings(motor: Motor) -> tuple[dict[str, object], dict[str, object]]:
    return duty_of(motor), lubrication_of(motor)


# Customers


@transaction.atomic
def merge_customers(*, actor: Actor, kept: Customer, merged: Customer, versions: tuple[int, int]) -> Merge:
    """Let motors, jobs, sites and contacts of ``merged`` belong to ``kept``. Sites of one name become one."""
    _refuse_role(actor, Permission.MERGE_RECORDS)
    kept, merged = _locked_pair(Customer.objects.all(), kept.pk, merged.pk, versions)
    same = _same_sites(kept, merged)
    moved: Moved = {
        "motors": _move(Motor.objects.filter(customer=merged), ("site_id",), kept, same),
        "jobs": _move(Job.objects.filter(customer=merged), ("site_id", "number"), kept, same),
        "contacts": _move(Contact.objects.filter(customer=merged), ("site_id",), kept, same),
    }
    sites = Site.objects.filter(customer=merged).exclude(pk__in=same)
    moved["sites"] = [[pk] for pk in sites.values_list("pk", flat=True)]
    sites.update(customer=kept)
    _mark(kept, merged)
    _index(kept, merged, moved)
    return _with_last_event(_kept_merge(actor, Kind.CUSTOMER, kept, merged, moved))


def _same_sites(kept: Customer, merged: Customer) -> dict[int, int]:
    """Return the sites of the merged customer that the kept one has by the same name."""
    known = {site.name.casefold(): site.pk for site in kept.sites.all()}
    return {
        site.pk: known[site.name.casefold()] for site in merged.sites.all() if site.name.casefold() in known
    }


def _move(
    rows: QuerySet[Any], kept_columns: tuple[str, ...], customer: Customer, same: dict[int, int]
) -> list[list[Any]]:
    """Give rows to a customer, each at the site of the same name; return their keys and what they said."""
    before = [list(row) for row in rows.order_by("pk").values_list("pk", *kept_columns)]
    everyone = rows.model._default_manager.filter(pk__in=[row[0] for row in before])
    everyone.update(customer=customer)
    for old, new in same.items():
        everyone.filter(site_id=old).update(site_id=new)
    return before


def _index(kept: Customer, merged: Customer, moved: Moved) -> None:
    """Keep what is searched by the names of both."""
    index_customer(kept)
    index_customer(merged)
    for motor in Motor.objects.filter(pk__in=[row[0] for row in moved["motors"]]):
        index_motor(motor)
    for job in Job.objects.filter(pk__in=[row[0] for row in moved["jobs"]]):
        index_job(job)


# Both


def _refuse_role(actor: Actor, permission: Permission) -> None:
    if not role_may(actor.role, permission):
        raise WorkOrderError(_("Your role does not allow this."))


def _refuse_same(kept: Any, merged: Any) -> None:
    if kept.pk == merged.pk:
        raise WorkOrderError(_("These are the same record. Choose another one."))
    for one in (kept, merged):
        if one.merged_into_id is not None:
            raise WorkOrderError(_("{name} is already merged.").format(name=one))


def _locked_pair(
    rows: QuerySet[Any], kept_id: int, merged_id: int, versions: tuple[int, int]
) -> tuple[Any, Any]:
    """Return both rows as they are now, locked in one order, so that two merges never wait for each other."""
    locked = rows.select_for_update(of=("self",)).filter(pk__in=(kept_id, merged_id)).order_by("pk")
    found = {row.pk: row for row in locked}
    kept, merged = found[kept_id], found[merged_id]
    _refuse_same(kept, merged)
    if (kept.version, merged.version) != versions:
        raise StaleVersionError(_("Someone changed one of the two. Check both before you merge."))
    return kept, merged


def _mark(kept: Any, merged: Any) -> None:
    model = type(kept)
    model._default_manager.filter(pk=merged.pk).update(merged_into=kept, version=merged.version + 1)
    model._default_manager.filter(pk=kept.pk).update(version=kept.version + 1)
    merged.merged_into = kept


def _kept_merge(actor: Actor, kind: str, kept: Any, merged: Any, moved: Moved) -> Merge:
    merge = Merge.objects.create(
        kind=kind,
        kept_id=kept.pk,
        merged_id=merged.pk,
        kept_name=str(kept)[:160],
        merged_name=str(merged)[:160],
        moved=moved,
        person_id=actor.person_id,
        person_name=actor.name,
    )
    _tell(actor, f"{kind}.merged", kept, merge)
    return merge


def _tell(actor: Actor, verb: str, subject: Any, merge: Merge) -> None:
    """Write the event of the record, and one for each job that changed hands."""
    counts = {name: len(rows) for name, rows in merge.moved.items()}
    after = {
        "name": str(merge),
        "merge": merge.pk,
        "kept": merge.kept_id,
        "merged": merge.merged_id,
        **counts,
    }
    record_event(actor=actor, verb=verb, subject=subject, after=after)
    for row in merge.moved["jobs"]:
        record_event(
            actor=actor,
            verb=verb,
            subject=subject,
            job_number=row[-1],
            after={"name": str(merge), "merge": merge.pk},
        )


def _with_last_event(merge: Merge) -> Merge:
    merge.last_event = Event.objects.aggregate(last=Max("pk"))["last"] or 0
    merge.save(update_fields=["last_event"])
    return merge


# Back again


def stands_on(merge: Merge) -> str:
    """Say what was done since a merge that keeps it from being undone; an empty text when nothing was."""
    model = Motor if merge.kind == Kind.MOTOR else Customer
    kept = model._default_manager.get(pk=merge.kept_id)
    if kept.merged_into_id is not None:
        return _("{name} has since been merged into another record.").format(name=kept)
    later = Event.objects.filter(pk__gt=merge.last_event).order_by("pk")
    numbers = [row[-1] for row in merge.moved["jobs"]]
    motors = [merge.kept_id] if merge.kind == Kind.MOTOR else [row[0] for row in merge.moved["motors"]]
    about = Q(subject_type="motor", subject_id__in=[str(pk) for pk in motors]) | Q(job_number__in=numbers)
    if merge.kind == Kind.CUSTOMER:
        about |= Q(subject_type="customer", subject_id=str(merge.kept_id))
    if event := later.filter(about).first():
        where = event.job_number or str(kept)
        return _("{name} has since worked on {where}.").format(where=where, name=event.actor_name)
    opened = Event.objects.filter(pk__gt=merge.last_event, verb="job.opened").values("job_number")
    if job := Job.objects.filter(motor_id__in=motors, number__in=opened).first():
        return _("Job {number} has since been opened.").format(number=job.number)
    return ""


@transaction.atomic
def undo_merge(*, actor: Actor, merge: Merge) -> Merge:
    """Give everything back as it was, as an administrator, while nothing new stands on the merge."""
    if not role_may(actor.role, Permission.UNDO_MERGES):
        raise WorkOrderError(_("Only an administrator can undo a merge."))
    merge = Merge.objects.select_for_update().get(pk=merge.pk)
    if merge.undone_at is not None:
        raise WorkOrderError(_("This merge is already undone."))
    if words := stands_on(merge):
        raise WorkOrderError(_("This merge can no longer be undone. {reason}").format(reason=words))
    back: dict[str, Callable[[Actor, Merge], None]] = {
        Kind.MOTOR: _motors_back,
        Kind.CUSTOMER: _customers_back,
    }
    back[merge.kind](actor, merge)
    merge.undone_at, merge.undone_by_name = timezone.now(), actor.name
    merge.save(update_fields=["undone_at", "undone_by_name"])
    return merge


def _parted(model: Any, merge: Merge) -> tuple[Any, Any]:
    """Return both records, each on its own again."""
    kept, merged = (model.objects.select_for_update().get(pk=pk) for pk in (merge.kept_id, merge.merged_id))
    for row in (kept, merged):
        model.objects.filter(pk=row.pk).update(version=row.version + 1)
    model.objects.filter(pk=merged.pk).update(merged_into=None)
    merged.merged_into = None
    return kept, merged


def _motors_back(actor: Actor, merge: Merge) -> None:
    kept, merged = _parted(Motor, merge)
    Job.objects.filter(pk__in=[row[0] for row in merge.moved["jobs"]]).update(motor=merged)
    index_motor(kept)
    index_motor(merged)
    jobs_moved.send(sender=Motor, motors=(kept, merged))
    _tell(actor, "merge.undone", kept, merge)
    _judge_again(actor, merge, merged, kept)


def _customers_back(actor: Actor, merge: Merge) -> None:
    kept, merged = _parted(Customer, merge)
    Site.objects.filter(pk__in=[row[0] for row in merge.moved["sites"]]).update(customer=merged)
    for model, name in ((Motor, "motors"), (Job, "jobs"), (Contact, "contacts")):
        for pk, site_id, *_more in merge.moved[name]:
            model._default_manager.filter(pk=pk).update(customer=merged, site_id=site_id)
    _index(kept, merged, merge.moved)
    _tell(actor, "merge.undone", kept, merge)
