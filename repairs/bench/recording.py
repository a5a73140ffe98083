"""What the recorder shows of one record: drawing, words, findings, list."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from bearings.public import field_label
from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.judging import (
    NEVER_ACCEPTED,
    Judgement,
    finding_rows,
    judge,
    not_checked_rows,
    refs_of,
    shop_limits,
)
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.picturing import arrangement_words, difference_marks, loads_of, picture
from repairs.work_orders.services.stack_signing import missing_before_signing

ONE_WAY = {"angular_contact_ball", "spherical_roller_thrust"}


def part_name(data: dict[str, Any]) -> str:
    """Name an item as a person would."""
    if data.get("kind") == "bearing" or "type" in data:
        angle = f" · {data['contact_angle_deg']:g}°" if data.get("contact_angle_deg") else ""
        return f"{data.get('designation') or field_label(data.get('type', 'bearing'))}{angle}"
    kind = str(data.get("kind", ""))
    return PART_NAMES.get(kind, kind)


def _part_names() -> dict[str, str]:
    return {
        "spacer": _("Spacer"),
        "shim": _("Shim"),
        "snap_ring": _("Snap ring"),
        "lock_nut": _("Lock nut"),
        "lock_washer": _("Lock washer"),
        "shoulder": _("Shoulder or flange"),
        "spring_pack": _("Springs"),
        "slinger": _("Slinger"),
    }


PART_NAMES = _part_names()


def part_details(data: dict[str, Any]) -> str:
    """Say in one line what else is known of an item."""
    keys = ("maker", "variant", "cage", "note")
    words = [str(data[key]) for key in keys if data.get(key)]
    if data.get("ring"):
        words.append(
            {"inner": _("inner ring"), "outer": _("outer ring"), "both": _("both rings")}[data["ring"]]
        )
    if data.get("height_mm") and data.get("kind") != "bearing":
        words.append(f"{data['height_mm']:g} mm")
    if data.get("mark"):
        words.append(_("mark {mark}").format(mark=data["mark"]))
    if data.get("serial"):
        words.append(_("serial {serial}").format(serial=data["serial"]))
    return " · ".join(words)


def list_rows(record: StackRecord, chosen: str, marks: dict[str, str]) -> list[dict[str, Any]]:
    """Return the list from the top of the mount, with guides after it."""
    rows = []
    last = len(record.items) - 1
    for index, (ref, entry) in enumerate(refs_of(record.items)):
        data = entry["data"]
        bearing = data.get("kind") == "bearing"
        face = data.get("wide_face", "unknown") if data.get("type") in ONE_WAY else "symmetric"
        rows.append(
            {
                "ref": ref,
                "uid": entry["uid"],
                "name": part_name(data),
                "more": part_details(data),
                "bearing": bearing,
                "face": face if bearing else "",
                "turns": data.get("type") in ONE_WAY,
                "chosen": entry["uid"] == chosen,
                "stop": ref in marks,
                "first": index == 0,
                "last": index == last,
                "label": _("bearing {ref}").format(ref=ref) if bearing else _("part {ref}").format(ref=ref),
            }
        )
    for number, entry in enumerate(record.guides, 1):
        data = entry["data"]
        carries = {"up": _("carries up"), "down": _("carries down"), "both": _("carries both ways")}
        rows.append(
            {
                "ref": f"g{number}",
                "uid": entry["uid"],
                "name": part_name(data),
                "more": " · ".join(
                    filter(None, [_("guide"), carries.get(data.get("carries", "")), part_details(data)])
                ),
                "bearing": False,
                "guide": True,
                "chosen": entry["uid"] == chosen,
                "label": _("guide {number}").format(number=number),
            }
        )
    return rows


def stage_tabs(job: Job, current: str) -> list[dict[str, Any]]:
    """Return the three stages with revision and state, in one query."""
    newest: dict[str, tuple[int, str]] = {}
    for stage, revision, state in job.stack_records.order_by("revision").values_list(
        "stage", "revision", "state"
    ):
        newest[stage] = (revision, state)
    tabs = []
    for stage in Stage:
        revision, state = newest.get(stage, (0, ""))
        words = dict(StackRecord.State.choices).get(state, "")
        note = (
            _("revision {number} · {state}").format(number=revision, state=words)
            if revision
            else _("not recorded")
        )
        tabs.append(
            {
                "url": reverse("bench:stack", args=[job.number, stage]),
                "name": stage.label,
                "note": note,
                "current": stage == current,
            }
        )
    return tabs


def hidden_from(user: User, job: Job, stage: str) -> bool:
    """Whether the specified stack is kept from this person: while a stack as built is being recorded."""
    if stage != Stage.SPECIFIED or user.may(Permission.APPROVE_STACKS):
        return False
    return job.stack_records.filter(stage=Stage.AS_BUILT, state=StackRecord.State.DRAFT).exists()


def _link(record: StackRecord, url: str) -> Any:
    uids = {ref: entry["uid"] for ref, entry in refs_of(record.items)}
    uids.update({f"g{n}": entry["uid"] for n, entry in enumerate(record.guides, 1)})

    def attributes(ref: str) -> dict[str, str]:
        address = f"{url}?item={uids.get(ref, '')}"
        return {"href": address, "hx-get": address, "hx-target": "#recorder", "hx-swap": "outerHTML"}

    return attributes


def recorder_context(
    record: StackRecord, user: User, *, chosen: str = "", problem: str = ""
) -> dict[str, Any]:
    """Return everything that the recorder's fragment shows."""
    job = record.job
    judgement = judge(record, job.motor, shop_limits())
    url = reverse("bench:stack", args=[job.number, record.stage])
    marks = difference_marks(record.differences)
    refs = {entry["uid"]: ref for ref, entry in refs_of(record.items)}
    frozen = record.is_frozen
    drawing = ""
    if judgement.stack is not None and judgement.stack.items:
        drawing = picture(
            judgement.stack,
            loads=loads_of(judgement.assessment),
            units=user.units,
            selected=refs.get(chosen),
            marks=marks,
            link=_link(record, url),
            summary=arrangement_words(judgement.assessment) or None,
        )
    return {
        "record": record,
        "job": job,
        "url": url,
        "act_url": reverse("bench:stack_act", args=[job.number, record.stage]),
        "drawing": mark_safe(drawing),  # made by bearings.drawing, which escapes every text
        "words": arrangement_words(judgement.assessment),
        "findings": _finding_rows(judgement, record, user),
        "not_checked": _not_checked(judgement),
        "rows": list_rows(record, chosen, marks),
        "differences": record.differences or [],
        "lacking": [] if frozen else missing_before_signing(record),
        "frozen": frozen,
        "chosen": chosen,
        "problem": problem,
        "may_record": not frozen and user.may(needed_permission(record.stage)),
        "may_approve": record.stage == Stage.SPECIFIED and user.may(Permission.APPROVE_STACKS),
    }


def needed_permission(stage: str) -> Permission:
    """Return what a person must be allowed to record a stage."""
    return Permission.SPECIFY_STACKS if stage == Stage.SPECIFIED else Permission.RECORD_STACKS


def _finding_rows(judgement: Judgement, record: StackRecord, user: User) -> list[dict[str, Any]]:
    if judgement.assessment is None:
        return []
    rows = finding_rows(list(judgement.assessment.findings), user.units)  # type: ignore[arg-type]
    accepted = (
        {(one.code, one.ref): one for one in record.accepted_findings.all()}
        if record.stage == Stage.SPECIFIED
        else {}
    )
    open_to_lead = (
        record.stage == Stage.SPECIFIED and not record.is_frozen and user.may(Permission.APPROVE_STACKS)
    )
    for row in rows:
        taken = accepted.get((row["code"], row["ref"]))
        if taken is not None:
            row["accepted"] = _("Accepted by {person}: {reason}").format(
                person=taken.person_name, reason=taken.reason
            )
        elif open_to_lead and row["severity"] != "note" and row["code"] not in NEVER_ACCEPTED:
            row["acceptable"] = f"{row['code']}:{row['ref']}"
    return rows


def _not_checked(judgement: Judgement) -> list[dict[str, Any]]:
    if judgement.assessment is not None:
        return not_checked_rows(list(judgement.assessment.not_checked))
    faces = [
        {
            "severity": "not_checked",
            "title": _("Face of bearing {ref} is not known; loads are not checked.").format(ref=ref),
        }
        for ref in judgement.unknown_faces
    ]
    if faces:
        return faces
    return [{"severity": "not_checked", "title": text} for text in judgement.hindrances]
