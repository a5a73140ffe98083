"""The repair report: what came, what was found, what was done, what left the shop."""

from __future__ import annotations

from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.documents.content import (
    heads,
    observations,
    photos,
    readings,
    results,
    route,
    seats,
    stacks,
    work,
)
from repairs.documents.content.notices import is_interim, notices, through_final_test
from repairs.documents.content.reader import Reader
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.services.stack_signing import current_specified
from repairs.work_orders.warning_words import difference_text

# Common practice of the trade, restated in our own words; no source.
START_UP: Final[tuple[tuple[str, str | Promise], ...]] = (
    (
        "danger",
        gettext_lazy(
            "Electric shock kills. Lock out, tag out, test that the circuit is de-energized and discharge it before "
            "you open covers or terminals. Stop water from draining back through the pump: it can turn the motor."
        ),
    ),
    (
        "warning",
        gettext_lazy(
            "A tall motor tips easily and can crush. Lift it upright by all its lifting eyes with rated gear, and "
            "block it. Never lift by the shaft."
        ),
    ),
    (
        "caution",
        gettext_lazy(
            "Bearings without oil overheat and seize. The oil is drained for shipping unless the tag says otherwise. "
            "With the motor level, fill to the mark before you turn the shaft."
        ),
    ),
    (
        "notice",
        gettext_lazy(
            "Remove the rotor block. Before you couple the pump, check the direction of rotation as seen from the "
            "top; a non-reverse ratchet allows only one direction."
        ),
    ),
)
DEFERENCE: Final = gettext_lazy(
    "Calculated results in this report are advice for qualified people, based on the data and sources shown. Items "
    "marked “not checked” have not been verified. Local codes, the instructions of the motor, bearing and pump "
    "manufacturers, and licensed practice come first."
)


# Sentences of ours that every report carries: a new wording of them is no news about the motor.
STANDING_WORDS: Final = frozenset({"cautions", "deference"})


def report(job: Job, reader: Reader) -> dict[str, object]:
    """Return everything the customer is told, as it stands now."""
    found, specified = stacks.newest(job, Stage.AS_FOUND), current_specified(job)
    built = _frozen(stacks.newest(job, Stage.AS_BUILT))
    left = built or specified
    change = stacks.changes(_frozen(found), left, reader)
    steps = route.steps_of(job)
    told, first = through_final_test(steps), notices(job, steps, reader.units)
    interim = is_interim(first)
    tests, others = results.results_part(job, readings.standing_readings(job), reader)
    return {
        "title": _("Interim report") if interim else _("Repair report"),
        "interim": interim,
        "notices": first,
        "head": heads.customer_head(job),
        "shop": heads.shop_block(),
        "plates": heads.whole_plate(job.motor, reader),
        "found": _section(found, reader, "found"),
        "left": _section(left, reader, "left", change["marks"] if change else {}),
        "left_is_built": built is not None,
        "change": change,
        "against_specified": _against(built, specified, reader),
        "photos": photos.stage_photos(job, Stage.AS_FOUND),
        "more_photos": [*photos.stage_photos(job, Stage.AS_BUILT), *photos.other_photos(job)],
        "readings": readings.customer_rows(others),
        **tests,
        **readings.concession_part(job),
        **observations.observation_part(job),
        **seats.seat_part(job, reader),
        "route": route.planned(told),
        "done": route.done_for_customer(told),
        "work": work.work_done(job),
        "cautions": [{"signal": signal, "text": str(text), "where": ""} for signal, text in START_UP],
        "deference": str(DEFERENCE),
    }


def _frozen(record: StackRecord | None) -> StackRecord | None:
    return record if record is not None and record.is_frozen else None


def _section(
    record: StackRecord | None, reader: Reader, prefix: str, marks: stacks.Marks | None = None
) -> stacks.Section | None:
    if record is None:
        return None
    return stacks.stack_section(record, reader, size="compact", prefix=prefix, marks=marks, for_customer=True)


def _against(
    built: StackRecord | None, specified: StackRecord | None, reader: Reader
) -> dict[str, object] | None:
    """Say whether the stack as built is the one that was specified; None when that cannot be said."""
    if built is None or specified is None or built.compared_with_id != specified.pk:
        return None
    rows = [difference_text(row, reader.units) for row in built.differences or []]
    return {"same": not rows, "rows": rows}
