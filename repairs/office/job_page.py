"""What a job's page shows, in words: from the rows that ``job_reading`` fetches to the context of the template."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from functools import lru_cache
from itertools import groupby
from typing import Any, Final, TypedDict

from django.urls import reverse
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Units, exact
from repairs.documents.models import DocumentKind
from repairs.measurements.models import Reading
from repairs.measurements.observations.presenting import observation_rows
from repairs.motors.nameplate import shown
from repairs.motors.plate_fields import BY_KEY
from repairs.motors.thrust_words import newest_rows
from repairs.office import job_reading as reading
from repairs.office.job_events import event_rows
from repairs.office.short_words import clock_words, date_words, late_words
from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.hiding import hidden_stages
from repairs.work_orders.models import Job, Pickup, SignOff, StackRecord, Stage, Step, StepKind
from repairs.work_orders.models.step_kinds import OFFICE_STEPS
from repairs.work_orders.page_state import newest_event
from repairs.work_orders.stack_views import stack_views
from repairs.work_orders.warning_words import alert_text

ANY_PHOTO: Final = "00000000-0000-4000-8000-000000000000"
PLATE_KEYS: Final = (
    "power_w", "voltage_v", "rated_speed_rpm", "frame", "down_thrust_n", "up_thrust_n", "rotor_weight_n", "oil_iso_vg",
)  # fmt: skip


class Moments:
    """Write moments short, in the shop's time; the zone is looked up once a page."""

    def __init__(self) -> None:
        self.zone = timezone.get_current_timezone()
        self.today = timezone.localdate()

    def day(self, day: date) -> str:
        return date_words(day, self.today)

    def at(self, moment: datetime | None) -> str:
        if moment is None:
            return ""
        local = moment.astimezone(self.zone)
        return f"{self.day(local.date())}, {clock_words(local.time())}"


def job_context(job: Job, reader: User) -> dict[str, Any]:
    """Return the page's parts, worded for its reader."""
    moments = Moments()
    may = {permission.value: reader.may(permission) for permission in PERMISSIONS_ASKED}
    steps = step_rows(job, moments)
    current = next((step for step in steps if step["state"] == "current"), None)
    notes = note_rows(job, moments)
    events = list(reading.events(job))
    is_open = job.state == Job.State.OPEN
    office_step = None
    if is_open and may[Permission.OPEN_JOBS] and current and current["kind"] in OFFICE_STEPS:
        office_step = {**current, "asks": SIGNED_WORDS.get(current["kind"], "")}
    # A motor leaves when its steps are done, so the page of a job at work asks nothing.
    pickup = None if is_open and current else job.pickups.first()
    return {
        "job": job,
        "motor": str(job.motor),
        "serial": job.motor.serial if job.motor.tag else "",
        "urgent": "" if job.priority == Job.Priority.NORMAL else str(job.get_priority_display()),
        "plate": [
            (BY_KEY[key].label, shown(BY_KEY[key], job.motor.nameplate.get(key), reader.units))
            for key in PLATE_KEYS
        ],
        "thrust": newest_rows(job, reader.units),
        "facts": fact_rows(job, moments, pickup),
        "pickup": pickup,
        "today": moments.today,
        "ended_on": "" if is_open else moments.at(job.closed_at),
        "promised": promise_words(job, moments),
        "alert": alert_row(job, reader.unit_system),
        "steps": steps,
        "chosen_step": current["pk"] if current else "",
        "steps_total": len(steps),
        "next_step": current["name"] if current and is_open else "",
        "may_leave": may[Permission.OPEN_JOBS] and not (is_open and current),
        "may_reopen": may[Permission.REOPEN_JOBS] and not is_open,
        "office_step": office_step,
        "seen": newest_event(job, [(event[0], event[3]) for event in events]) if office_step else 0,
        "steps_behind": sum(step["state"] in {"done", "skipped"} for step in steps),
        "open_notes": [note for note in notes if note["open"]],
        "old_notes": [note for note in notes if not note["open"]],
        **stage_context(job, reader, moments),
        "observations": observation_rows(reading.observations(job)),
        "readings": reading_rows(job, moments),
        "papers": paper_rows(job, moments),
        "events": event_rows(events, moments),
        "older_events": len(events) == reading.EVENTS_SHOWN,
        "held_since": moments.at(job.hold_since),
        "may": may,
        "show_hold": is_open and may[Permission.HOLD_JOBS] and not job.on_hold,
        "show_route": is_open and may[Permission.EDIT_ROUTE],
        "show_end": is_open and may[Permission.OPEN_JOBS],
    }


# What a signature at the desk is asked to say.
SIGNED_WORDS: Final[dict[str, str | Promise]] = {
    StepKind.RECEIVE: gettext_lazy("Who brought it, what came with it"),
    StepKind.ESTIMATE: gettext_lazy("What was sent, to whom"),
    StepKind.APPROVAL: gettext_lazy("Who approved what, PO no., phone or email"),
    StepKind.SHIP: gettext_lazy("How it ships"),
    StepKind.REPORT: gettext_lazy("Which report was sent, to whom"),
}


@lru_cache(maxsize=4096)
def _address(name: str, *arguments: str) -> str:
    """Return an address; the resolver is asked once for each."""
    return reverse(name, args=arguments)


PERMISSIONS_ASKED: Final = (
    Permission.HOLD_JOBS,
    Permission.OPEN_JOBS,
    Permission.EDIT_ROUTE,
    Permission.REOPEN_JOBS,
    Permission.WORK_STEPS,
    Permission.PRINT_DOCUMENTS,
    Permission.ISSUE_REPORTS,
)


def fact_rows(job: Job, moments: Moments, pickup: Pickup | None = None) -> list[tuple[str, str]]:
    """Return the paperwork as label and value; what is empty is left out."""
    contact = job.contact
    words = " · ".join(w for w in (contact.name, contact.telephone, contact.email) if w) if contact else ""
    rows = (
        (_("contact"), words),
        (_("PO no."), job.purchase_order),
        (_("priority"), str(job.get_priority_display()) if job.priority != Job.Priority.NORMAL else ""),
        (_("opened"), moments.at(job.opened_at)),
        (_("ended"), moments.at(job.closed_at)),
        (_("picked up"), _pickup_words(pickup, moments) if pickup else ""),
        (_("invoice no."), job.invoice_number),
    )
    return [(label, value) for label, value in rows if value]


def _pickup_words(pickup: Pickup, moments: Moments) -> str:
    signed = _("signed by {name}").format(name=pickup.signed_by)
    return " · ".join(
        part for part in (moments.day(pickup.left_on), pickup.carrier, signed, pickup.note) if part
    )


def promise_words(job: Job, moments: Moments) -> dict[str, object]:
    """Return the promise and by how much it is past."""
    if job.promised_on is None:
        return {"day": "", "late": ""}
    late = (moments.today - job.promised_on).days if job.state == Job.State.OPEN else 0
    return {
        "day": moments.day(job.promised_on),
        "late": late_words(late) if late > 0 else "",
    }


def alert_row(job: Job, units: Units) -> dict[str, str] | None:
    """Return what the newest stack records warn of, as the board says it."""
    if not job.alert_severity or not job.alert:
        return None
    return {"severity": job.alert_severity, "title": alert_text(job.alert, units)}


class StepRow(TypedDict):
    """One step of the route, with who signed it."""

    pk: str
    kind: str
    name: str
    state: str
    by: str


def step_rows(job: Job, moments: Moments) -> list[StepRow]:
    """Return the route with who signed what, in one query."""
    rows: list[StepRow] = []
    current = False
    for _pk, group in groupby(reading.route_lines(job), key=lambda row: row[0]):
        lines = list(group)
        pk, kind, title, state, reason, ended_at = lines[0][:6]
        shown_state = {Step.State.DONE: "done", Step.State.SKIPPED: "skipped"}.get(state, "todo")
        if shown_state == "todo" and not current:
            current, shown_state = True, "current"
        signed = [_signed(line[6:], moments) for line in lines if line[6] is not None]
        if state == Step.State.SKIPPED:
            signed.append(f"{moments.at(ended_at)}: {reason}")
        rows.append(
            {"pk": str(pk), "kind": kind, "name": title, "state": shown_state, "by": "; ".join(signed)}
        )
    return rows


def _signed(signature: tuple[Any, ...], moments: Moments) -> str:
    name, at, signed_as, note = signature
    role = "" if signed_as == SignOff.As.WORKER else f" ({SignOff.As(signed_as).label})"
    return f"{name}{role}, {moments.at(at)}" + (f": {note}" if note else "")


def note_rows(job: Job, moments: Moments) -> list[dict[str, object]]:
    """Return the last hand-over notes, newest first."""
    rows = []
    for note in reading.hand_overs(job):
        more = (
            (_("Where the parts are:"), note["parts_lie"]),
            (_("Hazards:"), note["danger"]),
            (_("Whose lock:"), note["lock_of"]),
            (_("Suspect readings:"), note["not_to_trust"]),
            (_("Next:"), note["next_action"]),
        )
        taken = _("accepted by {name}, {at}").format(
            name=_name(note, "accepted_by"), at=moments.at(note["accepted_at"])
        )
        rows.append(
            {
                "by": _name(note, "written_by"),
                "at": moments.at(note["written_at"]),
                "done": note["done"],
                "more": [(label, text) for label, text in more if text],
                "open": note["accepted_at"] is None,
                "taken": taken if note["accepted_at"] else "",
            }
        )
    return rows


def _name(note: Mapping[str, Any], whose: str) -> str:
    first, last, username = (note[f"{whose}__{part}"] for part in ("first_name", "last_name", "username"))
    return f"{first} {last}".strip() or username


def stage_context(job: Job, reader: User, moments: Moments) -> dict[str, object]:
    """Return the three stages with their drawings, and the photos with marks that agree with them."""
    by_pk = {record.pk: record for record in job.stack_records.for_job_page()}
    newest = {record.stage: record for record in by_pk.values()}
    hidden = hidden_stages(reader, job, list(by_pk.values()))
    photos = list(reading.photo_lines(job))
    asked = {one.pk for one in newest.values()} | {row[3] for row in photos if row[3] in by_pk and row[5]}
    views = stack_views(
        [by_pk[pk] for pk in sorted(asked)], motor_version=job.motor.version, units=reader.unit_system
    )
    stages = []
    for stage in Stage:
        record = newest.get(stage)
        kept_back = stage in hidden
        view = views[record.pk] if record and not kept_back else None
        stages.append(
            {
                "name": _("Proposed") if record and record.is_proposal else stage.label,
                "url": _address("bench:stack", job.number, str(stage)),
                "note": _record_words(record, moments) if record else _("not recorded"),
                "drawing": view.drawing if view else "",
                "words": view.words if view else "",
                "headline": view.headline if view else None,
                "hidden": kept_back,
                "figures_url": reverse("office:assessment", args=[job.number, record.pk]) if record else "",
                "match_url": reverse("office:match_record", args=[job.number, record.pk])
                if record and stage != Stage.AS_BUILT
                else "",
            }
        )
    refs = {pk: view.refs for pk, view in views.items()}
    return {
        "stages": stages,
        "answers_first": Stage.AS_BUILT in hidden,
        "any_stack": bool(by_pk),
        "photos": photo_rows(photos, by_pk, refs, hidden),
    }


def _record_words(record: StackRecord, moments: Moments) -> str:
    words = [_("revision {number}").format(number=record.revision), record.get_state_display()]
    if record.signed_at:
        words.append(f"{record.signed_by}, {moments.at(record.signed_at)}")
    return " · ".join(words)


def photo_rows(
    lines: Sequence[Any],
    records: dict[int, StackRecord],
    refs: dict[int, dict[str, str]],
    hidden: frozenset[str],
) -> list[dict[str, object]]:
    """Return the photos with their marks; a mark bears the ref of its item in the photo's own record."""
    rows = []
    for pk, group in groupby(lines, key=lambda row: row[0]):
        marks = list(group)
        _pk, photo_id, caption, record_id, step = marks[0][:5]
        record = records.get(record_id)
        if record is not None and record.stage in hidden:
            continue
        where = _("stack {stage}").format(stage=Stage(record.stage).label.lower()) if record else step
        caption = caption or where or _("job")
        own = refs.get(record_id, {})
        base = _photo_address(str(photo_id))
        rows.append(
            {
                "pk": pk,
                "thumbnail_url": base + "thumbnail/",
                "url": base + "print/",
                "alt": _("photo: {caption}").format(caption=caption),
                "caption": caption,
                "marks": [
                    {
                        "label": own.get(uid) or label or "?",
                        "x_percent": round(x * 100, 2),
                        "y_percent": round(y * 100, 2),
                    }
                    for uid, label, x, y in (line[5:] for line in marks)
                    if x is not None
                ],
            }
        )
    return rows


def _photo_address(photo_id: str) -> str:
    """Return the address of a photo, short of its size."""
    return _address("photo_file", ANY_PHOTO, "x").removesuffix("x/").replace(ANY_PHOTO, photo_id)


def reading_rows(job: Job, moments: Moments) -> list[dict[str, object]]:
    """Return the readings that stand, each with limit, verdict and where the limit comes from."""
    moment_words = dict(Reading.Moment.choices)
    verdicts = {"pass": _("pass"), "fail": _("FAIL"), "not_checked": _("not checked")}
    rows = []
    for row in reading.readings(job):
        quantity, value, unit, low, high, source, verdict, moment, name, at, note, late = row
        rows.append(
            {
                "quantity": quantity,
                "value": exact(value),
                "unit": unit,
                "limit": _limit_words(low, high),
                "source": source,
                "verdict": verdict,
                "verdict_words": verdicts[verdict],
                "moment": moment_words.get(moment, moment),
                "by": f"{name}, {moments.at(at)}",
                "note": "; ".join(part for part in (note, _("arrived later") if late else "") if part),
            }
        )
    return rows


def _limit_words(low: Any, high: Any) -> str:
    shown_low, shown_high = (None if limit is None else exact(limit) for limit in (low, high))
    if low is not None and high is not None:
        return f"{shown_low} … {shown_high}"
    if low is not None:
        return f"≥ {shown_low}"
    return f"≤ {shown_high}" if high is not None else ""


PRINTED: Final = tuple(kind for kind in DocumentKind if kind != DocumentKind.REPORT)


def paper_rows(job: Job, moments: Moments) -> list[dict[str, object]]:
    """Return each paper with the way to print it and what was issued last."""
    issued: dict[str, tuple[int, datetime, str]] = {}
    for kind, revision, at, code in job.documents.order_by("id").values_list(
        "kind", "revision", "issued_at", "code"
    ):
        issued[kind] = (revision, at, code)
    rows = []
    for kind in DocumentKind:
        last = issued.get(kind)
        if kind not in PRINTED and last is None:
            continue
        note = _("revision {number}, {at}").format(number=last[0], at=moments.at(last[1])) if last else ""
        rows.append(
            {
                "name": kind.label,
                "print_url": _address("office:document", job.number, kind.value) if kind in PRINTED else "",
                "note": note or _("not issued yet"),
                "issued_url": _address("office:issued_paper", last[2]) if last else "",
            }
        )
    return rows
