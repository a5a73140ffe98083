"""What a customer reads first: what is wrong, what was let pass, what waits, what is still to do.

Every sentence is either written for the customer by the shop or one of ours. The shop's own reasons never come here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Final

from django.utils.translation import gettext as _

from bearings.public import Units, customer_sentence
from repairs.documents.content.margins import acceptances
from repairs.documents.content.reader import day_words
from repairs.documents.content.stacks import built_differs, newest
from repairs.work_orders.gates import chain_of
from repairs.work_orders.judging import judge, shop_limits, stored_findings
from repairs.work_orders.models import Job, Override, SignOff, StackRecord, Stage, Step, StepKind
from repairs.work_orders.services.stack_signing import current_specified

Notice = dict[str, object]
# Steps behind the final test; their signatures change nothing that a report tells.
AFTER_THE_TEST: Final = frozenset({StepKind.SHIP, StepKind.REPORT})


def through_final_test(steps: Sequence[Step]) -> list[Step]:
    """Return the steps that a report tells of: up to the last final test, or all but shipping and report."""
    tests = [at for at, step in enumerate(steps) if step.kind == StepKind.FINAL_TEST]
    if tests:
        return list(steps[: tests[-1] + 1])
    return [step for step in steps if step.kind not in AFTER_THE_TEST]


def open_steps(job: Job, steps: Iterable[Step]) -> list[Step]:
    """Return the steps that keep a report from being final.

    A step is behind when it is done or left out; one that the motor ships by, only when two people answer for that.
    """
    chain = chain_of(job)
    answered_for = set(Override.objects.in_force().of_job(job).values_list("step_id", flat=True))
    return [
        step
        for step in steps
        if step.state == Step.State.WAITING
        or (step.state == Step.State.SKIPPED and step.kind in chain and step.pk not in answered_for)
    ]


def notices(job: Job, steps: Sequence[Step], units: Units) -> list[Notice]:
    """Return what stands first on the report and on the customer's page, the worst first."""
    told = through_final_test(steps)
    return [*_stops(job, units), *_overrides(job), *_holds(job), *_open(job, told), *_before_approval(told)]


def is_interim(first: Iterable[Notice]) -> bool:
    """Whether a report that begins like this is an interim one.

    Steps are still open, or a STOP stands that nobody answers for by an override.
    """
    kinds = {row["severity"] for row in first}
    return "open" in kinds or ("stop" in kinds and "override" not in kinds)


def _notice(severity: str, title: str, rows: Iterable[str] = ()) -> Notice:
    return {"severity": severity, "title": title, "rows": list(rows)}


def _stops(job: Job, units: Units) -> list[Notice]:
    found = []
    if differs := built_differs(job, units):
        title = _("The bearing stack as built does not match the specified stack.")
        found.append(_notice("stop", title, differs))
    texts = list(dict.fromkeys(standing_stops(job, units)))
    if texts:
        found.append(_notice("stop", _("A check of the bearing stack failed."), texts))
    for row in found:
        row["action"] = _("Do not run the motor until the shop confirms the repair.")
    return found


def standing_stops(job: Job, units: Units) -> list[str]:
    """Return the stop findings that nobody accepted of the stack that is built, else of the one to build by."""
    built = newest(job, Stage.AS_BUILT)
    record = built if built is not None and built.is_frozen else current_specified(job)
    if record is None:
        return []
    accepted = acceptances(record)
    return [
        customer_sentence(one, units)
        for one in _findings(record)
        if one.severity == "stop" and (one.code, one.ref or "") not in accepted
    ]


def _findings(record: StackRecord) -> list[Any]:
    if record.assessment is not None:
        return stored_findings(record.assessment)
    assessment = judge(record, record.job.motor, shop_limits()).assessment
    return list(assessment.findings) if assessment is not None else []


def _overrides(job: Job) -> list[Notice]:
    return [_notice("override", one.step.title, [_override_words(one)]) for one in _in_force(job)]


def _in_force(job: Job) -> Iterable[Override]:
    return Override.objects.in_force().of_job(job)


def _override_words(one: Override) -> str:
    """Return what the customer reads of an override: what the shop wrote for them, else a sentence of ours."""
    if one.tell_customer:
        return one.tell_customer
    if one.act == Override.Act.SKIP:
        text = _("The shop foreman skipped this step on {day}. Ask the shop what this means for you.")
    else:
        text = _("The shop foreman passed this step on {day}. Ask the shop what this means for you.")
    return text.format(day=day_words(one.confirmed_at))


def _holds(job: Job) -> list[Notice]:
    hold = job.holds.filter(released_at__isnull=True).first()
    return [_notice("hold", hold_words(hold))] if hold is not None else []


def hold_words(hold: Any) -> str:
    """Return what the customer reads of a hold: what the shop wrote for them, else a sentence of ours."""
    if hold.tell_customer:
        return str(hold.tell_customer)
    if hold.waits_for == "customer":
        return _("Work is on hold, waiting for you. Please call the shop.")
    return _("Work is on hold.")


def _open(job: Job, steps: Iterable[Step]) -> list[Notice]:
    titles = [step.title for step in open_steps(job, steps)]
    return [_notice("open", _("Not done yet"), titles)] if titles else []


def _before_approval(steps: Iterable[Step]) -> list[Notice]:
    """Say which chargeable work a lead let begin before the estimate was approved."""
    titles = [
        step.title
        for step in steps
        if any(one.signed_as == SignOff.As.OVERRIDE for one in step.sign_offs.all())
    ]
    return [_notice("note", _("Started before the estimate was approved"), titles)] if titles else []
