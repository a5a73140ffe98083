"""What stands at the head of every paper: job, customer, motor, hold, plate."""

from __future__ import annotations

from typing import TypedDict

from django.utils.translation import gettext as _

from repairs.documents.content.reader import Reader, day_words
from repairs.motors.models import Motor
from repairs.motors.nameplate import shown
from repairs.motors.plate_fields import BY_KEY, FIELDS, GROUPS, STATES
from repairs.work_orders.models import Job, Override, ShopPolicy


def shop_block() -> dict[str, str]:
    """Return the shop's own name and address."""
    row = ShopPolicy.objects.filter(pk=1).values("name", "address").first()
    return {"name": row["name"], "address": row["address"]} if row else {"name": "", "address": ""}


def head(job: Job) -> dict[str, object]:
    """Return whose motor it is and how it came."""
    motor = job.motor
    return {
        "number": job.number,
        "customer": job.customer.name,
        "site": job.site.name if job.site else "",
        "tag": motor.tag,
        "serial": _serial(motor),
        "build": str(motor.get_build_display()),
        "purchase_order": job.purchase_order,
        "opened": day_words(job.opened_at),
        "promised": day_words(job.promised_on),
        "priority": str(job.get_priority_display()) if job.priority != Job.Priority.NORMAL else "",
        "complaint": job.complaint.strip(),
    }


def customer_head(job: Job) -> dict[str, object]:
    """Return what the report prints of the head, and nothing that may change without it: no promise, no priority."""
    printed = ("number", "customer", "site", "tag", "serial", "purchase_order", "opened", "complaint")
    whole = head(job)
    return {name: whole[name] for name in printed}


def _serial(motor: Motor) -> str:
    if motor.serial_state in {"illegible", "missing"}:
        return str(STATES[motor.serial_state])
    return motor.serial or _("unknown")


def hold(job: Job) -> dict[str, str] | None:
    """Return why the job waits, since when and for whom; None when it does not."""
    if not job.on_hold:
        return None
    row = job.holds.filter(released_at__isnull=True).first()
    if row is None:
        return {"waits_for": "", "reason": job.hold_words, "since": day_words(job.hold_since)}
    return {
        "waits_for": str(row.get_waits_for_display()),
        "reason": row.reason,
        "since": day_words(row.since),
    }


class OverrideRow(TypedDict):
    """What two people let pass, for the shop floor."""

    what: str
    reason: str
    facts: list[str]
    by: str
    consent: str


def overrides(job: Job) -> list[OverrideRow]:
    """Return what two people let pass on this job, for the papers of the shop floor; a customer reads none of it."""
    rows: list[OverrideRow] = []
    for one in Override.objects.in_force().of_job(job):
        by = _("{lead}, {second}, {day}").format(
            lead=one.lead_name, second=one.second_name, day=day_words(one.confirmed_at)
        )
        consent = _("customer's consent: {who}, {day}, {how}").format(
            who=one.consent_by, day=day_words(one.consent_on), how=one.consent_how
        )
        rows.append(
            {
                "what": one.words,
                "reason": one.reason,
                "facts": [row["text"] for row in one.reasons],
                "by": by,
                "consent": consent if one.consent_by else "",
            }
        )
    return rows


def short_plate(motor: Motor, reader: Reader) -> list[list[str]]:
    """Return the twelve places that the shop floor asks for; an empty one means that nobody read it."""

    def row(key: str) -> list[str]:
        return [str(BY_KEY[key].label), _plate(motor, key, reader)]

    factor = _plate(motor, "service_factor", reader)
    return [
        row("power_w"),
        [
            _("Volts, amps"),
            _joined(_plate(motor, "voltage_v", reader), _plate(motor, "current_a", reader)),
        ],
        row("rated_speed_rpm"),
        row("frame"),
        [_("Serial no."), _serial(motor)],
        [
            _("Insulation · SF"),
            _joined(
                _plate(motor, "insulation_class", reader),
                _("SF {factor}").format(factor=factor) if factor else "",
            ),
        ],
        row("down_thrust_n"),
        row("up_thrust_n"),
        row("rotor_weight_n"),
        row("non_reverse"),
        [_("Oil"), _oil(motor, reader)],
        [_("Coupling"), _plate(motor, "coupling", reader)],
    ]


def _joined(*words: str) -> str:
    return " · ".join(word for word in words if word)


def _oil(motor: Motor, reader: Reader) -> str:
    grade = _plate(motor, "oil_iso_vg", reader)
    return _joined(
        _("VG {grade}").format(grade=grade) if grade else "", _plate(motor, "oil_capacity_l", reader)
    )


def _plate(motor: Motor, key: str, reader: Reader) -> str:
    return shown(BY_KEY[key], motor.nameplate.get(key), reader.units)


class PlateGroup(TypedDict):
    """One heading of a plate with its labels and values."""

    title: str
    rows: list[list[str]]


def whole_plate(motor: Motor, reader: Reader) -> list[PlateGroup]:
    """Return every field that was asked for, group by group, illegible and missing ones said so."""
    groups: list[PlateGroup] = []
    for group, title in GROUPS:
        rows = [
            [str(field.label), shown(field, motor.nameplate[field.key], reader.units)]
            for field in FIELDS
            if field.group == group and field.key in motor.nameplate
        ]
        if rows:
            groups.append({"title": str(title), "rows": rows})
    return groups
