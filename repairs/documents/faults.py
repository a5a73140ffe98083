"""Stored papers whose file is missing or changed: noted when found, until the file is as it was again."""

from __future__ import annotations

import logging

from django.db import DatabaseError, transaction
from django.utils import timezone

from repairs.documents.files import Damage
from repairs.documents.models import IssuedDocument, PaperFault
from repairs.ledger.services import SYSTEM, record_event

logger = logging.getLogger(__name__)


def note_damage(document: IssuedDocument, damage: Damage) -> None:
    """Tell the log and the administrator; whoever asked for the paper gets an answer even if that fails."""
    logger.error("The file of paper %s is %s: %s", document.code, damage.value, document.file)
    try:
        _note(document, damage)
    except DatabaseError:
        logger.exception("The fault of paper %s could not be stored", document.code)


@transaction.atomic
def _note(document: IssuedDocument, damage: Damage) -> None:
    _fault, is_new = PaperFault.objects.get_or_create(
        document=document, ended_at=None, defaults={"damage": damage, "found_at": timezone.now()}
    )
    if is_new:
        record_event(
            actor=SYSTEM,
            verb="document.damaged",
            subject=document,
            job_number=document.job.number,
            after={"name": document.code, "damage": damage.value, "file": document.file},
        )


def note_sound(document: IssuedDocument) -> None:
    """End the fault of a paper whose file is there again as it was issued."""
    faults = PaperFault.objects.filter(document=document, ended_at=None)
    if not faults.exists():
        return
    with transaction.atomic():
        if faults.update(ended_at=timezone.now()):
            record_event(
                actor=SYSTEM,
                verb="document.sound_again",
                subject=document,
                job_number=document.job.number,
                after={"name": document.code},
            )
