"""Take the measurements of a seat down, sign them, correct them, and let a failed seat pass with a reason."""

from __future__ import annotations

from typing import Final

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.measurements.models import Reading, SeatRecord
from repairs.measurements.seat_doubts import seat_doubts
from repairs.measurements.seat_judging import SeatEntry, figures_of, judge_entry
from repairs.measurements.seat_words import seat_name
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.entry_origin import note_origin, tell_signers
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import Job, Step
from repairs.work_orders.open_job import lock_open_job

_SAID: Final = (
    "place", "moment", "name", "nominal_mm", "unit", "tolerance_class", "limits_source", "instrument", "gauge",
    "part_c", "material", "ring_typed", "ring_mm", "note", "confirmed",
)  # fmt: skip


@transaction.atomic
def record_seat(
    *, actor: Actor, job: Job, entry: SeatEntry, step: Step | None = None, sign: bool = False
) -> SeatRecord:
    """Begin the record of a seat; signed at once where it is complete enough for its author."""
    job = lock_open_job(job)
    seat = SeatRecord(job=job, step=step, person_id=actor.person_id, person_name=actor.name)
    _fill(seat, entry)
    unsigned = SeatRecord.objects.filter(
        job=job, moment=seat.moment, place=seat.place, name=seat.name, bearing_ref=seat.bearing_ref
    ).filter(signed_at__isnull=True)
    if other := unsigned.first():
        words = _("{person} started measuring this seat and has not signed it. Continue that record.")
        raise WorkOrderError(words.format(person=other.person_name))
    late = note_origin(seat, actor=actor, step=step)
    kept = _keep(actor, seat, "seat.recorded", sign=sign)
    if late and step is not None:
        words = _("Seat {name}: {verdict}").format(name=seat_name(kept), verdict=kept.get_verdict_display())
        tell_signers(actor=actor, step=step, words=words)
    return kept


@transaction.atomic
def change_seat(
    *, actor: Actor, seat: SeatRecord, version: int, entry: SeatEntry, sign: bool = False
) -> SeatRecord:
    """Go on with a record that is not signed yet, unless somebody changed it since it was shown."""
    lock_open_job(seat.job_id)
    now = SeatRecord.objects.select_for_update().select_related("job").get(pk=seat.pk)
    if now.version != version:
        raise StaleVersionError(_("Someone else changed this seat. Check it before you save."))
    if now.is_signed:
        raise WorkOrderError(_("This seat is signed. Make a correction with a reason."))
    if now.person_id != actor.person_id and not entry.zeroed:
        words = _(
            "{person} started this sheet. Re-zero the gauge on its master and check the box "
            "before you continue."
        )
        raise WorkOrderError(words.format(person=now.person_name), "zeroed")
    before = _told(now)
    now.person_id, now.person_name = actor.person_id, actor.name
    now.version += 1
    _fill(now, entry)
    return _keep(actor, now, "seat.changed", sign=sign, before=before)


@transaction.atomic
def correct_seat(*, actor: Actor, seat: SeatRecord, entry: SeatEntry, reason: str) -> SeatRecord:
    """Sign the record that takes another one's place. The first stays readable."""
    if not reason.strip():
        raise WorkOrderError(_("Enter why the seat is corrected."), "reason")
    job = lock_open_job(seat.job_id)
    if not seat.is_signed:
        raise WorkOrderError(_("This seat is not signed yet. Edit it directly."))
    if SeatRecord.objects.filter(replaces=seat).exists():
        raise WorkOrderError(_("This seat was already corrected. Correct the newer record."))
    newer = SeatRecord(
        job=job, step=seat.step, person_id=actor.person_id, person_name=actor.name, replaces=seat
    )
    _fill(newer, entry)
    newer.reason = reason.strip()
    note_origin(newer, actor=actor)
    return _keep(actor, newer, "seat.corrected", sign=True, before=_told(seat))


@transaction.atomic
def accept_seat(*, actor: Actor, seat: SeatRecord, reason: str) -> SeatRecord:
    """Let a seat that failed be used as it is, for a reason that prints on the papers."""
    if not role_may(actor.role, Permission.OVERRIDE_GATES):
        raise WorkOrderError(_("Only a lead can accept a failed seat."))
    if not reason.strip():
        raise WorkOrderError(_("Enter why this seat can be used as is."), "reason")
    lock_open_job(seat.job_id)
    now = SeatRecord.objects.select_for_update().select_related("job").get(pk=seat.pk)
    if not now.is_signed or now.verdict == Reading.Verdict.PASS:
        raise WorkOrderError(_("Only a signed seat that did not pass can be accepted."))
    if now.accepted_at is not None:
        raise WorkOrderError(_("This seat is already accepted."))
    now.accepted_at, now.accepted_name = timezone.now(), actor.name
    now.accepted_reason = reason.strip()
    now.version += 1
    _check(now)
    now.save()
    record_event(
        actor=actor,
        verb="seat.accepted",
        subject=now,
        job_number=now.job.number,
        after=_told(now),
        reason=now.accepted_reason,
    )
    return now


def judged_seat(entry: SeatEntry) -> SeatRecord:
    """Return what a record of this entry would say, without keeping anything; a wrong zone is refused."""
    seat = SeatRecord()
    _write(seat, entry)
    return seat


def _fill(seat: SeatRecord, entry: SeatEntry) -> None:
    """Write an entry with its verdict to a record; what is unlikely must have been looked at again."""
    doubts = seat_doubts(entry)
    if doubts and not entry.confirmed:
        raise WorkOrderError(" ".join(doubts), "confirmed")
    if (entry.zone or entry.low_mm is not None) and not entry.limits_source.strip():
        words = _("Enter the drawing or PO the limits come from.")
        raise WorkOrderError(words, "limits_source")
    _write(seat, entry)


def _write(seat: SeatRecord, entry: SeatEntry) -> None:
    judged = judge_entry(entry)
    for name in _SAID:
        value = getattr(entry, name)
        setattr(seat, name, value.strip() if isinstance(value, str) else value)
    seat.bearing = dict(entry.bearing)
    seat.bearing_ref = str(entry.bearing.get("ref", ""))
    seat.typed = [list(plane) for plane in entry.typed]
    seat.planes_mm = [[None if size is None else str(size) for size in plane] for plane in entry.planes_mm]
    seat.zone, seat.limits_from = judged.held.zone, judged.held.origin
    seat.low_mm, seat.high_mm = judged.held.low_mm, judged.held.high_mm
    seat.verdict = judged.result.verdict
    seat.figures = figures_of(judged, entry.nominal_mm)


def _check(seat: SeatRecord) -> None:
    """Refuse a row with the first field that is wrong, in words."""
    try:
        seat.full_clean(exclude=["replaces"], validate_constraints=False)
    except ValidationError as error:
        name, texts = next(iter(error.message_dict.items()))
        raise WorkOrderError(" ".join(texts), None if name == "__all__" else name) from error


def _keep(
    actor: Actor, seat: SeatRecord, verb: str, *, sign: bool, before: dict[str, object] | None = None
) -> SeatRecord:
    if sign:
        if not seat.instrument:
            raise WorkOrderError(_("Enter the instrument, so the reading can be traced."), "instrument")
        if not any(size for plane in seat.planes_mm for size in plane):
            raise WorkOrderError(_("No readings yet. Enter what the gauge shows."))
        seat.signed_at, seat.signed_name = timezone.now(), actor.name
    _check(seat)
    seat.save()
    record_event(
        actor=actor,
        verb=verb,
        subject=seat,
        job_number=seat.job.number,
        before=before,
        after=_told(seat),
        reason=seat.reason,
    )
    return seat


def _told(seat: SeatRecord) -> dict[str, object]:
    """Return what the ledger keeps of a seat."""
    return {
        "name": seat_name(seat),
        "moment": seat.moment,
        "readings": seat.typed,
        "unit": seat.unit,
        "limits": [str(x) if x is not None else None for x in (seat.low_mm, seat.high_mm)],
        "zone": seat.zone,
        "source": f"{seat.limits_from} {seat.limits_source}".strip(),
        "verdict": seat.verdict,
        "signed": seat.signed_name,
    }
