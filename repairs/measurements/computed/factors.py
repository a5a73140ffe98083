"""The shop's own factor on a predicted rise: learned from its signed runs, shown once an engineer accepted it."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.measurements.computed.runs import RunHeat, signed_runs
from repairs.measurements.engineering.computed import FEWEST_RUNS, Factor, learned
from repairs.measurements.models import RunFactor
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.errors import WorkOrderError


def factor_of(family: str, runs: Sequence[RunHeat]) -> tuple[Factor | None, list[RunHeat]]:
    """Return the factor of a family with the runs that it comes from, one a job: a motor run twice counts once."""
    of_job: dict[int, RunHeat] = {}
    for one in runs:
        if family and one.family == family and one.ratio is not None:
            of_job.setdefault(one.record.job_id, one)
    found = list(of_job.values())
    return learned([one.ratio for one in found if one.ratio is not None]), found


def accepted_factor(family: str) -> RunFactor | None:
    """Return the factor that an engineer accepted last for a family. One query."""
    return RunFactor.objects.filter(family=family).order_by("-id").first() if family else None


@transaction.atomic
def accept_factor(*, actor: Actor, family: str, seen: int) -> RunFactor:
    """Accept what the shop's signed runs show of a family; ``seen`` is how many runs the page showed."""
    if not role_may(actor.role, Permission.ACCEPT_FACTORS):
        raise WorkOrderError(_("Only the engineer accepts a factor of the shop's runs."))
    factor, runs = factor_of(family, signed_runs())
    if factor is None:
        words = _("Signed runs so far: {count}, too few. At least {fewest} are needed.")
        raise WorkOrderError(words.format(count=len(runs), fewest=FEWEST_RUNS))
    if factor.runs != seen:
        raise WorkOrderError(_("Runs were signed since this page was shown. Check the factor again."))
    made = RunFactor.objects.create(
        family=family,
        median=factor.median,
        low=factor.low,
        high=factor.high,
        runs=[[one.record.pk, one.record.job.number, one.ratio] for one in runs],
        accepted_by_id=actor.person_id,
        accepted_name=actor.name,
    )
    record_event(
        actor=actor,
        verb="run_factor.accepted",
        subject=made,
        before=None,
        after={
            "family": family,
            "median": made.median,
            "low": made.low,
            "high": made.high,
            "runs": made.runs,
        },
    )
    return made
