"""What the second person is asked of a stack as built: one question a bearing, answered without sight of the rest."""

from __future__ import annotations

from django.utils.translation import gettext as _

from repairs.work_orders.judging import ONE_WAY_TYPES, refs_of
from repairs.work_orders.models import BearingLook, StackRecord

Face = BearingLook.Face
SEEN = frozenset({Face.UP, Face.DOWN})


def asked_of(record: StackRecord) -> list[tuple[str, str]]:
    """Return ref and uid of every bearing that carries one way only, from the top."""
    return [
        (ref, entry["uid"])
        for ref, entry in refs_of(record.items)
        if entry["data"].get("type") in ONE_WAY_TYPES
    ]


def answers_of(record: StackRecord, person_id: int | None) -> dict[str, BearingLook]:
    """Return one person's newest answer of each bearing. One given from a photo that was withdrawn counts no more."""
    looks = BearingLook.objects.filter(record=record, person_id=person_id).select_related("photo")
    newest = {look.uid: look for look in looks.order_by("id")}
    return {
        uid: look for uid, look in newest.items() if look.photo is None or look.photo.withdrawn_at is None
    }


def unanswered(record: StackRecord, person_id: int | None) -> list[str]:
    """Return the refs of the bearings whose face this person has not seen: not asked, or not to be seen."""
    answers = answers_of(record, person_id) if person_id is not None else {}
    return [ref for ref, uid in asked_of(record) if uid not in answers or answers[uid].face not in SEEN]


def disagreements(record: StackRecord, person_id: int | None) -> list[str]:
    """Say of which bearings this person saw another face than the record as built has."""
    if person_id is None or unanswered(record, person_id):
        return []
    answers, words = answers_of(record, person_id), {"up": _("up"), "down": _("down")}
    recorded = {entry["uid"]: entry["data"].get("wide_face", "") for entry in record.items}
    text = _("Bearing {ref}: the second person saw the wide face {seen}; the record says {recorded}.")
    return [
        text.format(ref=ref, seen=words[answers[uid].face], recorded=words.get(recorded[uid], "?"))
        for ref, uid in asked_of(record)
        if answers[uid].face != recorded[uid]
    ]


def somebody_disagrees(record: StackRecord) -> bool:
    """Whether anybody who answered for every bearing saw a face otherwise than the record as built has it."""
    people = (
        BearingLook.objects.filter(record=record).order_by().values_list("person_id", flat=True).distinct()
    )
    return any(disagreements(record, person_id) for person_id in people)


def comparison_open(record: StackRecord | None, person_id: int) -> bool:
    """Whether this person answered for every bearing of a signed record, so that the comparison opens."""
    return record is not None and record.is_frozen and not unanswered(record, person_id)
