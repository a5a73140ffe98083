"""What the pages of a merge show: likely others, both sides, what moves, and merges that were made."""

from __future__ import annotations

from typing import Any, Final

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from repairs.customers.models import Customer
from repairs.edge.names import number_key
from repairs.motors.models import Motor
from repairs.office.addresses import customer_address, motor_address
from repairs.office.short_words import day_words
from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.models import Job, Merge
from repairs.work_orders.services.merges import stands_on

CANDIDATES_SHOWN: Final = 20
NUMBERS_SHOWN: Final = 20


def candidates(kept: Motor | Customer, typed: str) -> list[dict[str, object]]:
    """Return records that may be the same one: of a motor those with its serial number first, then what is typed."""
    rows: QuerySet[Any]
    if isinstance(kept, Motor):
        rows = Motor.objects.current().with_owner()
        rows = rows.called(typed) if typed.strip() else rows.with_serial(kept.serial)
        rows = rows.filter(customer_id=kept.customer_id).exclude(pk=kept.pk).order_by("-pk")
        return [_motor_row(one) for one in rows[:CANDIDATES_SHOWN]]
    first = kept.name.split()[0] if kept.name.split() else ""
    rows = Customer.objects.current().called(typed or first).exclude(pk=kept.pk).order_by("name")
    return [{"pk": one.pk, "name": one.name, "words": one.address} for one in rows[:CANDIDATES_SHOWN]]


def _motor_row(motor: Motor) -> dict[str, object]:
    words = [motor.serial if motor.tag else "", str(motor.site or "")]
    return {"pk": motor.pk, "name": str(motor), "words": " · ".join(word for word in words if word)}


def both_sides(kept: Motor | Customer, merged: Motor | Customer) -> list[tuple[str, str, str, bool]]:
    """Return label, kept and merged of what tells the two apart, and whether it says that they are not the same."""
    telling = {_("Serial no."), _("Motor type"), _("Customer"), _("Customer's tag"), _("Name")}
    return [
        (label, one, other, label in telling and bool(one and other) and number_key(one) != number_key(other))
        for (label, one), (_same, other) in zip(_facts(kept), _facts(merged), strict=True)
    ]


def _facts(row: Motor | Customer) -> list[tuple[str, str]]:
    jobs = row.jobs.order_by("-pk")
    opened = ", ".join(jobs.open().values_list("number", flat=True))
    if isinstance(row, Motor):
        plate = [entry for entry in row.nameplate.values() if entry.get("state") in {"read", "inferred"}]
        return [
            (_("Customer's tag"), row.tag),
            (_("Serial no."), row.serial),
            (_("Customer"), str(row.customer)),
            (_("Site"), str(row.site or "")),
            (_("Motor type"), str(row.get_build_display())),
            (_("Nameplate fields entered"), str(len(plate))),
            (_("Thrust sheets"), str(row.thrust_sheets.count())),
            (_("Jobs"), str(jobs.count())),
            (_("Open job"), opened),
        ]
    return [
        (_("Name"), row.name),
        (_("Address"), row.address),
        (_("Sites"), ", ".join(row.sites.values_list("name", flat=True))),
        (_("Contacts"), ", ".join(row.contacts.values_list("name", flat=True))),
        (_("Motors"), str(row.motors.current().count())),
        (_("Jobs"), str(jobs.count())),
        (_("Open job"), opened),
    ]


def moving(merged: Motor | Customer) -> list[tuple[str, str]]:
    """Return what changes hands, in words."""
    rows = [(_("Jobs with readings, photos, stacks and documents"), _numbers(merged.jobs.order_by("-pk")))]
    if isinstance(merged, Customer):
        motors = [str(one) for one in merged.motors.order_by("pk")[: NUMBERS_SHOWN + 1]]
        rows += [
            (_("Motors"), _listed(motors)),
            (_("Sites"), _listed([site.name for site in merged.sites.all()])),
            (_("Contacts"), _listed([one.name for one in merged.contacts.all()])),
        ]
    return rows


def _numbers(jobs: QuerySet[Job]) -> str:
    return _listed(list(jobs.values_list("number", flat=True)[: NUMBERS_SHOWN + 1]))


def _listed(names: list[str]) -> str:
    if not names:
        return _("none")
    shown = ", ".join(names[:NUMBERS_SHOWN])
    return _("{names} and more").format(names=shown) if len(names) > NUMBERS_SHOWN else shown


def merge_rows(kind: str, pk: int, reader: User) -> list[dict[str, object]]:
    """Return the merges into a record. The newest has a way back, or says why not; the others stand under it."""
    merges = list(Merge.objects.of(kind, pk))
    rows = [
        {
            "pk": merge.pk,
            "name": merge.merged_name,
            "url": _url(kind, merge.merged_id),
            "by": merge.person_name,
            "on": day_words(merge.at),
            "may_undo": False,
            "stays": "",
        }
        for merge in merges
    ]
    if rows and reader.may(Permission.UNDO_MERGES):
        stays = stands_on(merges[0])
        rows[0] |= {"may_undo": not stays, "stays": stays}
    return rows


def _url(kind: str, pk: int) -> str:
    return motor_address(pk) if kind == Merge.Kind.MOTOR else customer_address(pk)


def merge_context(kind: str, row: Motor | Customer, reader: User) -> dict[str, object]:
    """Return what ``office/_merges.html`` shows on the page of a record."""
    into = row.merged_into
    return {
        "merged_into": {"name": str(into), "url": _url(kind, into.pk)} if into else None,
        "merges": merge_rows(kind, row.pk, reader),
        "may_merge": into is None and reader.may(Permission.MERGE_RECORDS),
    }
