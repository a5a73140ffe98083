"""The limit that stands for a reading before it is taken, from the first source that has one and is not the measurer's.

In the order in which one overrules the other: the job's specification, the maker's word on the motor, the plate, the
standard, what the checker predicts of the stack as built (where none of those speaks), the shop's policy. One person
never widens what a motor is held to: a specification is at most as loose as what would stand without it, a reading at
most as loose as the job's earlier ones, and the shop's policy of the day the job was opened holds for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal, InvalidOperation
from functools import reduce
from typing import Final

from django.conf import settings as django_settings
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

from repairs.ledger.models import Event
from repairs.ledger.services import Actor
from repairs.measurements.engineering.shape import Result
from repairs.measurements.engineering.subjects import BY_CODE as TESTS
from repairs.measurements.engineering.subjects import TEST_OF, check_test
from repairs.measurements.limits import DECIMALS
from repairs.measurements.models import Reading, StandingLimit
from repairs.measurements.predicted_end_play import Predicted, predicted_end_play
from repairs.measurements.shop_tests.machine import (
    Typist,
    machine_of,
    settings_entries,
    settings_of,
    typists_of,
)
from repairs.measurements.words.sources import source_words
from repairs.motors.models import Motor
from repairs.motors.units import Unit, preferred_unit, unit_of
from repairs.work_orders.models import Job

SPECIFIED, MAKER, OF_MOTOR, PREDICTED, POLICY, EARLIER = range(6)
# What is tested to a level that depends on what it is (new, rewound, in service): an earlier level is no promise.
OWN_LEVEL: Final = frozenset({"high_potential", "surge", "hot_resistance", "oven"})
_TOLD: Final = ("asked", "limit_low", "limit_high", "unit", "limit_source")


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A limit that stood before the reading, with its source; ``typed_by`` is who entered it, where somebody did."""

    low: Decimal | None
    high: Decimal | None
    unit: str
    source: str
    typed_by: int | None = None
    since: datetime | None = None
    origin: int = OF_MOTOR
    typists: frozenset[int] = frozenset()
    sureness: str = ""
    quantity: str = "plain"

    def typed_by_person(self, person: int | None) -> bool:
        """Whether a person typed the limit, or something that it rests on."""
        return person is not None and (person == self.typed_by or person in self.typists)

    def si(self, number: Decimal | None) -> Decimal | None:
        """Return one of its two numbers in the canonical unit of its quantity."""
        unit = unit_of(self.quantity, self.unit)
        return None if number is None else number * Decimal(str(unit.factor)) + Decimal(str(unit.offset))

    def _from(self, other: Standing, number: Decimal) -> Decimal:
        """Return a number of another limit in this one's unit."""
        unit, canonical = unit_of(self.quantity, self.unit), other.si(number)
        assert canonical is not None
        return (canonical - Decimal(str(unit.offset))) / Decimal(str(unit.factor))

    def is_looser_than(self, other: Standing) -> bool:
        """Whether some value passes this limit and fails the other."""
        return self.lets_below(other) or self.lets_above(other)

    def tightened_by(self, other: Standing) -> Standing:
        """Return a limit that lets through what passes both; where the other one bites, its source is named."""
        if not self.is_looser_than(other):
            return self
        low, high = self.low, self.high
        if self.lets_below(other) and other.low is not None:
            low = self._from(other, other.low)
        if self.lets_above(other) and other.high is not None:
            high = self._from(other, other.high)
        return replace(
            self, low=_kept_exactly(low), high=_kept_exactly(high), source=other.source, origin=other.origin
        )

    def lets_below(self, other: Standing) -> bool:
        """Whether it passes a value that the other refuses as too low."""
        mine, theirs = self.si(self.low), other.si(other.low)
        return theirs is not None and (mine is None or mine < theirs)

    def lets_above(self, other: Standing) -> bool:
        """Whether it passes a value that the other refuses as too high."""
        mine, theirs = self.si(self.high), other.si(other.high)
        return theirs is not None and (mine is None or mine > theirs)


def _kept_exactly(number: Decimal | None) -> Decimal | None:
    return None if number is None else number.quantize(Decimal(1).scaleb(-DECIMALS))


@dataclass(frozen=True, slots=True)
class KnownLimits:
    """What a job's limits are found in, read once for many readings."""

    entered: Sequence[StandingLimit]
    judged: Sequence[tuple[str, Decimal | None, Decimal | None, str, str]]


def read_limits(job: Job) -> KnownLimits:
    """Read what a job's limits are found in: two queries, however many readings ask for theirs."""
    judged = Reading.objects.filter(job=job).exclude(asked="").exclude(verdict=Reading.Verdict.NOT_CHECKED)
    told = judged.order_by(*_TOLD).values_list(*_TOLD).distinct()
    return KnownLimits(list(StandingLimit.objects.for_job(job)), list(told))


def standing_limit(
    job: Job,
    asked: str,
    *,
    measurer: int | None,
    at: datetime,
    standard: Standing | None = None,
    known: KnownLimits | None = None,
) -> Standing | None:
    """Return the limit for a reading that a person takes at a moment; None where no source has one.

    A limit that the same person typed, or that was typed after the reading, is none; what they typed still tightens.
    ``standard`` is the limit of a standard where it depends on what was entered of the test itself. With ``known``
    nothing is read again, and ``standard`` is all that standards say.
    """
    sources = _sources(job, asked, standard, known)
    stood = [one for one in sources if one.since is None or one.since <= at]
    opens = next((one for one in stood if not one.typed_by_person(measurer)), None)
    if opens is None:
        return None
    # The plate overrules a tighter policy; nothing else is overruled by what is looser.
    below = min((one.origin for one in stood if one.origin != SPECIFIED), default=POLICY)
    held = [one for one in stood if one.origin in {SPECIFIED, below, opens.origin}]
    return reduce(Standing.tightened_by, [*held, *_judged_by(job, asked, known)], opens)


def without_specification(job: Job, asked: str) -> Standing | None:
    """Return what a reading of a job would be held to if the job's specification said nothing of it."""
    stood = [one for one in _sources(job, asked) if one.origin != SPECIFIED]
    below = [one for one in stood if one.origin == stood[0].origin]
    held = [*below, *_judged_by(job, asked)]
    return reduce(Standing.tightened_by, held) if held else None


def _judged_by(job: Job, asked: str, known: KnownLimits | None = None) -> list[Standing]:
    """Return the limits that earlier readings of a job were held to."""
    if TEST_OF.get(asked) in OWN_LEVEL:
        return []
    if known is not None:
        told = [row for row in known.judged if row[0] == asked]
    else:
        rows = Reading.objects.filter(job=job, asked=asked).exclude(verdict=Reading.Verdict.NOT_CHECKED)
        told = list(rows.order_by().values_list(*_TOLD).distinct())
    return [
        Standing(low=low, high=high, unit=unit, source=source, origin=EARLIER, quantity=quantity_of(asked))
        for _asked, low, high, unit, source in told
    ]


def time_of_making(actor: Actor) -> datetime:
    """Return when an entry was made: on a tablet without network by the tablet's clock, never later than now."""
    now = timezone.now()
    made = parse_datetime(actor.made_at) if actor.made_at else None
    return min(made, now) if made is not None else now


def _sources(
    job: Job, asked: str, standard: Standing | None = None, known: KnownLimits | None = None
) -> Iterator[Standing]:
    if known is not None:
        rows = [row for row in known.entered if row.asked == asked]
    else:
        rows = list(StandingLimit.objects.for_job(job).filter(asked=asked))
    specified = sorted((_entered(row) for row in rows if row.job_id is not None), key=lambda one: one.origin)
    yield from specified
    printed = OF_THE_MOTOR.get(asked)
    of_motor = (printed(job.motor) if printed else None) or standard
    if of_motor is None and known is None:
        of_motor = standard_of(job, asked)
    if of_motor is not None:
        yield of_motor
    elif asked == "end_play" and not specified and (predicted := predicted_end_play(job)) is not None:
        yield from _predicted(predicted)
    yield from (_entered(row) for row in rows if row.job_id is None)


def _entered(row: StandingLimit) -> Standing:
    words, origin = _("shop policy: {source}"), POLICY
    if row.job_id is not None and row.level == StandingLimit.Level.MAKER:
        words, origin = _("maker: {source}"), MAKER
    elif row.job_id is not None:
        words, origin = _("specification: {source}"), SPECIFIED
    return Standing(
        low=row.low,
        high=row.high,
        unit=row.unit,
        source=words.format(source=row.source)[:160],
        typed_by=row.entered_by_id,
        since=row.entered_at,
        origin=origin,
        quantity=quantity_of(row.asked),
    )


def quantity_of(asked: str) -> str:
    """Return the quantity of what a reading is of; of a shop's own row, a bare number."""
    test = TEST_OF.get(asked)
    return TESTS[test].results[asked] if test is not None else "plain"


def _predicted(found: Predicted) -> Iterator[Standing]:
    """A prediction is a limit only where it rests on what was entered and measured."""
    if found.is_limit:
        low = found.low or None
        yield Standing(
            low=low,
            high=found.high,
            unit=found.unit,
            source=found.source[:160],
            since=found.since,
            origin=PREDICTED,
            quantity=quantity_of("end_play"),
        )


def _plate_end_play(motor: Motor) -> Standing | None:
    """The end play on the plate is the most that the maker allows."""
    entry = motor.nameplate.get("end_play_mm") or {}
    if entry.get("state") != "read":
        return None
    try:
        high = Decimal(str(entry.get("typed", "")).strip())
    except InvalidOperation:
        # Typed as a fraction: as it was understood.
        si = entry.get("si")
        return None if si is None else _of_plate(motor, Decimal(str(si)), "mm")
    return _of_plate(motor, high, str(entry.get("unit") or "mm"))


def _of_plate(motor: Motor, high: Decimal, unit: str) -> Standing:
    typist, since = _typist(motor, "end_play_mm")
    return Standing(
        low=None, high=high, unit=unit, source=_("nameplate"), typed_by=typist, since=since,
        quantity=quantity_of("end_play"),
    )  # fmt: skip


def _typist(motor: Motor, key: str) -> tuple[int | None, datetime | None]:
    """Return who typed a field of the plate last, and when, by the ledger."""
    events = Event.objects.filter(subject_type="motor", subject_id=str(motor.pk)).order_by("-id")
    for event in events:
        if key in ((event.after or {}).get("nameplate") or {}):
            return event.actor_id, event.at
    return None, None


def standard_of(job: Job, asked: str) -> Standing | None:
    """Return what a standard asks of a reading, as far as the motor and the job's settings let it be known."""
    test = TEST_OF.get(asked)
    if test is None:
        return None
    settings = settings_of(job)
    entries = settings_entries(test, settings)
    result = check_test(test, entries, machine_of(job, settings)).result(asked)
    return standing_of(result, lambda: typists_of(job, settings, test, asked, entries))


def standing_of(result: Result, typists: Callable[[], Iterable[Typist]]) -> Standing | None:
    """Return the standard's limit of a result as one that stands, in the shop's unit, with who typed for it."""
    if result.standard is None:
        return None
    unit = preferred_unit(result.quantity, django_settings.SHOP_UNITS)
    known = list(typists())
    return Standing(
        low=_in_unit(result.standard.low, unit),
        high=_in_unit(result.standard.high, unit),
        unit=unit.name,
        source=source_words(result.standard.source)[:160],
        since=max((one.since for one in known if one.since is not None), default=None),
        typists=frozenset(one.person for one in known if one.person is not None),
        sureness=result.standard.source.sureness,
        quantity=result.quantity,
    )


def _in_unit(value: float | None, unit: Unit) -> Decimal | None:
    return None if value is None else _kept_exactly(Decimal(repr(round(unit.from_si(value), DECIMALS))))


OF_THE_MOTOR: Final[dict[str, Callable[[Motor], Standing | None]]] = {
    "end_play": _plate_end_play,
}
