"""Check the stack that lies dry beside the mount against the specified one, before anything is heated."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, TypedDict

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.work_orders.entry_origin import note_origin
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.judging import ONE_WAY_TYPES, refs_of
from repairs.work_orders.models import Job, LayOut, StackRecord
from repairs.work_orders.open_job import lock_open_job
from repairs.work_orders.services.stack_signing import current_specified

MARK_FIELDS: Final = ("serial", "mark", "set_id")
LONGEST_MARK: Final = 60


class LineToCheck(TypedDict):
    """One part that is laid out: what is specified of it, and what of that is looked at."""

    uid: str
    ref: str
    bearing: bool
    data: Mapping[str, Any]
    face: str
    mark: str
    marks: list[str]


def lines_to_check(specified: StackRecord) -> list[LineToCheck]:
    """Return what is asked of each part, from the top: whether it lies here, how its wide face looks, its mark."""
    lines: list[LineToCheck] = []
    for ref, entry in refs_of(specified.items):
        data = entry["data"]
        bearing = data.get("kind") == "bearing"
        lines.append(
            {
                "uid": entry["uid"],
                "ref": ref,
                "bearing": bearing,
                "data": data,
                "face": data.get("wide_face", "") if data.get("type") in ONE_WAY_TYPES else "",
                "mark": next((str(data[name]) for name in MARK_FIELDS if data.get(name)), ""),
                "marks": [str(data[name]) for name in MARK_FIELDS if data.get(name)],
            }
        )
    return lines


def plain(text: str) -> str:
    """Return a mark without blanks, dots and dashes, in capitals: 'S 118-2' reads as 'S1182'."""
    return "".join(character for character in text.upper() if character.isalnum())


def _seen(line: LineToCheck, seen: Mapping[str, str]) -> tuple[dict[str, str], list[dict[str, str]]]:
    """Return one line as it was read, and how it differs from what is specified."""
    ref, uid = str(line["ref"]), str(line["uid"])
    read = {
        "uid": uid,
        "ref": ref,
        "lies": "yes" if seen.get(f"lies-{uid}") else "",
        "face": seen.get(f"face-{uid}", "") if line["face"] else "",
        "mark": seen.get(f"mark-{uid}", "").strip()[:LONGEST_MARK] if line["bearing"] else "",
    }
    if not read["lies"]:
        return read, [{"ref": ref, "code": "not-there"}]
    differences = []
    if line["face"] and read["face"] != line["face"]:
        code = "face" if read["face"] in {"up", "down"} else "face-not-read"
        differences.append({"ref": ref, "code": code})
    # Whichever of mark, serial and set number is read on the ring tells this bearing.
    known = {plain(one) for one in line["marks"]}
    if known and plain(read["mark"]) not in known:
        differences.append({"ref": ref, "code": "mark" if read["mark"] else "mark-not-read"})
    return read, differences


def difference_words(difference: Mapping[str, str]) -> str:
    """Return a difference of a lay-out in words."""
    words = {
        "not-there": _("{ref} is missing or out of order."),
        "face": _("{ref} is upside down. Flip it."),
        "face-not-read": _("{ref}: select wide face up or down."),
        "mark": _("{ref}: mark does not match. Wrong bearing, or wrong position."),
        "mark-not-read": _("{ref}: enter the mark or serial from the ring."),
    }
    ref = difference["ref"]
    name = _("Bearing {ref}") if ref.isdigit() else _("Part {ref}")
    return words[difference["code"]].format(ref=name.format(ref=ref))


@transaction.atomic
def check_lay_out(*, actor: Actor, job: Job, seen_revision: int, seen: Mapping[str, str]) -> LayOut:
    """Keep what lies beside the mount and how it differs from the specified stack that the page showed."""
    job = lock_open_job(job)
    specified = current_specified(job)
    if specified is None:
        raise WorkOrderError(_("No lead has approved a specified stack yet."))
    if specified.revision != seen_revision:
        raise StaleVersionError(
            _("The lead specified a new revision: {number}. Lay out by that one.").format(
                number=specified.revision
            )
        )
    lines, differences = [], []
    for line in lines_to_check(specified):
        read, differs = _seen(line, seen)
        lines.append(read)
        differences += differs
    lay_out = LayOut(
        job=job,
        specified=specified,
        person_id=actor.person_id,
        person_name=actor.name,
        lines=lines,
        differences=differences,
    )
    note_origin(lay_out, actor=actor)
    lay_out.save()
    record_event(
        actor=actor,
        verb="stack.laid_out",
        subject=lay_out,
        job_number=job.number,
        after={"revision": specified.revision, "differences": differences},
    )
    return lay_out


def newest_lay_out(job: Job) -> LayOut | None:
    """Return the last look at the stack laid out dry."""
    return job.lay_outs.select_related("specified").order_by("-id").first()
