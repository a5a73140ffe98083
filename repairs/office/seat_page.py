"""What the office sees of a job's seats: readings against limits, the fit drawn, what it does, the heat to mount."""

from __future__ import annotations

from django.utils.safestring import mark_safe

from bearings.public import ChartOptions, Units, fit_bars
from repairs.measurements import fit_words, seat_words
from repairs.measurements.models import SeatRecord
from repairs.measurements.seat_doubts import plain
from repairs.measurements.seat_standing import SeatPair, seat_pairs
from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.cautions import GOVERNS, cautions_for
from repairs.work_orders.models import Job, StepKind


def seats_context(job: Job, reader: User) -> dict[str, object]:
    """Return every seat of a job."""
    units: Units = "us" if reader.units == "us" else "si"
    pairs = seat_pairs(SeatRecord.objects.of_job(job).standing())
    return {
        "job": job,
        "sheets": [_sheet(pair, units) for pair in pairs],
        "in_the_way": sum(pair.stands_in_the_way is not None for pair in pairs),
        "may_accept": reader.may(Permission.OVERRIDE_GATES) and job.state == Job.State.OPEN,
        "may_measure": reader.may(Permission.WORK_STEPS),
        "cautions": cautions_for(StepKind.MOUNT),
        "governs": GOVERNS,
    }


def _sheet(pair: SeatPair, units: Units) -> dict[str, object]:
    newest = pair.newest
    blocking = pair.stands_in_the_way
    return {
        "pk": newest.pk,
        "name": seat_words.seat_name(newest),
        "designation": newest.bearing.get("designation", ""),
        "limits": seat_words.limits_text(newest, units),
        "source": seat_words.source_text(newest),
        "records": [_record(one, units) for one in (pair.found, pair.left) if one is not None],
        "to_accept": blocking.pk if blocking is not None and blocking.is_signed else None,
        "in_the_way": blocking is not None,
        "drawing": _drawing(pair, units),
        "fits": fit_words.fit_rows(newest, units),
        "fit_of": newest.get_moment_display(),
        "ring": fit_words.ring_text(newest),
        "effects": fit_words.effect_lines(newest, units),
        "heat": fit_words.heat_of(newest, units),
    }


def _record(seat: SeatRecord, units: Units) -> dict[str, object]:
    return {
        "pk": seat.pk,
        "moment": seat.get_moment_display(),
        "verdict": seat.verdict,
        "reasons": seat_words.reason_sentences(seat, units),
        "planes": seat_words.plane_rows(seat, units),
        "form_rows": seat_words.form_rows(seat, units),
        "signed": seat.is_signed,
        "by": seat.signed_name or seat.person_name,
        "at": seat.signed_at or seat.at,
        "instrument": seat.instrument,
        "gauge": seat.get_gauge_display(),
        "note": seat.note,
        "reason": seat.reason,
        "accepted_name": seat.accepted_name,
        "accepted_reason": seat.accepted_reason,
    }


def _drawing(pair: SeatPair, units: Units) -> str:
    bars = fit_words.fit_bars_of(pair.found, pair.left)
    if not bars:
        return ""
    nominal = f"Ø {plain(pair.newest.nominal_mm)} mm"
    options = ChartOptions(id_prefix=f"fit{pair.newest.pk}")
    return mark_safe(fit_bars(bars, nominal=nominal, inches=units == "us", options=options))
