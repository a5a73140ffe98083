"""How the seats of a job stand: as found, as left, and whether a stack may be mounted on them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from bearings.public import exact
from repairs.ledger.services import Actor
from repairs.measurements.models import Reading, SeatPlace, SeatRecord
from repairs.measurements.seat_suggestions import seats_of
from repairs.measurements.seat_words import seat_name
from repairs.work_orders.gates import add_gate
from repairs.work_orders.models import Job, Stage, Step, StepKind
from repairs.work_orders.reasons import Reason
from repairs.work_orders.services.stack_signing import current_specified

AS_FOUND, AS_LEFT = Reading.Moment.AS_FOUND, Reading.Moment.AS_LEFT


@dataclass(frozen=True, slots=True)
class SeatPair:
    """The newest records of one seat: as found and as left."""

    found: SeatRecord | None
    left: SeatRecord | None

    @property
    def newest(self) -> SeatRecord:
        newest = self.left or self.found
        assert newest is not None
        return newest

    @property
    def is_good(self) -> bool:
        """Whether a stack may be mounted on it: signed, and in its zone or accepted with a reason."""
        newest = self.newest
        return newest.is_signed and (newest.verdict == "pass" or newest.accepted_at is not None)

    @property
    def stands_in_the_way(self) -> SeatRecord | None:
        """The record that keeps a stack from being mounted: it failed, and nothing signed since then says otherwise."""
        left = self.left
        if left is not None and left.is_signed and (left.verdict == "pass" or left.accepted_at is not None):
            return None
        if left is not None and left.verdict == "fail":
            return left
        if self.found is not None and self.found.verdict == "fail" and self.found.accepted_at is None:
            return self.found
        return None


def seat_pairs(seats: Iterable[SeatRecord]) -> list[SeatPair]:
    """Return standing records seat by seat, in the order in which the seats were begun."""
    newest: dict[tuple[str, str, str], dict[str, SeatRecord]] = {}
    for seat in seats:
        newest.setdefault(seat.key, {})[seat.moment] = seat
    return [SeatPair(found=pair.get(AS_FOUND), left=pair.get(AS_LEFT)) for pair in newest.values()]


def seats_are_good(step: Step, _actor: Actor) -> list[str]:
    """A gate: a seat that failed is worked on and measured as left, or a lead lets it pass."""
    seats = SeatRecord.objects.of_job(step.job).standing()
    words = _(
        "{seat}: out of limits. Rework it and measure it as left, or have a lead accept it with a reason."
    )
    return [
        Reason(words.format(seat=seat_name(seat)), f"seat:{seat.pk}")
        for pair in seat_pairs(seats)
        if (seat := pair.stands_in_the_way)
    ]


def seats_missing(job: Job, pairs: Iterable[SeatPair] | None = None) -> list[str]:
    """Name the seats of the stack that are not measured, or not good yet: as many of each size as the stack has."""
    record = current_specified(job) or job.stack_records.filter(stage=Stage.AS_FOUND).last()
    if record is None:
        return []
    if pairs is None:
        pairs = seat_pairs(SeatRecord.objects.of_job(job).standing())
    good = Counter((pair.newest.surface, pair.newest.nominal_mm) for pair in pairs if pair.is_good)
    missing = []
    for seat in seats_of(record):
        size = (seat.surface, seat.nominal_mm)
        if good[size] > 0:
            good[size] -= 1
            continue
        words = _("bearing {ref}, {place}, Ø {size} mm")
        place = SeatPlace(seat.place).label
        missing.append(words.format(ref=seat.bearing["ref"], place=place, size=exact(seat.nominal_mm)))
    return missing


def seats_are_complete(step: Step, _actor: Actor) -> list[str]:
    """A gate: every seat of the specified stack is measured and good before a stack is mounted on it."""
    if current_specified(step.job) is None:
        return []
    words = _("Shaft or housing fit not measured, or not good yet: {seat}.")
    return [Reason(words.format(seat=one), f"seat-missing:{one}") for one in seats_missing(step.job)]


def guard_mounting() -> None:
    """Keep a stack from being mounted, and a motor from being tested, on a seat that failed."""
    for kind in (StepKind.MOUNT, StepKind.FINAL_TEST):
        add_gate(kind, seats_are_good)
    add_gate(StepKind.MOUNT, seats_are_complete)
