"""The route on paper: what is to do, what was done by whom, and the cautions of each step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TypedDict

from django.utils.translation import gettext as _

from repairs.documents.content.reader import day_words, moment_words
from repairs.work_orders.cautions import cautions_for
from repairs.work_orders.models import Job, SignOff, Step


def steps_of(job: Job) -> list[Step]:
    """Return the steps with their signatures: two queries, however many there are."""
    return list(job.steps.prefetch_related("sign_offs").order_by("position"))


def planned(steps: Iterable[Step]) -> list[dict[str, object]]:
    """Return what the route asks for; what was done stands apart, so that a signature changes no instruction."""
    return [
        {"no": str(no), "title": step.title, "chargeable": step.chargeable}
        for no, step in enumerate(steps, 1)
    ]


class DoneStep(TypedDict):
    """What was done of one step, by whom."""

    state: str
    signatures: list[dict[str, str]]
    reason: str


def done(steps: Iterable[Step]) -> dict[str, DoneStep]:
    """Return what was done by whom, by number of the step."""
    rows: dict[str, DoneStep] = {}
    for no, step in enumerate(steps, 1):
        signatures = [
            {
                "by": one.person_name,
                "at": moment_words(one.at),
                "on": day_words(one.at),
                "as": "" if one.signed_as == SignOff.As.WORKER else str(one.get_signed_as_display()),
                "note": one.note,
            }
            for one in step.sign_offs.all()
        ]
        if signatures or step.state != Step.State.WAITING:
            rows[str(no)] = {"state": step.state, "signatures": signatures, "reason": step.skip_reason}
    return rows


def done_for_customer(steps: Sequence[Step]) -> dict[str, DoneStep]:
    """Return what was done by whom, without the shop's notes, reasons and overrides."""
    rows = done(steps)
    for no, step in enumerate(steps, 1):
        if row := rows.get(str(no)):
            signed = [one for one in step.sign_offs.all() if one.signed_as != SignOff.As.OVERRIDE]
            row["signatures"] = [{"by": one.person_name, "on": day_words(one.at)} for one in signed]
            row["reason"] = step.tell_customer if step.state == Step.State.SKIPPED else ""
    return rows


def cautions(steps: Iterable[Step]) -> list[dict[str, str]]:
    """Return the cautions of a whole route."""
    return cautions_under({no: step.kind for no, step in enumerate(steps, 1)})


def cautions_under(kinds: Mapping[int, str]) -> list[dict[str, str]]:
    """Return each caution once, worst first, with the numbers of the steps that it belongs to."""
    places: dict[tuple[str, str], list[str]] = {}
    for no, kind in kinds.items():
        for caution in cautions_for(kind):
            places.setdefault((caution.signal, str(caution.text)), []).append(str(no))
    order = ("danger", "warning", "caution", "notice")
    rows = [
        {"signal": signal, "text": text, "where": _steps(numbers)}
        for (signal, text), numbers in places.items()
    ]
    return sorted(rows, key=lambda row: order.index(row["signal"]))


def _steps(numbers: list[str]) -> str:
    if len(numbers) == 1:
        return _("step {number}").format(number=numbers[0])
    return _("steps {first} and {last}").format(first=", ".join(numbers[:-1]), last=numbers[-1])
