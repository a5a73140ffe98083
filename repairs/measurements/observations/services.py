"""Keep what was seen on a part, correct it, withdraw it. The mode is what one sees; the cause needs evidence."""

from __future__ import annotations

from dataclasses import dataclass, fields
from decimal import Decimal

from django.db import transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.measurements.engineering.tables.damage_modes import BY_CODE, NONE, is_damage
from repairs.measurements.models import Observation
from repairs.measurements.observations.parts import StackPart, is_bearing, item_name, stack_parts
from repairs.measurements.words.damage import mode_words
from repairs.work_orders.entry_origin import note_origin, tell_signers
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job, JobPhoto, Stage, Step
from repairs.work_orders.open_job import lock_open_job


@dataclass(frozen=True, slots=True, kw_only=True)
class ObservationEntry:
    """What a person entered of one part. ``part`` is the uid of an item of the stack as found, else ``part_name``."""

    part: str = ""
    part_name: str = ""
    mode: str = ""
    element: str = ""
    load_zone_deg: Decimal | None = None
    location: str = ""
    extent: str = ""
    photo: int | None = None
    confidence: str = ""
    note: str = ""
    cause: str = ""
    cause_evidence: str = ""
    cause_confidence: str = ""
    mounted_by_us: str = ""


# Kept as they were entered; part and photo are looked up first.
_TEXTS = tuple(
    one.name for one in fields(ObservationEntry) if one.name not in {"part", "photo", "load_zone_deg"}
)


@transaction.atomic
def record_observation(
    *, actor: Actor, job: Job, entry: ObservationEntry, step: Step | None = None
) -> Observation:
    """Keep what was seen on one part."""
    job = lock_open_job(job)
    row = _filled(job, entry, None)
    row.step = step
    late = note_origin(row, actor=actor, step=step)
    kept = _keep(actor, row, "observation.recorded")
    if late and step is not None:
        tell_signers(actor=actor, step=step, words=_told_in_one(kept))
    return kept


@transaction.atomic
def correct_observation(
    *, actor: Actor, observation: Observation, entry: ObservationEntry, reason: str
) -> Observation:
    """Keep the row that takes another one's place. The first stays readable."""
    job = _open_for_correction(observation, reason)
    row = _filled(job, entry, observation)
    row.step, row.replaces, row.reason = observation.step, observation, reason.strip()
    note_origin(row, actor=actor)
    return _keep(actor, row, "observation.corrected", before=_told(observation))


@transaction.atomic
def withdraw_observation(*, actor: Actor, observation: Observation, reason: str) -> Observation:
    """Take an observation that is not of this motor off its papers, by a row that says why."""
    job = _open_for_correction(observation, reason)
    row = Observation(job=job, replaces=observation, reason=reason.strip(), withdrawn=True)
    for name in (
        *_TEXTS,
        "step",
        "stack_record",
        "item_uid",
        "item",
        "designation",
        "edition",
        "load_zone_deg",
        "photo",
    ):
        setattr(row, name, getattr(observation, name))
    note_origin(row, actor=actor)
    return _keep(actor, row, "observation.withdrawn", before=_told(observation))


def _open_for_correction(observation: Observation, reason: str) -> Job:
    if not reason.strip():
        raise WorkOrderError(_("Enter why the observation is changed."), "reason")
    job = lock_open_job(observation.job_id)
    if Observation.objects.filter(replaces=observation).exists():
        raise WorkOrderError(_("This observation was already corrected. Correct the newer one."))
    return job


def _filled(job: Job, entry: ObservationEntry, before: Observation | None) -> Observation:
    """Return a row of an entry, or refuse it with the field that is wrong."""
    row = Observation(job=job)
    for name in _TEXTS:
        setattr(row, name, getattr(entry, name).strip())
    row.load_zone_deg = entry.load_zone_deg
    _name_part(row, job, entry, before)
    _refuse_mode(row)
    _refuse_place(row)
    _refuse_cause(row)
    row.photo = _photo(job, entry.photo)
    return row


def _name_part(row: Observation, job: Job, entry: ObservationEntry, before: Observation | None) -> None:
    """Key the row to an item of the stack as found; one that is no longer on the list stays with its correction."""
    if not entry.part:
        if not row.part_name:
            raise WorkOrderError(_("Choose a part of the stack, or enter the part's name."), "part_name")
        return
    row.part_name = ""
    found = next((part for part in stack_parts(job) if part.uid == entry.part), None)
    if found is None and before is not None and before.item_uid == entry.part:
        for name in ("stack_record", "item_uid", "item", "designation", "edition"):
            setattr(row, name, getattr(before, name))
        return
    if found is None:
        raise WorkOrderError(_("This part is not in the stack as found. Choose one from the list."), "part")
    _key_to(row, found)


def _key_to(row: Observation, part: StackPart) -> None:
    row.stack_record, row.item_uid, row.item = part.record, part.uid, dict(part.item)
    if part.is_bearing:
        row.designation = str(part.item.get("designation", ""))[:80]
        row.edition = str(part.item.get("source", ""))[:200]


def _refuse_mode(row: Observation) -> None:
    if row.mode not in BY_CODE:
        raise WorkOrderError(_("Choose what you see from the list."), "mode")
    if row.confidence not in Observation.Confidence.values:
        raise WorkOrderError(_("Choose how sure you are: certain, likely or possible."), "confidence")
    if row.mode == NONE and (row.extent or row.cause or row.cause_evidence):
        raise WorkOrderError(
            _("No damage found has no extent and no cause. Clear them, or choose the damage."), "mode"
        )


def _refuse_place(row: Observation) -> None:
    if row.element and row.element not in Observation.Element.values:
        raise WorkOrderError(_("Choose where on the part from the list."), "element")
    if row.item_uid and is_bearing(row.item) and is_damage(row.mode) and not row.element:
        raise WorkOrderError(
            _("Choose where on the bearing: ring, rolling elements, cage or face."), "element"
        )
    if row.load_zone_deg is not None and not 0 < row.load_zone_deg <= 360:
        raise WorkOrderError(_("Enter a load zone above 0° and up to 360°."), "load_zone_deg")


def _refuse_cause(row: Observation) -> None:
    """A cause rests on evidence; without a cause there is nothing to be sure of."""
    if row.cause and not row.cause_evidence:
        raise WorkOrderError(
            _("Enter the evidence for this cause, or leave the cause empty."), "cause_evidence"
        )
    if row.cause_evidence and not row.cause:
        raise WorkOrderError(_("Enter the cause this evidence is for, or clear the evidence."), "cause")
    if not row.cause:
        row.cause_confidence = row.mounted_by_us = ""
        return
    if row.cause_confidence not in Observation.Confidence.values:
        raise WorkOrderError(
            _("Choose how sure you are of the cause: certain, likely or possible."), "cause_confidence"
        )
    if row.mounted_by_us not in Observation.Mounted.values:
        raise WorkOrderError(
            _("Choose whether this shop mounted the part: yes, no or not known."), "mounted_by_us"
        )


def _photo(job: Job, pk: int | None) -> JobPhoto | None:
    if pk is None:
        return None
    place = photos_to_choose(job).filter(pk=pk).first()
    if place is None:
        raise WorkOrderError(_("This photo is not on this job. Choose one from the list."), "photo")
    return place


def photos_to_choose(job: Job) -> QuerySet[JobPhoto]:
    """Return the job's photos that may show what was found: none of a stack that is kept from anybody."""
    return JobPhoto.objects.filter(job=job, withdrawn_at__isnull=True).exclude(
        stack_record__stage__in=(Stage.SPECIFIED, Stage.AS_BUILT)
    )


def part_words(row: Observation) -> str:
    """Name the part of an observation."""
    return item_name(row.item) if row.item_uid else row.part_name


def _told_in_one(row: Observation) -> str:
    return f"{part_words(row)}: {mode_words(row.mode)}"


def _keep(
    actor: Actor, row: Observation, verb: str, *, before: dict[str, object] | None = None
) -> Observation:
    row.person_id, row.person_name = actor.person_id, actor.name
    row.save()
    record_event(
        actor=actor,
        verb=verb,
        subject=row,
        job_number=row.job.number,
        before=before,
        after=_told(row),
        reason=row.reason,
    )
    return row


def _told(row: Observation) -> dict[str, object]:
    """Return what the ledger keeps of an observation."""
    return {
        "name": _told_in_one(row),
        "mode": row.mode,
        "place": [row.element, str(row.load_zone_deg or ""), row.location],
        "extent": row.extent,
        "confidence": row.confidence,
        "cause": row.cause,
        "evidence": row.cause_evidence,
        "mounted_by_us": row.mounted_by_us,
        "withdrawn": row.withdrawn,
    }
