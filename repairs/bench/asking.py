"""What a step asks for at the bench, and how far it is: one row each, the next thing first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from repairs.measurements.evidence import counted, failing, standing_rows
from repairs.measurements.models import Observation, Reading, SeatRecord, TestRecord
from repairs.measurements.seat_standing import seat_pairs, seats_missing
from repairs.measurements.shop_tests.judging import sheet_codes
from repairs.measurements.shop_tests.presenting import words_of
from repairs.measurements.shop_tests.required import required_at
from repairs.measurements.shop_tests.sheets import Sheet, sheet_of
from repairs.work_orders.looks import SEEN, asked_of
from repairs.work_orders.models import Job, StackRecord, Stage, Step, StepKind
from repairs.work_orders.services.laying_out import newest_lay_out

ASKED_BY: Final[dict[str, tuple[str, ...]]] = {
    StepKind.RECEIVE: ("photo", "parts", "reading"),
    StepKind.INCOMING_TEST: ("reading", "photo"),
    StepKind.STRIP_RECORD: (Stage.AS_FOUND, "parts", "reading", "photo"),
    StepKind.CLEAN: ("reading", "photo"),
    StepKind.MEASURE: ("seats", "reading", "photo"),
    StepKind.OBSERVE: ("observations", Stage.SPECIFIED, "parts", "photo"),
    StepKind.WINDING: ("reading", "parts", "photo"),
    StepKind.MACHINING: ("seats", "reading", "parts", "photo"),
    StepKind.BALANCE: ("reading", "photo"),
    StepKind.SPECIFY: (Stage.SPECIFIED,),
    StepKind.LAY_OUT: ("lay_out", "photo", "wall"),
    StepKind.MOUNT: (Stage.AS_BUILT, "second_look", "photo", "seats", "parts", "reading"),
    StepKind.SECOND_PERSON: ("second_look", "compare", "photo"),
    StepKind.END_PLAY: ("reading", "wall", "photo"),
    StepKind.FINAL_TEST: ("reading", "photo"),
    StepKind.SHIP: ("photo", "parts"),
    StepKind.OTHER: ("reading", "photo", "parts"),
}
PROPOSED: Final = "proposed"
# So many open tests are named; the page of readings lists them all.
MOST_NAMED: Final = 3
# What can always be written down, whatever the step asks for.
ALWAYS: Final = ("reading", "seats", "observations", "photo", "parts")
LABELS: Final[dict[str, str | Promise]] = {
    "photo": gettext_lazy("Camera"),
    "parts": gettext_lazy("Parts and outside work"),
    "reading": gettext_lazy("Reading"),
    "seats": gettext_lazy("Bearing fits"),
    "observations": gettext_lazy("Observations"),
    "lay_out": gettext_lazy("Check dry layout"),
    "wall": gettext_lazy("Specified stack, wall view"),
    "second_look": gettext_lazy("Second-person check"),
    "compare": gettext_lazy("As built vs. specified"),
    Stage.AS_FOUND: gettext_lazy("Stack as found"),
    Stage.SPECIFIED: gettext_lazy("Specified stack"),
    Stage.AS_BUILT: gettext_lazy("Stack as built"),
}
_ADDRESSES: Final = {
    "photo": "bench:photos",
    "parts": "bench:parts",
    "reading": "bench:reading",
    "seats": "bench:seats",
    "observations": "bench:observations",
    "lay_out": "bench:lay_out",
    "wall": "bench:stack_wall",
    "second_look": "bench:second_look",
    "compare": "bench:compare",
}


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing that a step asks for: where it is done, how far it is, and whether that is enough."""

    key: str
    label: str | Promise
    url: str
    note: str = ""
    done: bool = False


def asks_of(job: Job, step: Step) -> list[Ask]:
    """Return what a step asks for, in the order in which it is done."""
    stages = _stages(job)
    asks = []
    for key in ASKED_BY.get(step.kind, ()):
        note, done = _state(key, job, step, stages)
        label = (
            _("Proposed stack") if key == Stage.SPECIFIED and step.kind == StepKind.OBSERVE else LABELS[key]
        )
        asks.append(Ask(key, label, _address(key, job), note, done))
    return asks


def others_of(job: Job, asks: list[Ask]) -> list[Ask]:
    """Return what can be written down besides."""
    asked = {ask.key for ask in asks}
    return [Ask(key, LABELS[key], _address(key, job)) for key in ALWAYS if key not in asked]


def _address(key: str, job: Job) -> str:
    if key in _ADDRESSES:
        return reverse(_ADDRESSES[key], args=[job.number])
    return reverse("bench:stack", args=[job.number, key])


def _stages(job: Job) -> dict[str, tuple[str, bool]]:
    """Return state and difference of each stage's newest record, in one query; a proposal is a state of its own."""
    rows = job.stack_records.order_by("revision").values_list("stage", "state", "differences", "is_proposal")
    return {
        stage: (
            PROPOSED if is_proposal and state == StackRecord.State.SIGNED else state,
            bool(differences),
        )
        for stage, state, differences, is_proposal in rows
    }


def _state(key: str, job: Job, step: Step, stages: dict[str, tuple[str, bool]]) -> tuple[str, bool]:
    counted: dict[str, Callable[[Job, Step], tuple[str, bool]]] = {
        "photo": _photos,
        "parts": _parts,
        "reading": _readings,
        "seats": _seats,
        "observations": _observations,
        "lay_out": _lay_out,
        "second_look": _second_look,
    }
    if key in counted:
        return counted[key](job, step)
    if key not in stages:
        return ("", False) if key in _ADDRESSES else (_("not recorded"), False)
    state, differs = stages[key]
    if differs:
        return _("differs from specified"), False
    if state == PROPOSED:
        before = step.kind == StepKind.OBSERVE
        return (_("proposed and approved"), True) if before else (_("proposed only"), False)
    words = dict(StackRecord.State.choices)
    return str(words[state]), state == StackRecord.State.SIGNED


def _photos(_job: Job, step: Step) -> tuple[str, bool]:
    count = step.photos.filter(withdrawn_at__isnull=True).count()
    return ngettext("{count} on this step", "{count} on this step", count).format(count=count), count > 0


def _parts(job: Job, _step: Step) -> tuple[str, bool]:
    fates = list(job.stripped_parts.values_list("disposition", flat=True))
    undecided = fates.count("open")
    if not fates:
        return _("none listed"), False
    if undecided:
        return _("{count} listed, {undecided} undecided").format(count=len(fates), undecided=undecided), False
    return _("{count} listed, all decided").format(count=len(fates)), True


def _readings(_job: Job, step: Step) -> tuple[str, bool]:
    """How many readings are on the step, and which tests are open; done where all that it asks for passed."""
    words, done = _counted_readings(step)
    names = [str(words_of(code, sheet).title) for code, sheet in open_tests(step)]
    if not names or done:
        return words, done
    more = "" if len(names) <= MOST_NAMED else " …"
    open_words = _("{words}; not measured: {tests}")
    return open_words.format(words=words, tests=", ".join(names[:MOST_NAMED]) + more), done


def open_tests(step: Step) -> list[tuple[str, Sheet | None]]:
    """Return the tests of a step's sheet that nobody made yet."""
    sheet = sheet_of(step)
    codes = sheet_codes(sheet)
    if not codes:
        return []
    made = set(TestRecord.objects.filter(step=step).standing().values_list("test", flat=True))
    return [(code, sheet) for code in codes if code not in made]


def _counted_readings(step: Step) -> tuple[str, bool]:
    rows = standing_rows(step)
    failed, asked = len(failing(step)), required_at(step)
    if failed:
        words = _("{count} on this step, {failed} out of limits")
        return words.format(count=len(rows), failed=failed), False
    if asked:
        judged = {row.pk for row in rows if row.asked and hasattr(row, "judgment")}
        taken = [counted(rows, one.code) for one in asked]
        good = sum(
            row is not None and (row.verdict == Reading.Verdict.PASS or row.pk in judged) for row in taken
        )
        return _("{good} of {all} passed").format(good=good, all=len(asked)), good == len(asked)
    text = ngettext("{count} on this step", "{count} on this step", len(rows)).format(count=len(rows))
    return text, bool(rows)


def _seats(job: Job, _step: Step) -> tuple[str, bool]:
    """How many seats are measured of those that the stack has; done where each is good to mount on."""
    pairs = seat_pairs(SeatRecord.objects.of_job(job).standing())
    failed = sum(pair.stands_in_the_way is not None for pair in pairs)
    missing = seats_missing(job, pairs)
    if failed:
        return _("{count} measured, {failed} out of limits").format(count=len(pairs), failed=failed), False
    if missing:
        words = _("{count} measured, still open: {missing}")
        return words.format(count=len(pairs), missing="; ".join(missing)), False
    return ngettext("{count} measured", "{count} measured", len(pairs)).format(count=len(pairs)), bool(pairs)


def _observations(job: Job, _step: Step) -> tuple[str, bool]:
    count = Observation.objects.of_job(job).standing().count()
    if not count:
        return _("none recorded"), False
    return ngettext("{count} recorded", "{count} recorded", count).format(count=count), True


def _lay_out(job: Job, _step: Step) -> tuple[str, bool]:
    last = newest_lay_out(job)
    if last is None:
        return _("not laid out yet"), False
    count = len(last.differences)
    if count:
        return ngettext("{count} difference", "{count} differences", count).format(count=count), False
    return _("as specified, revision {number}").format(number=last.specified.revision), True


def _second_look(job: Job, _step: Step) -> tuple[str, bool]:
    """Whether anybody answered for every bearing of the newest record as built."""
    record = job.stack_records.filter(stage=Stage.AS_BUILT).order_by("-revision").first()
    asked = {uid for _ref, uid in asked_of(record)} if record else set()
    if record is None or not asked:
        return _("check each before it is hidden"), False
    seen: dict[str, set[str]] = {}
    for name, uid in record.looks.filter(face__in=SEEN).values_list("person_name", "uid"):
        seen.setdefault(name, set()).add(uid)
    done = [name for name, uids in seen.items() if asked <= uids]
    return (_("checked by {name}").format(name=done[0]), True) if done else (_("not checked yet"), False)
