"""What the pages of seats show: lists, sheets, verdicts in words."""

from __future__ import annotations

from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.edge.numbers import row_key, version_of
from repairs.measurements import seat_words as words
from repairs.measurements.models import Reading, SeatRecord
from repairs.measurements.seat_doubts import plain, seat_doubts
from repairs.measurements.seat_forms import SeatForm, initial_of, initial_of_suggestion
from repairs.measurements.seat_judging import with_its_unit
from repairs.measurements.seat_services import judged_seat
from repairs.measurements.seat_standing import SeatPair, seat_pairs
from repairs.measurements.seat_suggestions import SuggestedSeat, suggested_seats
from repairs.people.models import User
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Job


def list_context(job: Job, user: User) -> dict[str, object]:
    """Return the measured seats, as found and as left, and those still to measure."""
    units = user.unit_system
    pairs = seat_pairs(SeatRecord.objects.of_job(job).standing())
    begun = {(pair.newest.surface, pair.newest.nominal_mm, pair.newest.bearing_ref) for pair in pairs}
    waiting = [
        seat
        for seat in suggested_seats(job, user)
        if (seat.surface, seat.nominal_mm, str(seat.bearing["ref"])) not in begun
    ]
    return {
        "job": job,
        "seats": [_pair_row(job, pair, units) for pair in pairs],
        "waiting": [{"url": new_url(job, seat=seat.key), "name": suggestion_name(seat)} for seat in waiting],
        "new_url": new_url(job),
    }


def new_url(job: Job, **asked: str) -> str:
    return reverse("bench:new_seat", args=[job.number]) + (f"?{urlencode(asked)}" if asked else "")


def suggestion_name(seat: SuggestedSeat) -> str:
    """Name a seat that nobody has measured yet as its record would be."""
    record = SeatRecord(place=seat.place, nominal_mm=seat.nominal_mm, bearing_ref=str(seat.bearing["ref"]))
    return words.seat_name(record)


def _pair_row(job: Job, pair: SeatPair, units: Units) -> dict[str, object]:
    newest = pair.newest
    return {
        "name": words.seat_name(newest),
        "limits": words.limits_text(newest, units),
        "zone": words.zone_text(newest),
        "in_the_way": pair.stands_in_the_way is not None,
        "records": [_record_row(job, one, units) for one in (pair.found, pair.left) if one is not None],
        "left_url": new_url(job, after=str(pair.found.pk)) if pair.found and pair.left is None else "",
    }


def _record_row(job: Job, seat: SeatRecord, units: Units) -> dict[str, object]:
    return {
        "url": reverse("bench:seat", args=[job.number, seat.pk]),
        "moment": seat.get_moment_display(),
        "verdict": seat.verdict,
        "signed": seat.is_signed,
        "by": seat.signed_name or seat.person_name,
        "why": " ".join(words.reason_sentences(seat, units)),
        "accepted": accepted_words(seat),
    }


def accepted_words(seat: SeatRecord) -> str:
    if seat.accepted_at is None:
        return ""
    return _("Accepted by {person}: {reason}").format(person=seat.accepted_name, reason=seat.accepted_reason)


def new_form(request: ShopRequest, job: Job) -> SeatForm:
    """Return the sheet of a seat that the address names: one of the stack, or one that was measured as found."""
    if request.method == "POST":
        return typed_form(request, job)
    seats, units = suggested_seats(job, request.user), request.user.unit_system
    if found := SeatRecord.objects.filter(job=job, pk=row_key(request.GET.get("after"))).first():
        initial = {name: value for name, value in initial_of(found, units).items() if not _measured(name)}
        initial["moment"] = Reading.Moment.AS_LEFT
        return SeatForm(initial=initial, seats=seats, units=units, angles=_angles(found), held=found.bearing)
    chosen = next((seat for seat in seats if seat.key == request.GET.get("seat")), None)
    return SeatForm(initial=initial_of_suggestion(chosen) if chosen else {}, seats=seats, units=units)


def _measured(name: str) -> bool:
    """Whether a field of a sheet is measured anew on the next one."""
    return (name[0] == "p" and name[1].isdigit()) or name in {
        "gauge",
        "part_temperature",
        "note",
        "confirmed",
    }


def typed_form(request: ShopRequest, job: Job, held: SeatRecord | None = None) -> SeatForm:
    """Return the sheet as it was typed."""
    return SeatForm(
        request.POST,
        seats=suggested_seats(job, request.user),
        units=request.user.unit_system,
        angles=4 if request.POST.get("angles") == "4" or request.POST.get("do") == "four" else 2,
        held=held.bearing if held else None,
    )


def form_of(request: ShopRequest, job: Job, seat: SeatRecord) -> SeatForm:
    """Return the sheet of a record: as it was typed now, else as it was kept."""
    if request.method == "POST":
        return typed_form(request, job, seat)
    units = request.user.unit_system
    seats = suggested_seats(job, request.user)
    return SeatForm(
        initial=initial_of(seat, units), seats=seats, units=units, angles=_angles(seat), held=seat.bearing
    )


def _angles(seat: SeatRecord) -> int:
    return max((len(plane) for plane in seat.typed), default=2)


def version_seen(request: ShopRequest, seat: SeatRecord) -> int:
    """Return the version of the record that the page showed; nobody's where it is no number."""
    return version_of(request.POST.get("version"))


def sheet_context(
    request: ShopRequest, job: Job, form: SeatForm, found: SeatRecord | None, *, correcting: bool, stale: bool
) -> dict[str, object]:
    """Return the sheet with its verdict; the facts of the seat stand open while one of them is asked for."""
    facts = (
        "place",
        "name",
        "moment",
        "bearing",
        "nominal_mm",
        "tolerance_class",
        "limits_from",
        "zone",
        "low",
        "high",
        "limits_source",
        "unit",
    )
    refused = request.POST.get("do") in {"keep", "sign"} and any(form[name].errors for name in facts)
    known = form["nominal_mm"].value()
    other = found is not None and not correcting and found.person_id != request.user.pk
    seen = request.method == "POST" and not stale
    return {
        "job": job,
        "form": form,
        "found": found,
        "correcting": correcting,
        "four": len(form.angles) == 4,
        "facts_open": refused or not known,
        "angles": form.angles,
        "asks_zeroed": other or bool(form["zeroed"].errors),
        "version": request.POST.get("version", "") if seen or found is None else found.version,
        "stored_rows": [" · ".join(text or "–" for text in plane) for plane in found.typed]
        if stale and found is not None
        else [],
        "show_errors": request.POST.get("do") in {"keep", "sign"},
        **verdict_context(form, found if request.method == "GET" else None),
    }


def verdict_context(form: SeatForm, kept: SeatRecord | None = None) -> dict[str, object]:
    """Return the verdict on what is typed, or on what was kept; a field that cannot be read counts as empty."""
    units: Units = "us" if form.unit_now == "in" else "si"
    entry = form.preview()
    seat, problem = kept, ""
    if entry is not None:
        try:
            seat = judged_seat(entry)
        except WorkOrderError as error:
            problem = str(error)
    context: dict[str, object] = {
        "problem": problem,
        "unread": [f"{cell.label}: {cell.errors[0]}" for cell in form.refused_cells] if form.is_bound else [],
        "understood": form.understood,
        "doubts": seat_doubts(entry) if entry is not None else [],
        "confirmed": form["confirmed"],
        "seat": seat,
    }
    return context | (words_of(seat, units) if seat is not None else {})


def words_of(seat: SeatRecord, units: Units) -> dict[str, object]:
    """Return everything that a verdict says."""
    return {
        "verdict": seat.verdict,
        "reasons": words.reason_sentences(seat, units),
        "planes": words.plane_rows(seat, units),
        "limits": words.limits_text(seat, units),
        "source": words.source_text(seat),
        "form_rows": words.form_rows(seat, units),
        "seat_title": words.seat_name(seat),
        "zone": seat.zone,
        "warm": seat.gauge == SeatRecord.Gauge.AT_20 and seat.part_c is not None,
    }


def signed_context(job: Job, seat: SeatRecord, user: User) -> dict[str, object]:
    """Return a signed sheet."""
    units = user.unit_system
    return {
        "job": job,
        "seat": seat,
        "accepted": accepted_words(seat),
        "typed_rows": [
            (name, [with_its_unit(text, seat.unit) if text else "–" for text in plane])
            for name, plane in zip(words.PLANE_NAMES, seat.typed, strict=False)
        ],
        "angles": words.ANGLES[4 if _angles(seat) == 4 else 2],
        "newer": getattr(seat, "replaced_by", None),
        "nominal": plain(seat.nominal_mm),
        **words_of(seat, units),
    }
